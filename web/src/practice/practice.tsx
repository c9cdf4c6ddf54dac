// SPDX-License-Identifier: Apache-2.0
// Practice: one's own outcomes against what was expected, each picture with its count, its interval and a table beside it.
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { TakenLater } from "../frame/taken-later";
import { practiceQuery, say, sentence, sourceOf } from "../state/store";
import { readAudit } from "../wire/engine";
import { AgainstScores, Calibration } from "./against";
import type { Audit, Part } from "./audit-shape";
import { classPicture, cusumPicture, funnelPicture, storyPicture } from "./draw";
import { Devices, Learning, Leaving, Missing, Remedies } from "./habits";
import { Learnt } from "./learning";
import { isShared, Shared, showShared } from "./shared";
import { Drawn, kSheet, Table } from "./sheet";
import { percent, quartileWords, shareWords, signalWords, two } from "./words";

const audit = signal<Audit | null>(null);


function Story({ found }: { readonly found: Audit }) {
  const { series } = found;
  if (!series) return null;
  return (
    <section class="pane"><h2>Expected minus failed, case by case</h2>
      <Drawn marks={storyPicture(kSheet, series)} said={`After ${series.judged} cases: ${two(series.story.at(-1) ?? 0)}`} />
      <p class="dim">Up: fewer failures than the published model expects. The band is twice the spread at each case, a guide and no alarm. n {series.judged}; {found.left_out.no_outcome + found.left_out.no_difficulty} left out.</p>
      <Table name="Expected minus failed" head={["Case", "Sum", "Spread"]} rows={series.cases.map((id, i) => [id, two(series.story[i] ?? 0), two(series.story_sd[i] ?? 0)])} />
    </section>
  );
}

function Cusum({ found }: { readonly found: Audit }) {
  const { series } = found;
  if (!series) return null;
  const signals = series.worse_signals.length;
  return (
    <section class="pane"><h2>Has it changed? <span class="dim small">risk-adjusted cumulative sum</span></h2>
      <Drawn marks={cusumPicture(kSheet, series)} said={signals === 0 ? "No signal" : `${signals} signals of more failures than expected`} />
      <p>{signalWords(series)}</p>
      <p class="dim">n {series.judged}. In control the upper chart signals once in about {Math.round(series.worse_threshold.run_length_cases)} cases (a wolf cried in {percent(series.false_alarm_in_50)} of stretches of 50); a doubling of the odds of failure shows within 50 cases {percent(series.seen_in_50)} of the time.</p>
      <Table name="Cumulative sums" head={["Case", "Worse", "Better"]} rows={series.cases.map((id, i) => [id, two(series.worse[i] ?? 0), two(series.better[i] ?? 0)])} />
    </section>
  );
}

function ByClass({ found }: { readonly found: Audit }) {
  if (found.by_class.length === 0) return null;
  const source = sourceOf.value.get(found.reference.source);
  return (
    <section class="pane"><h2>Failure by difficulty</h2>
      <Drawn marks={classPicture(kSheet, found.by_class)} said={found.by_class.map((group) => `J-CTO ${group.j_cto}: ${group.failures} of ${group.cases}`).join("; ")} />
      <p class="dim">Dash: published, not yours ({source?.citation ?? found.reference.source}). Dot and whisker: your own, 95 %. n {found.by_class.reduce((sum, group) => sum + group.cases, 0)}; {found.left_out.no_outcome + found.left_out.no_difficulty} left out for want of an outcome or a total. It shows whether the published chances fit; not why they do not.</p>
      <Table name="Failure by difficulty" head={["J-CTO", "Cases", "Failed", "Published", "Own, 95 %", "Published moved to this practice"]}
        rows={found.by_class.map((group) => [group.j_cto, String(group.cases), String(group.failures), percent(group.published),
          group.own ? `${percent(group.own.low ?? 0)} to ${percent(group.own.high ?? 1)}` : "–", group.moved ? `${percent(group.moved.value)} (${percent(group.moved.low)} to ${percent(group.moved.high)})` : "–"])} />
    </section>
  );
}

