// SPDX-License-Identifier: Apache-2.0
// The patience strip: change now, and ten more minutes then change, on one scale from never to always, each with its
// band and the harm it adds. Plan shows it for the first way, Run for the attempt under way.
import { wayBar } from "./picture";
import type { Patience, Way } from "../wire/ladder";

const planWords = (way: Way): string => (way.plan.length === 0 ? "stop" : way.plan.map((rung) => rung.id).join(", then "));
const tens = (share: number): string => String(Math.round(share * 10));

function Bar({ name, way }: { readonly name: string; readonly way: Way }) {
  const bar = wayBar(way);
  const said = `${name}: ${way.p_cross.words} to finish within the limits, ${tens(bar.from)} to ${tens(bar.to)} in 10; harm ${Math.round(way.harm_per_1000.value)} per 1,000`;
  return (
    <div class="patience-way">
      <p class="patience-name"><b>{name}</b> <span class="dim">{planWords(way)}</span></p>
      <div class="patience-track" role="img" aria-label={said}>
        <i class="patience-fill" style={{ width: `${100 * bar.value}%` }} />
        <i class="patience-band" style={{ left: `${100 * bar.from}%`, width: `${Math.max(0.5, 100 * (bar.to - bar.from))}%` }} />
        <i class="patience-mark" style={{ left: `${100 * bar.value}%` }} />
      </div>
      <p class="patience-figures figures" aria-hidden="true"><b>{way.p_cross.words}</b> <span class="dim">({tens(bar.from)} to {tens(bar.to)})</span> · harm {Math.round(way.harm_per_1000.value)} per 1,000</p>
    </div>
  );
}

export function PatienceStrip({ patience }: { readonly patience: Patience }) {
  const now = patience.under_way ? "change now" : `${patience.strategy} left out`;
  const more = patience.under_way ? `${patience.more_min} more minutes, then change` : `${patience.more_min} min of ${patience.strategy}, then change`;
  return (
    <section class="patience" aria-label="Patience">
      <p class="small dim">Chance to finish today within the limits, and its band</p>
      <Bar name={now} way={patience.change_now} />
      <Bar name={more} way={patience.ten_more} />
      <p class={patience.clear ? "patience-text clear" : "patience-text"}>{patience.text.charAt(0).toUpperCase() + patience.text.slice(1)}</p>
      <p class="small dim">{patience.strategy} kept to the end of the limits: {tens(patience.kept_to_end)} in 10</p>
    </section>
  );
}
