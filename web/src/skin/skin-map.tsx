// SPDX-License-Identifier: Apache-2.0
// The unrolled skin, and the peak in words: two digits, with its range.
import { figure } from "../words/number";
import { kSkin, skinPicture } from "./picture";
import type { Peak, Skin } from "./shapes";

// Never more than two digits: the range is wider than the third.
export const gray = (value: number): string => (value >= 10 ? figure(value, 0) : value >= 0.95 ? figure(value, 1) : figure(value, 2));

export function PeakWords({ peak }: { readonly peak: Peak }) {
  return <p class="mid figures">{gray(peak.gy)} Gy <span class="dim">({gray(peak.low_gy)} to {gray(peak.high_gy)})</span></p>;
}

export function SkinMap({ skin }: { readonly skin: Skin }) {
  const drawn = skinPicture(skin);
  if (!drawn || !skin.peak) return null;
  const said = `Skin unrolled, the back in the middle. Peak ${gray(skin.peak.gy)} Gy, ${gray(skin.peak.low_gy)} to ${gray(skin.peak.high_gy)}${skin.peak.where === "" ? "" : `, ${skin.peak.where}`}`;
  return (
    <svg class="skin-map" viewBox={`0 0 ${kSkin.width} ${kSkin.height}`} role="img" aria-label={said}>
      <rect class="rails" x={kSkin.left} y={kSkin.top} width={kSkin.right - kSkin.left} height={kSkin.bottom - kSkin.top} />
      {drawn.sides.map((side) => <g key={side.text}><path class="tick-line" d={`M${side.x} ${kSkin.top}V${kSkin.bottom}`} /><text x={side.x} y={kSkin.bottom + 15} text-anchor="middle">{side.text}</text></g>)}
      <text x={kSkin.left + 2} y={kSkin.bottom + 15}>front</text><text x={kSkin.right - 2} y={kSkin.bottom + 15} text-anchor="end">front</text>
      {drawn.isocentre > kSkin.top && drawn.isocentre < kSkin.bottom && <path class="tick-line" d={`M${kSkin.left} ${drawn.isocentre}H${kSkin.right}`} />}
      {drawn.lines.map((line) => <path key={line.words} class={line.band ? "skin-band" : "skin-share"} d={line.path}><title>{line.words}</title></path>)}
      {drawn.peak && <g class="skin-peak"><circle cx={drawn.peak.x} cy={drawn.peak.y} r="7" /><path d={`M${drawn.peak.x - 12} ${drawn.peak.y}H${drawn.peak.x - 3}M${drawn.peak.x + 3} ${drawn.peak.y}H${drawn.peak.x + 12}M${drawn.peak.x} ${drawn.peak.y - 12}V${drawn.peak.y - 3}M${drawn.peak.x} ${drawn.peak.y + 3}V${drawn.peak.y + 12}`} /></g>}
      <text x={kSkin.left + 4} y={kSkin.top + 14}>{drawn.lines.filter((line) => line.path !== "").map((line) => line.words).join(" · ")}</text>
    </svg>
  );
}
