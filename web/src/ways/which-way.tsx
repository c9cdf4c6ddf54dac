// SPDX-License-Identifier: Apache-2.0
// Which way? What the limits allow, the minutes that make no odds, the two ways on, and then the rungs.
import { Algorithms } from "./algorithms";
import { askDoubts, doubted, ladder } from "./ask";
import { curveLines, firstToGo, fitBars, flatPicture, flatWords, kCurveHeight, kFitHeight, kFlatHeight, kWidth } from "./picture";
import { PatienceStrip } from "./patience-strip";
import type { LadderAnswer, LadderRung } from "../wire/ladder";
import { SupposeSession } from "./suppose-session";

const gray = (milligray: number) => `${(milligray / 1000).toFixed(1)} Gy`;
const tens = (share: number) => Math.round(share * 10);
const kSettled = 0.7; // of the draws: below it the page says that they do not settle the order; chosen

function Fits({ answer }: { readonly answer: LadderAnswer }) {
  const left = answer.budgets.find((each) => each.what === "minutes")?.left ?? null;
  const bars = fitBars(answer.fits, left);
  const words = { minutes: "time", contrast_ml: "contrast", kerma_mgy: "air kerma" };
  const said = answer.nothing === "" ? firstToGo(answer.fits) : answer.nothing;
  return (
    <section class="st" aria-label="What the limits allow">
      <h3>Can still be started</h3>
      {said !== null && <p class="limits-say">{said}</p>}
      {bars.length > 0 && (
        <svg viewBox={`0 0 ${kWidth} ${bars.length * kFitHeight}`} class="ways-picture" role="img" aria-label={answer.fits.map((fit) => fit.text).join(". ")}>
          {bars.map((bar) => (
            <g key={bar.id}>
              <text class="fit-words" x={0} y={bar.y + 15}>{bar.id}</text>
              <rect class="fit-bar" x={bar.x} y={bar.y + 4} width={bar.width} height={14} rx={2} />
              <text class="fit-words" x={bar.x + bar.width + 6} y={bar.y + 15}>{bar.words}</text>
            </g>))}
        </svg>)}
      <p class="small dim">Left: {answer.budgets.map((each) => (each.left === null ? `${words[each.what]} not limited` : `${each.what === "kerma_mgy" ? gray(each.left) : `${Math.round(each.left)} ${each.what === "minutes" ? "min" : "mL"}`}`)).join(" · ")}, finishing kept back</p>
    </section>
  );
}

// Of the first way, or of the attempt under way with the present minute on it: `now` counts from the engine's answer.
export function Flat({ answer, now }: { readonly answer: LadderAnswer; readonly now: number | null }) {
  const first = answer.rungs[0];
  const flat = answer.run === null ? (first === undefined ? null : { from: first.flat_from, to: first.flat_to }) : answer.run.flat;
  const id = answer.run?.strategy ?? first?.id;
  if (flat === null || id === undefined) return null;
  const drawn = flatPicture(answer, flat, now);
  const said = answer.run === null ? `Leaving ${id} at any minute from ${flat.from} to ${flat.to} makes no odds` : flatWords(id, flat, now ?? 0);
  return (
    <section class="st" aria-label="Minutes that make no odds">
      <h3>{said}</h3>
      <svg viewBox={`0 0 ${kWidth} ${kFlatHeight}`} class="ways-picture" role="img" aria-label={`${said}: less than one point is lost there`}>
        {drawn.band && <rect class="flat-band" x={drawn.band.x} y={4} width={drawn.band.width} height={40} />}
        <path class="flat-line" d={drawn.path} />
        {drawn.now !== null && <path class="flat-now" d={`M${drawn.now} 0V46`} />}
        {drawn.ticks.map((tick) => <text key={tick.text} x={tick.x} y={60} text-anchor="middle">{tick.text}</text>)}
      </svg>
      {answer.run === null
        ? <p class="small dim">minutes of work; the line sinks by what leaving then loses</p>
        : <p class="small dim">minutes from {answer.now === null ? "then" : new Date(answer.now).toTimeString().slice(0, 5)} on; upright stroke: now; the line sinks by what leaving then would lose, five points at the foot</p>}
    </section>
  );
}

