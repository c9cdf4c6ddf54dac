// SPDX-License-Identifier: Apache-2.0
// Why it will not go: what is seen, what is commonly tried, and whether the lab's shelf has it. Choosing a step or an end
// fills the log's line; nothing is written until Enter. What came of each step is counted in Practice.
import { signal } from "@preact/signals";
import { searchShelf } from "../kit/ask";
import type { Board } from "./board";
import { ask } from "./log";
import { typed } from "./typed";
import { findingsFor, needsOf, type Finding } from "./findings";

const chosen = signal<string | null>(null);
const shelf = signal<ReadonlyMap<string, string>>(new Map()); // need -> what is there

async function look(finding: Finding): Promise<void> {
  const stop = new AbortController().signal;
  for (const need of needsOf(finding)) {
    if (shelf.value.has(need)) continue;
    try {
      const found = await searchShelf(`${need} stock`, stop);
      const names = found.devices.slice(0, 2).map((each) => each.name).join(", ");
      shelf.value = new Map(shelf.value).set(need, found.devices.length === 0 ? "none on the shelf" : `${names}${found.devices.length > 2 ? ` and ${found.devices.length - 2} more` : ""}${found.invented ? " (invented shelf)" : ""}`);
    } catch {
      return; // the shelf is not known: the steps stand without it
    }
  }
}

function choose(finding: Finding): void {
  chosen.value = chosen.value === finding.reason ? null : finding.reason;
  if (chosen.value !== null) void look(finding);
}

function begin(line: string): void {
  typed.value = line;
  void ask(line);
}

function Steps({ finding, runs }: { readonly finding: Finding; readonly runs: boolean }) {
  return (
    <div class="why-steps">
      {finding.likely !== "" && <p class="dim small">Likely: {finding.likely}.</p>}
      <ol>{finding.steps.map((step) => {
        const there = step.need === undefined ? undefined : shelf.value.get(step.need);
        return (
          <li key={step.says}>{step.says}{there !== undefined && <span class={there.startsWith("none") ? "warn small" : "dim small"}> · {there}</span>}
            {runs && <button type="button" class="quiet why-try" aria-label={`Log: tried, ${step.says}`} onClick={() => begin(`decide try ${finding.reason} ${step.word}`)}>log: tried</button>}</li>);
      })}</ol>
      {runs && <p class="gate-keys"><button type="button" onClick={() => begin(`stopped ${finding.reason}`)}>Log: stopped, {finding.reason}</button>
        {["AW", "ADR", "RW", "RDR"].map((way) => <button type="button" key={way} onClick={() => begin(`switch ${way} ${finding.reason}`)}>switch to {way}</button>)}</p>}
    </div>
  );
}

export function WhyNot({ board }: { readonly board: Board }) {
  const findings = findingsFor(board.attempt?.strategy ?? null);
  return (
    <details class="pane why-not">
      <summary>Why it will not go <span class="dim small">what is seen, what is commonly tried, what the shelf has</span></summary>
      <div class="why-keys">{findings.map((each) => <button type="button" key={each.reason} aria-pressed={chosen.value === each.reason} onClick={() => choose(each)}>{each.seen}</button>)}</div>
      {findings.filter((each) => each.reason === chosen.value).map((each) => <Steps key={each.reason} finding={each} runs={board.attempt !== null} />)}
      <p class="dim small">Common practice, no single source; whether a step suits this patient is for the responsible physician.</p>
    </details>
  );
}
