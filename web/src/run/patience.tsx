// SPDX-License-Identifier: Apache-2.0
// The patience strip of the run: what the limits still allow, the minutes that make no odds with the present one on them,
// and the two ways on. The clock moves the stroke; every other figure is the engine's, as of its last answer.
import { minutesBetween, type Board } from "./board";
import { ask } from "./log";
import { typed } from "./typed";
import type { LadderAnswer } from "../wire/ladder";
import { PatienceStrip } from "../ways/patience-strip";
import { Flat } from "../ways/which-way";

// The log's words of a strategy: "RW/RDR c1" is retrograde over c1. Nothing is written until Enter.
const wordsOf = (id: string): string => id.replace("RW/RDR", "RW");
function begin(line: string): void {
  typed.value = line;
  void ask(line);
}
const tens = (share: number): number => Math.round(share * 10);
const upper = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

export function PatiencePane({ board, answer, now }: { readonly board: Board; readonly answer: LadderAnswer | null; readonly now: number }) {
  if (board.begun === null || board.ended !== null) return null;
  if (answer === null) return <section class="pane run-patience" aria-label="Which way now"><h2>Which way now</h2><p class="dim">The engine is weighing it.</p></section>;
  const since = answer.run === null ? null : (answer.now === null ? 0 : minutesBetween(answer.now, now));
  const tried = answer.run?.tried ?? [];
  return (
    <section class="pane run-patience" aria-label="Which way now">
      <h2>Which way now <span class="small">· {answer.priors.words}{answer.now === null ? "" : ` · weighed at ${new Date(answer.now).toTimeString().slice(0, 5)}`}</span></h2>
      <div class="run-patience-parts">
        <div class="run-limits">
          <p><span class="mid figures">{answer.p_cross.words}</span> <span class="dim">({tens(answer.p_cross.low)} to {tens(answer.p_cross.high)}) to finish today within the limits</span></p>
          <ul class="small">{answer.fits.map((fit) => <li key={fit.id}>{upper(fit.text)}</li>)}</ul>
          {tried.length > 0 && <p class="small dim">Tried: {tried.map((each) => `${each.strategy} ${Math.round(each.minutes)} min${each.closed ? ", closed" : ""}`).join("; ")}</p>}
          {answer.left_out.length > 0 && <p class="small dim">Left out: {answer.left_out.join("; ")}</p>}
        </div>
        {answer.run === null ? <p class="dim">No attempt runs.</p> : <Flat answer={answer} now={since} />}
        {answer.run !== null && answer.patience !== null && <PatienceStrip patience={answer.patience} />}
        <p class="closed-keys"><span class="small dim">rate as closed</span>
          {answer.strategies.map((each) => <button type="button" class="quiet" key={each.id} aria-label={`Rate ${each.id} as closed`} onClick={() => begin(`decide closed ${wordsOf(each.id)}`)}>{each.id}</button>)}</p>
      </div>
    </section>
  );
}