function Curves({ answer }: { readonly answer: LadderAnswer }) {
  const lines = curveLines(answer.curves);
  return (
    <svg viewBox={`0 0 ${kWidth} ${kCurveHeight}`} class="ways-picture" role="img" aria-label={`Chance to be across by minutes of work: ${answer.curves.map((curve) => `${curve.id} ${tens(curve.crossed_by[6] ?? 0)} in 10 by 30 min`).join(", ")}`}>
      <path class="axis" d="M28 8V98H248" />
      <text x={22} y={14} text-anchor="end">1</text><text x={22} y={102} text-anchor="end">0</text>
      {[0, 30, 60, 90].map((minutes) => <text key={minutes} x={28 + (minutes / 90) * 220} y={114} text-anchor="middle">{minutes}</text>)}
      {lines.map((line) => (
        <g key={line.id} class={line.retrograde ? "curve retro" : "curve"}>
          <path d={line.path} stroke-dasharray={line.dash} />
          <text x={line.end.x + 6} y={line.end.y + 4}>{line.id}</text>
        </g>))}
    </svg>
  );
}

function Rung({ rung, at }: { readonly rung: LadderRung; readonly at: number }) {
  return (
    <li class="rung">
      <p class="rung-name"><span class="rung-at">{at + 1}</span> <b>{rung.id}</b> <span class="dim">{rung.words}</span></p>
      <p class="figures small">changing makes no odds from {rung.flat_from} to {rung.flat_to} min</p>
      <p class="figures small dim">{rung.chance}{at > 0 ? " of what is left" : ""} · {Math.round(rung.expected.contrast_ml)} mL · {gray(rung.expected.kerma_mgy)} · harm {Math.round(rung.harm_per_1000)} per 1,000</p>
    </li>
  );
}

// How far draws from the priors agree on this order: one sentence, where the order stands.
function Settled({ answer }: { readonly answer: LadderAnswer }) {
  const order = answer.rungs.map((rung) => rung.id).join(", ");
  if (answer.rungs.length === 0) return null;
  if (!answer.doubts) return <p class="small dim">{doubted.value === "asked" ? "Whether the figures settle this order: being drawn…" : "Whether the figures settle this order: not asked yet"}</p>;
  const share = answer.doubts.shares.find((each) => each.order === order)?.share ?? 0;
  return <p class={share < kSettled ? "warn small" : "small dim"}>{share < kSettled ? "▲ The figures leave this order open" : "The figures mostly agree on this order"}: best in {Math.round(100 * share)} of 100 draws</p>;
}

function Rungs({ answer }: { readonly answer: LadderAnswer }) {
  const others = answer.strategies.filter((each) => each.id !== answer.run?.strategy && !answer.rungs.some((rung) => rung.id === each.id));
  const fits = (id: string) => answer.fits.find((fit) => fit.id === id)?.fits_now ?? true;
  const { come_back: later, stop } = answer;
  return (
    <section class="st" aria-label="The ladder">
      <h3>In order, as the figures stand</h3>
      {answer.rungs.length > 0 && <p class="all-of-it"><b>{answer.rungs.map((rung) => rung.id).join(", then ")}</b>: <span class="mid">{answer.p_cross.words}</span> <span class="dim">({tens(answer.p_cross.low)} to {tens(answer.p_cross.high)}) today within the limits; harm {Math.round(answer.harm_per_1000.value)} ({Math.round(answer.harm_per_1000.low)} to {Math.round(answer.harm_per_1000.high)}) per 1,000</span></p>}
      <Settled answer={answer} />
      <p class="small dim assumes">{answer.assumes}.</p>
      {answer.curves.length > 0 && <Curves answer={answer} />}
      <ol class="rungs">
        {answer.rungs.map((rung, at) => <Rung key={rung.id} rung={rung} at={at} />)}
        <li class="rung"><p class="rung-name"><span class="rung-at">{answer.rungs.length + 1}</span> <b>Prepare and come back</b> <span class="dim">in two to three months</span></p>
          <p class="small figures">later success {later.chance} on the whole; counts as {later.worth.toFixed(2)} of a crossing today <span class="dim">(half of it, assumed)</span></p>
          <p class="small dim figures">{tens(later.not_across.value)} in 10 where the plaque was opened without the wire across; {later.text}: {later.by_days.map((each) => `after ${each.days} days ${tens(each.one_centre)} in 10 (one centre), ${tens(each.registry)} in 10 (a registry)`).join("; ")}</p></li>
        <li class="rung"><p class="rung-name"><span class="rung-at">{answer.rungs.length + 2}</span> <b>Stop</b> <span class="dim">no further harm</span></p>
          <p class="small figures">{stop.text}; counts as {stop.worth.value.toFixed(2)} of a crossing <span class="dim">({stop.worth.source})</span></p></li>
      </ol>
      {others.length > 0 && <p class="small dim">Not in this order: {others.map((each) => (fits(each.id) ? `${each.id} (its minutes do more elsewhere)` : `${each.id} (does not fit)`)).join("; ")}</p>}
      {answer.left_out.length > 0 && <p class="small dim">Left out: {answer.left_out.join("; ")}</p>}
    </section>
  );
}

