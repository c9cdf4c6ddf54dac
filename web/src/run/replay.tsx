// SPDX-License-Identifier: Apache-2.0
// Rehearsal: an invented procedure played on the board, 1 to 60 times as fast, so that nobody learns on a patient.
import { caseId, open } from "../state/store";
import { clock } from "../words/number";
import { now } from "./live";
import { changeRate, kRates, rehearsal, rehearsalQuery, rehearse } from "./rehearsal";

// The first entry of the run; nothing if the case has none or is no invented one.
export function rehearsalStart(): number | null {
  const found = open.value;
  if (found === null || !found.case.invented) return null;
  const times = found.journal.filter((line) => line.kind === "run").map((line) => Date.parse(line.at));
  return times.length === 0 ? null : Math.min(...times);
}

export function Replay() {
  const start = rehearsalStart();
  const running = rehearsal.value;
  if (start === null) return null;
  if (running === null) {
    return (
      <div class="rehearsal"><span class="invented">invented</span> <span>This procedure can be rehearsed.</span>
        {kRates.map((rate) => <button type="button" key={rate} onClick={() => rehearse(start, rate)}>{rate}×</button>)}</div>
    );
  }
  return (
    <div class="rehearsal runs" role="group" aria-label="Rehearsal">
      <strong>Rehearsal, invented:</strong> <span class="figures">{clock(new Date(now.value))}</span>
      {[0, ...kRates].map((rate) => <button type="button" key={rate} aria-pressed={running.rate === rate} onClick={() => changeRate(rate)}>{rate === 0 ? "Stand" : `${rate}×`}</button>)}
      <button type="button" onClick={() => rehearse(start, running.rate)}>From the start</button>
      <a class="quiet-link" href={`#/wall/${encodeURIComponent(caseId.value)}?${rehearsalQuery(running)}`} target="_blank" rel="noopener">Its wall board</a>
      <button type="button" class="main" onClick={() => { rehearsal.value = null; }}>End</button>
    </div>
  );
}