// Whether the years, or quarters where there are fewer than ten of them, differ by more than chance.
function spreadWords({ spread }: Audit): string {
  if (spread === null) return "Whether years differ by more than chance is not estimated from fewer than ten units.";
  const figure = `${spread.count} ${spread.units}: mean squared difference from this practice's own level ${two(spread.phi)}, 1 by chance alone`;
  if (!spread.beyond_chance) return `${figure}. They differ from each other no more than chance makes them.`;
  return `${figure}. They differ from each other by more than chance: something not counted here moves over time, and the plain limits cry wolf${spread.units === "years" ? "; the outer bars add it" : ""}.`;
}

function Funnel({ found }: { readonly found: Audit }) {
  if (found.funnel.length === 0) return null;
  return (
    <section class="pane"><h2>Years against expectation</h2>
      <Drawn marks={funnelPicture(kSheet, found.funnel)} said={found.funnel.map((unit) => `${unit.name}: ${two(unit.ratio)} times expected`).join("; ")} />
      <p class="dim">Across: failures expected. Up: observed over expected. Thick whisker: where 95 % of years like it fall by chance, thin: 998 in 1,000. One year in twenty lies outside the thick whisker by luck. n {found.funnel.reduce((sum, unit) => sum + unit.cases, 0)}; {found.left_out.no_outcome + found.left_out.no_difficulty} left out.</p>
      <p class="dim">{spreadWords(found)}</p>
      <Table name="Years against expectation" head={["Year", "Cases", "Failed", "Expected", "Ratio", "95 % limits", "Widened"]}
        rows={found.funnel.map((unit) => [unit.name, String(unit.cases), String(unit.failures), two(unit.expected), two(unit.ratio), `${two(unit.limits[1] ?? 0)} to ${two(unit.limits[2] ?? 0)}`, unit.widened === null ? "\u2013" : `${two(unit.widened.low ?? 0)} to ${two(unit.widened.high ?? 0)}`])} />
    </section>
  );
}

function Parts({ name, parts }: { readonly name: string; readonly parts: readonly Part[] }) {
  if (parts.length === 0) return null;
  return (
    <table class="items"><caption>{name}</caption>
      <thead><tr><th scope="col">{name}</th><th scope="col">Technical success</th><th scope="col">Major complication</th></tr></thead>
      <tbody>{parts.map((part) => <tr key={part.name}><th scope="row">{part.name}</th><td class="figures">{shareWords(part.success)}</td><td class="figures">{shareWords(part.complication)}</td></tr>)}</tbody>
    </table>
  );
}

// What the figures on paper are of, where the fields above are not printed.
function askedWords(query: string): string {
  const asked = new URLSearchParams(query);
  const parts = kFields.flatMap((field) => (asked.get(field.name) ? [`${field.label.toLowerCase()} ${asked.get(field.name) ?? ""}`] : []));
  if (asked.get("first_attempts") === "true") parts.push("first attempts only");
  if (asked.get("from") === "shared") parts.push("as the shared registry holds them");
  return parts.length === 0 ? "All cases" : `Cases: ${parts.join(", ")}`;
}

function Summary({ found }: { readonly found: Audit }) {
  return (
    <section class="pane audit-summary"><h2>{found.cases} {found.cases === 1 ? "case" : "cases"} {found.invented > 0 && <span class="invented">{found.invented === found.cases ? "invented" : `${found.invented} invented`}</span>}</h2>
      <p class="audit-asked">{askedWords(practiceQuery.value)}. Printed {new Date().toISOString().slice(0, 10)}.</p>
      {found.says.slice(0, 1).map((line) => <p key={line}>{line}</p>)}
      <dl class="pairs">
        <div><dt>Technical success</dt><dd class="figures">{shareWords(found.success)}</dd></div>
        <div><dt>Major complication</dt><dd class="figures">{shareWords(found.complication)}</dd></div>
        <div><dt>Procedural success <span class="dim small">without a major complication</span></dt><dd class="figures">{shareWords(found.procedural)}</dd></div>
        <div><dt>Minutes</dt><dd class="figures">{quartileWords(found.minutes, "min")}</dd></div>
        <div><dt>Contrast</dt><dd class="figures">{quartileWords(found.contrast_ml, "mL")}</dd></div>
        <div><dt>Air kerma</dt><dd class="figures">{quartileWords(found.air_kerma_gy, "Gy")}</dd></div>
        {found.area_under_curve && <div><dt>How well J-CTO sorts them</dt><dd class="figures">area {two(found.area_under_curve.value)} ({two(found.area_under_curve.low)} to {two(found.area_under_curve.high)})</dd></div>}
        {found.failures?.odds_factor != null && <div><dt>Odds of failure against the published model</dt><dd class="figures">{two(found.failures.odds_factor)} times ({two(found.failures.odds_interval.low ?? 0)} to {found.failures.odds_interval.high === null ? "no upper limit" : two(found.failures.odds_interval.high)})</dd></div>}
      </dl>
      {found.says.slice(1).map((line) => <p key={line}>{line}</p>)}
    </section>
  );
}