function Doubted({ answer }: { readonly answer: LadderAnswer }) {
  const doubts = answer.doubts;
  if (!doubts) return answer.rungs.length === 0 ? null : <p><button type="button" class="quiet" disabled={doubted.value === "asked"} onClick={() => askDoubts()}>{doubted.value === "asked" ? "Drawing from the priors…" : "How sure is this order?"}</button></p>;
  const turns = doubts.what_if.filter((each) => !each.same_order);
  return (
    <section class="st" aria-label="How sure is this order">
      <h3>{(doubts.shares[0]?.share ?? 0) < kSettled ? "The priors leave the order open" : "The priors mostly agree on the order"}</h3>
      <ul class="shares">{doubts.shares.filter((each) => each.share >= 0.05).map((each) => (
        <li key={each.order}><i style={{ width: `${100 * each.share}%` }} /><span>{each.order} <span class="dim">best in {Math.round(100 * each.share)} of 100 draws</span></span></li>))}</ul>
      {doubts.weights.length > 0 && (
        <div class="wide" tabIndex={0} role="group" aria-label="What a complication counts">
          <table class="items small"><caption>How much a complication counts is a judgement</caption>
            <thead><tr><th scope="col">Counts as</th><th scope="col">Best order</th><th scope="col">Across</th><th scope="col">Harm per 1,000</th></tr></thead>
            <tbody>{doubts.weights.map((each) => (
              <tr key={each.weight}><th scope="row">{each.weight === 0 ? "nothing" : `${each.weight} crossing${each.weight === 1 ? "" : "s"}`}{each.in_force ? " (now)" : ""}</th><td>{each.order}</td><td>{tens(each.p_cross)} in 10</td><td class="figures">{Math.round(each.harm_per_1000)}</td></tr>))}</tbody>
          </table>
        </div>)}
      {turns.length > 0 && <><h3>Would change the order</h3><ul class="small">{turns.slice(0, 6).map((each) => <li key={each.what}>{each.what} <span class="dim">→ {each.order}</span></li>)}</ul></>}
    </section>
  );
}

export function WhichWay() {
  const answer = ladder.value;
  return (
    <section class="pane which-way" aria-label="Which way?">
      <h2>Which way? <span class="dim small">{answer?.priors.words ?? ""}</span></h2>
      {!answer && <p class="dim">The engine is working it out.</p>}
      {answer && (
        <>
          <Fits answer={answer} />
          <Flat answer={answer} now={answer.run === null ? null : 0} />
          {answer.patience && <PatienceStrip patience={answer.patience} />}
          <Rungs answer={answer} />
          <Algorithms answer={answer} />
          <SupposeSession answer={answer} />
          <Doubted answer={answer} />
          <details><summary>What this assumes</summary><ul class="small">{answer.assumptions.map((each) => <li key={each}>{each}</li>)}
            <li>bands: 90 of 100 draws from the figures, weighed by how likely each made what has been seen</li><li>the line of the flat minutes: five points lost at its foot</li></ul>
            <ul class="small dim">{answer.strategies.map((each) => <li key={each.id}>{each.id}: can cross {tens(each.can)} in 10 ({each.can_from.source}), half of those within {Math.round(each.median_min)} min ({each.median_from.source})</li>)}</ul></details>
        </>)}
    </section>
  );
}
