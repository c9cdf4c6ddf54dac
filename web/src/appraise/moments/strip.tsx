// SPDX-License-Identifier: Apache-2.0
// Under the cine: contrast and motion over the frames, R waves where the file marks them, and the frame suggested.
import { figure } from "../../words/number";
import { frame, jump, picture } from "../desk";
import { curvesOf, kHigh, kWide, placeOf } from "./curves";
import { moments } from "./moments";

export function MomentStrip() {
  const found = moments.value;
  const image = picture.value;
  if (found === null || image === null || found.contrast.length !== image.frames) return null;
  const curves = curvesOf(found);
  const suggested = found.suggested;
  return (
    <div class="moments" role="group" aria-label="Contrast and motion over the frames">
      <svg viewBox={`0 -2 ${kWide} ${kHigh + 4}`} preserveAspectRatio="none" aria-hidden="true">
        {curves.waves !== "" && <path class="beat" d={curves.waves} />}
        <path class="full" d={curves.contrast} />
        <path class="moves" d={curves.motion} />
        {suggested !== null && <path class="suggested" d={`M${placeOf(suggested, found)} 0V${kHigh}`} />}
        <path class="now" d={`M${placeOf(frame.value, found)} 0V${kHigh}`} />
      </svg>
      <p class="keys"><span class="key full">contrast</span><span class="key moves">motion, top {figure(curves.mostMotion, 1)} px a frame</span>
        {curves.waves !== "" && <span class="key beat">R wave</span>}</p>
      {suggested === null ? <p class="dim why">{found.because}</p>
        : <button type="button" title={found.because} aria-label={`Go to frame ${suggested + 1}, suggested. ${found.because}`} onClick={() => jump(suggested)}>Frame {suggested + 1} suggested</button>}
    </div>
  );
}
