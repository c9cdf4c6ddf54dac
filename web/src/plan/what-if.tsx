// SPDX-License-Identifier: Apache-2.0
// What if? Facts are supposed with a slider or a choice; the pictures follow, the journal does not.
import { open, past, rowOf, rows, scores } from "../state/store";
import { assessed, changed, suppose, supposed, supposeNoMore, type Supposed } from "../state/suppose";
import { lineFor } from "../facts/known";
import type { Belief, FactRow } from "../wire/shapes";
import { beliefWords, gradeWord } from "../words/belief";
import { groupsWords, outcomeWords, hasFigure, totalsWords } from "./words";

const channelOf = (row: FactRow): string => (row.per_channel ? open.value?.channels[0] ?? "c1" : "");

// Where a supposition starts: at what is known, else at the value that a reader would try first.
export function firstBelief(known: Belief, row: FactRow): Belief {
  if (known.kind !== "unknown") return known;
  if (row.type === "flag") return { kind: "flag", yes: 1 };
  if (row.type === "grade") return { kind: "odds", odds: new Map([[row.grades[0] ?? "", 1]]) };
  return { kind: "number", value: Math.max(row.low ?? 0, 0), sd: null };
}

// The range of a slider: what the dictionary allows is far wider than what is met.
export function sliderRange(row: FactRow): { low: number; high: number; step: number } {
  const usual: Readonly<Record<string, readonly [number, number, number]>> = { mm: [0, 100, 1], deg: [0, 180, 5], years: [18, 100, 1], "%": [0, 100, 1], months: [0, 240, 3], mL: [0, 600, 10] };
  const [low, high, step] = usual[row.unit] ?? [row.low ?? 0, Math.min(row.high ?? 10, 200), row.type === "count" ? 1 : (Math.min(row.high ?? 10, 200) - (row.low ?? 0)) / 100];
  return { low: Math.max(low, row.low ?? low), high: Math.min(high, row.high ?? high), step };
}

interface ControlProps { readonly row: FactRow; readonly of: string; readonly belief: Belief }

function Grades({ row, of, belief }: ControlProps) {
  const now = belief.kind === "odds" ? [...belief.odds].sort((a, b) => b[1] - a[1])[0]?.[0] ?? "" : belief.kind;
  const choices = [...row.grades, ...(row.may_be_unseen && !row.grades.includes("unseen") ? ["unseen"] : []), ...(row.may_be_not_determinable ? ["not determinable"] : []), "unknown"];
  const take = (word: string) => suppose({ name: row.name, of, belief:
    row.grades.includes(word) ? { kind: "odds", odds: new Map([[word, 1]]) } : { kind: word as "unseen" | "not determinable" | "unknown" } });
  return <select aria-label={`Suppose ${row.label}`} value={now} onChange={(event) => take(event.currentTarget.value)}>{choices.map((each) => <option key={each} value={each}>{gradeWord(each)}</option>)}</select>;
}

function Slider({ row, of, belief }: ControlProps) {
  const flag = row.type === "flag";
  const { low, high, step } = flag ? { low: 0, high: 100, step: 10 } : sliderRange(row);
  const value = belief.kind === "flag" ? belief.yes * 100 : belief.kind === "number" ? belief.value : low;
  const sd = belief.kind === "number" ? belief.sd : null;
  const take = (next: number) => suppose({ name: row.name, of, belief: flag ? { kind: "flag", yes: next / 100 } : { kind: "number", value: next, sd } });
  return <input type="range" aria-label={`Suppose ${row.label}`} aria-valuetext={beliefWords(belief, row)} min={low} max={high} step={step} value={value} onInput={(event) => take(Number(event.currentTarget.value))} />;
}

function Supposition({ each }: { readonly each: Supposed }) {
  const row = rowOf.value.get(each.name);
  if (!row) return null;
  const known = lineFor(row, each.of).belief;
  return (
    <li>
      <span class="suppose-label">{row.label}{each.of === "" ? "" : `, channel ${each.of}`}</span>
      {row.type === "grade" ? <Grades row={row} of={each.of} belief={each.belief} /> : <Slider row={row} of={each.of} belief={each.belief} />}
      <span class="figures"><b>{beliefWords(each.belief, row)}</b> <span class="dim">stands as {beliefWords(known, row)}</span></span>
      <button type="button" class="quiet" aria-label={`No longer suppose ${row.label}`} onClick={() => supposeNoMore(each.name, each.of)}>×</button>
    </li>
  );
}

function Effects() {
  const before = open.value?.assessment;
  const after = assessed.value;
  if (!before || !after || supposed.value.length === 0) return null;
  const moved = changed(before, after);
  if (moved.length === 0) return <p class="dim">No published score changes with it.</p>;
  return (
    <table class="items what-if-moved"><caption class="unseen">Scores that change</caption>
      <thead><tr><th scope="col">Score</th><th scope="col">As it stands</th><th scope="col">What if</th></tr></thead>
      <tbody>{moved.map(({ before: was, after: now }) => (
        <tr key={now.id + (now.of ?? "")}><th scope="row">{now.name}{now.of ? `, ${now.of}` : ""}</th>
          <td class="figures">{totalsWords(was)} <span class="dim">{groupsWords(was)}</span></td>
          <td class="figures"><b>{totalsWords(now)}</b> <span class="dim">{groupsWords(now)}</span>{now.outcome.filter(hasFigure).slice(0, 1).map((each) => <span key={each.what} class="small dim"> {outcomeWords(each)}</span>)}</td></tr>))}</tbody>
    </table>
  );
}

export function WhatIf() {
  if (open.value === null || past.value !== null) return null;
  const read = new Set(scores.value.flatMap((score) => score.items.flatMap((item) => item.facts)));
  const taken = new Set(supposed.value.map((each) => each.name));
  const choices = rows.value.filter((row) => read.has(row.name) && row.type !== "readings" && !taken.has(row.name));
  const add = (name: string) => {
    const row = rowOf.value.get(name);
    if (row) suppose({ name, of: channelOf(row), belief: firstBelief(lineFor(row, channelOf(row)).belief, row) });
  };
  return (
    <section class={`pane what-if${supposed.value.length > 0 ? " on" : ""}`} aria-label="What if?">
      <div class="what-if-head">
        <h2>What if?</h2>
        <select aria-label="Suppose a fact" value="" onChange={(event) => { add(event.currentTarget.value); event.currentTarget.value = ""; }}>
          <option value="">suppose a fact…</option>
          {choices.map((row) => <option key={row.name} value={row.name}>{row.label}</option>)}
        </select>
        {supposed.value.length > 0 && <><p class="supposed-word" role="status">Supposed, nothing is written: the pictures below show the case as if.</p><button type="button" onClick={() => { supposed.value = []; }}>As it stands</button></>}
      </div>
      {supposed.value.length > 0 && <ul class="suppositions">{supposed.value.map((each) => <Supposition key={`${each.name}/${each.of}`} each={each} />)}</ul>}
      <Effects />
    </section>
  );
}
