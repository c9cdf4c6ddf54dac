// SPDX-License-Identifier: Apache-2.0
// How one learns, changes and what one uses: each picture with its count, its interval, what it leaves out and what it
// cannot show.
import type { Audit } from "./audit-shape";
import { learningPicture, rowsPicture, rowsSheet, type Row } from "./draw";
import { Drawn, kSheet, Table } from "./sheet";
import { percent, quartileWords, shareWords, two } from "./words";

const reasonWords = (reason: string): string => (reason === "" ? "no reason said" : reason.replaceAll("-", " "));

export function Learning({ found }: { readonly found: Audit }) {
  const { stretches, learning_curve: curve } = found;
  if (stretches.length === 0) return null;
  const n = stretches.reduce((sum, each) => sum + each.last - each.first + 1, 0);
  return (
    <section class="pane"><h2>With experience <span class="dim small">failures over expected, stretch by stretch</span></h2>
      <Drawn marks={learningPicture(kSheet, stretches, curve)} said={stretches.map((each) => `Cases ${each.first} to ${each.last}: ${two(each.ratio)} times expected`).join("; ")} />
      <p class="dim">Across: case number in this slice. Dot and whisker: failures over those expected for these cases, 95 %. {curve.length > 0 ? "Dashed line and band: odds factor of a fitted curve that settles within some 20 cases (chosen, not learnt)." : "Too few failures for a curve."} n {n}; {found.left_out.no_outcome + found.left_out.no_difficulty} left out.</p>
      <p class="dim">It shows whether results moved while difficulty is allowed for. It cannot tell practice from new equipment, other patients or other hands, and names no case at which learning ended.</p>
      <Table name="With experience" head={["Cases", "Failed", "Expected", "Ratio", "Low", "High"]}
        rows={stretches.map((each) => [`${each.first} to ${each.last}`, String(each.failures), two(each.expected), two(each.ratio), two(each.low), each.high === null ? "no limit" : two(each.high)])} />
    </section>
  );
}

export function Leaving({ found }: { readonly found: Audit }) {
  const { left } = found.habits;
  const rows = left.flatMap((each): Row[] => (each.stalled_min === null ? [] : [{ name: `${each.strategy} (n ${each.stalled_min.cases})`, value: each.stalled_min.middle, low: each.stalled_min.low, high: each.stalled_min.high }]));
  if (left.length === 0) return null;
  const highest = Math.max(5, ...rows.map((row) => row.high)) * 1.05;
  return (
    <section class="pane"><h2>From standstill to change</h2>
      {rows.length > 0 && <Drawn sheet={rowsSheet(rows)} marks={rowsPicture(rows, highest, (value) => `${value} min`)} said={rows.map((row) => `${row.name}: ${row.value} min`).join("; ")} />}
      <p class="dim">Minutes at work from the last milestone, wire position or crossing to the end of a way that did not cross: middle, and where half of them lie. Left out: ways that crossed, and {left.reduce((sum, each) => sum + each.attempts - (each.stalled_min?.cases ?? 0), 0)} whose log does not tell.</p>
      {found.habits.ladder.followed !== null && <p>The way tried next was the one that the ladder on the screen had put next: {shareWords(found.habits.ladder.followed)}. Before {found.habits.ladder.not_shown} more changes it was not shown. Following it is no merit by itself: it does not see the screen.</p>}
      <p class="dim">It shows how long a way is kept after it stood still, as far as somebody logged. It cannot show whether a few minutes more would have crossed.</p>
      <Table name="From standstill to change" head={["Way", "Not crossed", "Minutes in it", "Minutes stood still"]}
        rows={left.map((each) => [each.strategy, String(each.attempts), quartileWords(each.minutes, "min"), quartileWords(each.stalled_min, "min")])} />
    </section>
  );
}

export function Remedies({ found }: { readonly found: Audit }) {
  const { remedies } = found.habits;
  if (remedies.length === 0) return null;
  const rows = remedies.flatMap((each): Row[] => (each.crossed === null ? [] : [{ name: `${reasonWords(each.reason)}, then ${each.next} (n ${each.crossed.cases})`, value: each.crossed.share, low: each.crossed.low, high: each.crossed.high }]));
  return (
    <section class="pane"><h2>What was tried next, and whether it crossed</h2>
      <Drawn sheet={rowsSheet(rows)} marks={rowsPicture(rows, 1, percent)} said={rows.map((row) => `${row.name}: ${percent(row.value)}`).join("; ")} />
      <p class="dim">After a way was left for a reason: the next way, and how often it crossed, 95 %. n {remedies.reduce((sum, each) => sum + (each.crossed?.cases ?? 0), 0)}; left out: {found.habits.left_for_good} after which nothing was tried.</p>
      <p class="dim">It shows what happened in these cases. It compares no ways: each was chosen for the lesion in front of it.</p>
      <Table name="What was tried next" head={["Left for", "Next", "Crossed, 95 %"]} rows={remedies.map((each) => [reasonWords(each.reason), each.next, shareWords(each.crossed)])} />
    </section>
  );
}

export function Devices({ found }: { readonly found: Audit }) {
  const { kit } = found.habits;
  if (kit.length === 0) return null;
  const rows = kit.flatMap((each): Row[] => (each.count === null ? [] : [{ name: each.kind, value: each.count.middle, low: each.count.low, high: each.count.high }]));
  const counted = Math.max(...kit.map((each) => each.used?.cases ?? 0));
  return (
    <section class="pane"><h2>What is used in a case</h2>
      <Drawn sheet={rowsSheet(rows)} marks={rowsPicture(rows, Math.max(2, ...rows.map((row) => row.high)) * 1.1, String)} said={rows.map((row) => `${row.name}: ${row.value} a case`).join("; ")} />
      <p class="dim">Of each kind in a case: middle, and where half of the cases lie. n {counted} in which kit was logged; {found.cases - counted} left out.</p>
      <p class="dim">It shows what the log says was taken. It cannot show what was opened and not logged, nor what would have done.</p>
      <Table name="What is used in a case" head={["Kind", "Cases with any, 95 %", "A case"]} rows={kit.map((each) => [each.kind, shareWords(each.used), quartileWords(each.count, "")])} />
    </section>
  );
}

export function Missing({ found }: { readonly found: Audit }) {
  if (found.cases === 0 || found.missing.length === 0) return null;
  const rows = found.missing.flatMap((each): Row[] => (each.missing === null ? [] : [{ name: each.name, value: each.missing.share, low: each.missing.low, high: each.missing.high }]));
  const highest = Math.min(1, Math.max(0.1, ...rows.map((row) => row.high)) * 1.05);
  return (
    <section class="pane"><h2>What nobody wrote down</h2>
      <Drawn sheet={rowsSheet(rows)} marks={rowsPicture(rows, highest, percent)} said={rows.map((row) => `${row.name}: ${percent(row.value)} missing`).join("; ")} />
      <p class="dim">Share of the cases that lack it, 95 %. n {found.cases}; nothing left out.</p>
      <p class="dim">Every other picture leaves such cases out. If they are not like the rest, as cases that went badly in a hurry, the other pictures are too kind or too harsh, and no statistic here can tell.</p>
      <Table name="What nobody wrote down" head={["Of the row", "Missing, 95 %"]} rows={found.missing.map((each) => [each.name, shareWords(each.missing)])} />
    </section>
  );
}
