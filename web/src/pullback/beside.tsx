// SPDX-License-Identifier: Apache-2.0
// The form behind "does it fit": the guide on this side, what is in it already, the balloon; the answer as a disc.
import { TakenLater } from "../frame/taken-later";
import { FitDisc } from "../kit/disc";
import type { ShelfDevice } from "../kit/shapes";
import { discOf } from "../kit/try-fit";
import * as fit from "./fit-beside";

export function Beside() {
  const largest = fit.size.value;
  if (largest === null) return null;
  const listed = (devices: readonly ShelfDevice[]) => devices.map((each) => <option key={each.id} value={each.name}>{`${each.name} ${each.label}`}</option>);
  return (
    <section class="fit-beside" aria-label="Does it fit beside what is in the guide?">
      <h4>Does it fit beside what is in the guide?</h4>
      <label>Guide on this side<select value={fit.lumen.value} onChange={(event) => { fit.lumen.value = event.currentTarget.value; }}><option value="">choose</option>{listed(fit.guides.value)}</select></label>
      <label>In it already<TakenLater value={fit.items.value.join(", ")} take={(words) => { fit.items.value = words.split(",").map((each) => each.trim()).filter((each) => each !== ""); }} /></label>
      <label>Balloon of {largest.toFixed(2)} mm on the shelf<select value={fit.balloon.value} onChange={(event) => { fit.balloon.value = event.currentTarget.value; }}>
        {fit.balloons.value.length === 0 && <option value="">none on the shelf</option>}{listed(fit.balloons.value)}</select></label>
      {fit.trouble.value !== "" && <p class="warn">▲ {fit.trouble.value}</p>}
      {fit.answer.value?.hosts.map((each, index) => <FitDisc key={each.host + String(index)} given={discOf(each, [])} />)}
    </section>
  );
}
