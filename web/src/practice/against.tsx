// SPDX-License-Identifier: Apache-2.0
// One's own cases against what others published: each score that gives a chance, and whether the chances fit along their range.
import { sourceOf } from "../state/store";
import type { Audit, ByScore } from "./audit-shape";
import { calibrationPicture, rowsPicture, rowsSheet, type Row } from "./draw";
import { Drawn, kSheet, Table } from "./sheet";
import { percent, two } from "./words";

const kMostShown = 4; // times expected; a wider interval ends at the edge, the table has it whole
const leftOut = (each: ByScore): number => each.left_out.facts_missing + each.left_out.not_made_for + each.left_out.no_outcome;
const limit = (value: number | null): string => (value === null ? "no upper limit" : two(value));
// With bounds alone published the ratio has two ends before chance comes in.
const ratioWords = (each: ByScore): string => {
  if (each.against === null) return "nothing to judge";
  if (each.against_high !== null) return `${two(each.against_high.ratio)} to ${two(each.against.ratio)} (${two(each.against_high.ratio_interval.low ?? 0)} to ${limit(each.against.ratio_interval.high)})`;
  return `${two(each.against.ratio)} (${two(each.against.ratio_interval.low ?? 0)} to ${limit(each.against.ratio_interval.high)})`;
};
const expectedWords = (each: ByScore): string =>
  each.against === null ? "\u2013" : each.against_high === null ? two(each.against.expected) : `${two(each.against.expected)} to ${two(each.against_high.expected)}`;

// Short enough for the margin of the picture; of a score with rates of two cohorts the cohort too.
function shortName(each: ByScore, all: readonly ByScore[]): string {
  const name = each.name.replace("PROGRESS-CTO ", "").replace("complications", "harm").replace(/ \(.*\)$/, "");
  return all.filter((other) => other.score === each.score).length > 1 ? `${name}, ${(each.cohort.split(/[ ,]/)[0] ?? "").replace(/^(deriv|valid)ation$/, "$1.")}` : name;
}

export function AgainstScores({ found }: { readonly found: Audit }) {
  const rows = found.by_score.flatMap((each): Row[] => {
    if (each.against === null) return [];
    const low = (each.against_high ?? each.against).ratio_interval.low ?? 0;
    const middle = each.against_high === null ? each.against.ratio : (each.against.ratio + each.against_high.ratio) / 2;
    return [{ name: `${shortName(each, found.by_score)} (n ${each.judged})`, value: Math.min(kMostShown, middle), low: Math.min(kMostShown, low), high: Math.min(kMostShown, each.against.ratio_interval.high ?? kMostShown) }];
  });
  if (rows.length === 0) return null;
  return (
    <section class="pane"><h2>Against each published score <span class="dim small">seen over expected</span></h2>
      <Drawn sheet={rowsSheet(rows)} marks={rowsPicture(rows, kMostShown, String, 1)} said={found.by_score.map((each) => `${each.name}: ${ratioWords(each)}`).join("; ")} />
      <p class="dim">Line at 1: as many as the score's own rates expect; to the right more of what is counted (failure, complication, no wire across). Whisker: exact, 95 %; where only bounds are published it spans both ends and the dot is their middle. A score judges only cases whose facts it needs are known: the others are left out and counted below.</p>
      <p class="dim">It shows how far each published population fits. Scores that disagree do so about the cases, not about the operator; rates known from memory alone are held against nobody.</p>
      <Table name="Against each published score" head={["Score", "Of", "Counted", "Cases", "Seen", "Expected", "Ratio, 95 %", "Left out", "Source"]}
        rows={found.by_score.map((each) => [each.name, each.cohort, each.counted, String(each.judged), each.against === null ? "\u2013" : String(each.against.observed), expectedWords(each), ratioWords(each), String(leftOut(each)), sourceOf.value.get(each.source)?.citation ?? each.source])} />
    </section>
  );
}

export function Calibration({ found }: { readonly found: Audit }) {
  const { line, in_the_large: large } = found.calibration;
  if (found.by_class.length === 0 || large === null) return null;
  const n = found.by_class.reduce((sum, group) => sum + group.cases, 0);
  const end = (value: number, sd: number): string => `${two(value)} (${two(value - 1.96 * sd)} to ${two(value + 1.96 * sd)})`;
  return (
    <section class="pane"><h2>Do the published chances fit? <span class="dim small">calibration</span></h2>
      <Drawn marks={calibrationPicture(kSheet, found.by_class, found.smooth)} said={`On the whole ${two(large.intercept)}; ${found.smooth.length > 0 ? "with a curve" : "too few cases for a curve"}`} />
      <p>On the whole (0 if they fit, above: more failures): {end(large.intercept, large.intercept_sd)}. {line === null ? "Slope: fewer than 20 failures, or successes." : `Slope (1 if they fit, below: too extreme): ${end(line.slope, line.slope_sd)}; intercept with it ${end(line.intercept, line.intercept_sd)}.`}</p>
      <p class="dim">Across: chance of failure that the J-CTO registry gives, up: one's own. Thin diagonal: they agree. Dots: the classes. {found.smooth.length > 0 ? "Line and band: a curve through all cases, 95 % at each point." : "No curve below 200 cases or 20 failures."} n {n}; {found.left_out.no_outcome + found.left_out.no_difficulty} left out. Where the curve lies off the diagonal it does not say why.</p>
      <Table name="Calibration" head={["Published", "Own, along the curve", "Low", "High"]} rows={found.smooth.map((each) => [percent(each.published), percent(each.found), percent(each.low), percent(each.high)])} />
    </section>
  );
}
