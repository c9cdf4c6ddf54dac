// SPDX-License-Identifier: Apache-2.0
import type { TraceAnswer } from "../../wire/shapes";
import { chartOf, kHigh, kWide } from "./chart";

// The chart says nothing that the figures beside it do not: it is hidden from the screen reader.
export function Profile({ trace }: { readonly trace: TraceAnswer }) {
  const chart = chartOf(trace);
  if (chart === null) return null;
  const unit = trace.along_mm ? "mm" : "px";
  return (
    <figure class="profile" aria-hidden="true">
      <svg viewBox={`-26 -8 ${kWide + 34} ${kHigh + 28}`}>
        {chart.ticks.map((tick) => <g key={tick.text}><path class="grid" d={`M0 ${tick.y}H${kWide}`} /><text x="-6" y={tick.y + 4} text-anchor="end">{tick.text}</text></g>)}
        {chart.gaps.map((gap) => <rect key={`${gap.from}`} class={`gap ${gap.why === "not seen" ? "unseen-part" : "shadow"}`} x={gap.from * kWide} y="0" width={Math.max(1, (gap.to - gap.from) * kWide)} height={kHigh} />)}
        <path class="band" d={chart.band} />
        {chart.reference !== "" && <path class="reference" d={chart.reference} />}
        <path class="width" d={chart.line} />
        {chart.least && <path class="least" d={`M${chart.least.x} ${kHigh}V${chart.least.y + 5}`} />}
        {chart.least && <circle class="least" cx={chart.least.x} cy={chart.least.y} r="4" />}
        <text x="0" y={kHigh + 16}>0</text><text x={kWide} y={kHigh + 16} text-anchor="end">{chart.ends}</text>
      </svg>
      <figcaption>
        <span class="key width">diameter, {unit}, ± 1 sd</span>
        {chart.reference !== "" && <span class="key reference">healthy line</span>}
        {[...new Set(chart.gaps.map((gap) => gap.why))].map((why) => <span key={why} class={`key ${why === "not seen" ? "unseen-part" : "shadow"}`}>{why}</span>)}
      </figcaption>
    </figure>
  );
}