const kFields: readonly { name: string; label: string; type: string; hint: string; low?: number; high?: number }[] = [
  { name: "since", label: "Since", type: "date", hint: "" }, { name: "until", label: "Until", type: "date", hint: "" },
  { name: "by", label: "Operator", type: "text", hint: "all" }, { name: "vessel", label: "Vessel", type: "text", hint: "all" },
  { name: "strategy", label: "First strategy", type: "text", hint: "all" },
  { name: "j_cto_from", label: "J-CTO from", type: "number", hint: "0", low: 0, high: 5 }, { name: "j_cto_to", label: "J-CTO to", type: "number", hint: "5", low: 0, high: 5 },
];

function Filters() {
  const asked = new URLSearchParams(practiceQuery.value);
  const change = (name: string, value: string) => {
    const next = new URLSearchParams(practiceQuery.value);
    if (value.trim() === "") next.delete(name);
    else next.set(name, value.trim());
    location.hash = `#/practice${next.size > 0 ? `?${next.toString()}` : ""}`;
  };
  return (
    <form class="audit-filters" onSubmit={(event) => event.preventDefault()} aria-label="Which cases">
      {kFields.map((field) => (
        <label key={field.name}>{field.label}
          <TakenLater type={field.type} value={asked.get(field.name) ?? ""} placeholder={field.hint} min={field.low} max={field.high} take={(words) => change(field.name, words)} />
        </label>
      ))}
      <label class="check"><input type="checkbox" checked={asked.get("first_attempts") === "true"} onChange={(event) => change("first_attempts", event.currentTarget.checked ? "true" : "")} /> First attempts only</label>
      <button type="button" class="quiet" onClick={() => change("since", `${new Date().getFullYear()}-01-01`)}>This year</button>
    </form>
  );
}

export function Practice() {
  const query = practiceQuery.value;
  useEffect(() => {
    const stop = new AbortController();
    readAudit(query, stop.signal).then((found) => { audit.value = found; }, (error: unknown) => {
      if (stop.signal.aborted) return;
      say("trouble", sentence(error));
      if (isShared(query)) showShared(query, false); // the figures that stand are of this lab's own journals, and the address says so
    });
    return () => stop.abort();
  }, [query]);
  const found = audit.value;
  return (
    <>
      <h1>Practice <span class="dim">one's own cases; never a league table</span></h1>
      <Filters />
      {found === null ? <p class="empty" role="status">Counting…</p> : (
        <div class="audit">
          <Summary found={found} />
          <Cusum found={found} /><Story found={found} /><AgainstScores found={found} /><ByClass found={found} /><Calibration found={found} /><Funnel found={found} />
          <Learning found={found} /><Leaving found={found} /><Remedies found={found} /><Devices found={found} /><Missing found={found} />
          <section class="pane audit-parts"><h2>Parts</h2><p class="dim">In the order of their names. Small parts swing widely: read the interval.</p>
            <Parts name="First strategy" parts={found.by_strategy} /><Parts name="Difficulty" parts={found.by_difficulty} />
            <Parts name="Vessel" parts={found.by_vessel} /><Parts name="Year" parts={found.by_year} />
          </section>
          <Learnt />
          <Shared />
        </div>
      )}
    </>
  );
}
