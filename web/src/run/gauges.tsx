// SPDX-License-Identifier: Apache-2.0
// Four budgets: the picture first, the figure and its age beside it.
import { skinTilePart } from "../frame/parts";
import { figure } from "../words/number";
import { age, hours, minutesBetween, type Board, type Clotting, type Gauge } from "./board";
import { gaugeMarks, type Mark } from "./gauge-marks";
import { clottingPicture } from "./clotting-marks";

export function usedOf(gauge: Gauge, now: number): number | null {
  return gauge.runsSince === null ? gauge.used : minutesBetween(gauge.runsSince, now);
}
export function usedText(gauge: Gauge, now: number): string {
  const used = usedOf(gauge, now);
  if (used === null) return "none logged";
  return gauge.id === "time" && used >= 60 ? hours(used) : figure(used, gauge.decimals);
}
export const usedUnit = (gauge: Gauge, now: number): string => (usedOf(gauge, now) === null ? "" : gauge.id === "time" && (usedOf(gauge, now) ?? 0) >= 60 ? "h" : gauge.unit);

function MarkShape({ mark }: { readonly mark: Mark }) {
  switch (mark.kind) {
    case "bar": return <rect class="used" x="26" width="30" y={mark.y} height={mark.height} />;
    case "forecast": return <rect class="forecast" x="26" width="30" y={mark.y} height={mark.height} />;
    case "kept": return <rect class="kept-back" x="20" width="42" y={mark.y} height={mark.height} />;
    case "limit": return <path class={`limit${mark.grave ? " grave" : ""}${mark.passed ? " passed" : ""}`} d={`M18 ${mark.y}H64`} />;
  }
}

function GaugePane({ gauge, now }: { readonly gauge: Gauge; readonly now: number }) {
  const used = usedOf(gauge, now);
  const marks = gaugeMarks(gauge, used ?? 0);
  const passed = gauge.limits.filter((limit) => used !== null && used >= limit.at);
  return (
    <section class="pane gauge" aria-label={gauge.title}>
      <h2>{gauge.title}</h2>
      <p class="mid figures">{usedText(gauge, now)} <span class="dim">{usedUnit(gauge, now)}{gauge.typedAt === null ? "" : `, ${age(gauge.typedAt, now)}`}</span></p>
      <div class="gauge-body">
        <svg viewBox="0 0 84 140" role="img" aria-label={`${gauge.title}: ${gauge.says}`}>
          <path class="rails" d="M24 8V132M58 8V132" />
          {marks.map((mark, at) => <MarkShape key={at} mark={mark} />)}
        </svg>
        <ul class="gauge-limits small">
          {[...gauge.limits].reverse().map((limit) => <li key={limit.says} class={used !== null && used >= limit.at ? (limit.grave ? "over" : "warn") : "dim"}>{used !== null && used >= limit.at ? "▲ " : ""}{limit.says}</li>)}
        </ul>
      </div>
      {gauge.forecast !== null && <p class="small waits figures">{gauge.forecast.says}</p>}
      <p class="small dim">{gauge.says}</p>
      {passed.some((limit) => limit.grave) && <p class="small over" role="alert">Past {passed[passed.length - 1]?.says}</p>}
    </section>
  );
}

function ClottingPane({ clotting, now }: { readonly clotting: Clotting | null; readonly now: number }) {
  if (clotting === null) return <section class="pane gauge" aria-label="Anticoagulation"><h2>Anticoagulation</h2><p class="mid">no ACT logged</p></section>;
  const picture = clottingPicture(clotting, now);
  return (
    <section class="pane gauge" aria-label="Anticoagulation">
      <h2>Anticoagulation</h2>
      <p class="mid figures">{clotting.act === null ? "no ACT" : `ACT ${clotting.offScale ? "above " : ""}${figure(clotting.act, 0)}`}
        {clotting.at !== null && <span class="dim">, {age(clotting.at, now)}</span>}</p>
      {picture !== null && (
        <svg viewBox="0 0 220 120" role="img" aria-label={`ACT over time. ${clotting.says}`}>
          {picture.band !== null && <rect class="act-band" x="0" width="220" y={picture.band.y} height={picture.band.height} />}
          {picture.borders.map((border) => <g key={border.says}><path class="act-border" d={`M0 ${border.y}H220`} /><text x="2" y={border.y - 4}>{border.says}</text></g>)}
          {picture.spread !== "" && <path class="act-spread" d={picture.spread} />}
          {picture.line !== "" && <path class="act-line" d={picture.line} />}
          {picture.sample !== null && <circle class="act-sample" cx={picture.sample.x} cy={picture.sample.y} r="4" />}
        </svg>
      )}
      {clotting.now !== null && <p class="waits figures">now about {figure(clotting.now.mid, 0)} ({figure(clotting.now.low, 0)}–{figure(clotting.now.high, 0)})</p>}
      {clotting.waiting !== null && <p class="small warn">sample sent {age(clotting.waiting, now)}, no result yet</p>}
      {clotting.says !== "" && <p class="small dim">{clotting.says}</p>}
    </section>
  );
}

export function Gauges({ board, now }: { readonly board: Board; readonly now: number }) {
  return (
    <div class="gauges">
      {board.gauges.map((gauge) => <GaugePane key={gauge.id} gauge={gauge} now={now} />)}
      <ClottingPane clotting={board.clotting} now={now} />
      <skinTilePart.Show />
    </div>
  );
}
