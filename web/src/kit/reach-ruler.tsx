// SPDX-License-Identifier: Apache-2.0
// The reach ruler: the path from valve to tip, each device along it, what is left over or missing.
import { chance } from "../words/number";
import type { RulerPicture } from "./ruler";
import { reachSign, reserveWords } from "./words";

const kWidth = 400;
const kRow = 30;

export function ReachRuler({ drawn }: { readonly drawn: RulerPicture }) {
  const x = (cm: number) => (cm / drawn.whole) * kWidth;
  const high = 34 + drawn.devices.length * kRow;
  return (
    <figure class={`ruler ${drawn.side}`}>
      <figcaption class="small">{drawn.side === "retrograde" ? "From the other side" : "From the front"}: the tip must stand at <b>{Math.round(drawn.end)} cm</b>{drawn.spans.some((each) => each.typical) && <span class="dim"> · dashed: usual, not measured</span>}</figcaption>
      <svg viewBox={`0 0 ${kWidth} ${high}`} width="100%" role="img"
        aria-label={`Path of ${Math.round(drawn.end)} cm. ${drawn.devices.map((each) => `${each.name}: ${reserveWords(each.reserve, each.sd)}`).join("; ")}`}>
        {drawn.spans.map((span, index) => (
          <g key={span.name + String(index)} class={`span${span.typical ? " typical" : ""}${index % 2 === 1 ? " odd" : ""}`}>
            <title>{`${span.name}: ${(span.to - span.from).toFixed(1)} cm`}</title>
            <path d={`M${x(span.from) + 0.5} 20H${x(span.to) - 0.5}`} />
            <path class="tick" d={`M${x(span.to)} 14V26`} />
            {x(span.to) - x(span.from) > span.name.length * 5.6 && <text x={(x(span.from) + x(span.to)) / 2} y={10}>{span.name}</text>}
          </g>
        ))}
        <path class="ruler-end" d={`M${x(drawn.end)} 14V${high}`} />
        {drawn.devices.map((each, index) => (
          <g key={each.name + String(index)} class={`laid ${each.verdict}`}>
            <path d={`M0 ${46 + index * kRow}H${x(each.length)}`} />
            <text x={0} y={40 + index * kRow}>{each.name} · {reachSign[each.verdict]} {reserveWords(each.reserve, each.sd)} · reaches {chance(each.odds)}</text>
          </g>
        ))}
      </svg>
      <details class="small"><summary>The path in figures</summary>
        <table class="items"><tbody>{drawn.spans.map((span, index) => <tr key={span.name + String(index)}><th>{span.name}{span.typical ? <span class="dim"> usual, not measured</span> : ""}</th><td class="figures">{(span.to - span.from).toFixed(1)}{span.sd > 0 ? ` ± ${span.sd.toFixed(1)}` : ""} cm</td></tr>)}</tbody></table>
      </details>
    </figure>
  );
}
