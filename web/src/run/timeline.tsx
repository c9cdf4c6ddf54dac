// SPDX-License-Identifier: Apache-2.0
// The last entries, newest first, each opening its drawer; those that wait for the engine stand above them.
import { waiting } from "../queue/queue";
import { caseId, drawer, open } from "../state/store";
import { clock } from "../words/number";
import { now } from "./live";
import { rehearsal } from "./rehearsal";
import type { JournalLine } from "../wire/shapes";

const kShown = 40;

export function newestFirst(journal: readonly JournalLine[], until = Infinity): readonly JournalLine[] {
  return journal
    .filter((line) => Date.parse(line.at) <= until && line.kind !== "shown" && line.kind !== "withdraw" && (line.status === "counts" || line.status === "not understood"))
    .sort((a, b) => b.at.localeCompare(a.at) || b.seq - a.seq)
    .slice(0, kShown);
}

export function Timeline() {
  const lines = newestFirst(open.value?.journal ?? [], rehearsal.value === null ? Infinity : now.value);
  const mine = waiting.value.filter((each) => each.caseId === caseId.value);
  return (
    <section class="pane timeline" aria-label="Journal, newest first">
      <h2>Journal</h2>
      <ul>
        {[...mine].reverse().map((each) => <li key={each.id} class="waits-line"><span class="figures">{clock(new Date(each.at))}</span> <span>{each.said}</span> <span class="waits">waits</span></li>)}
        {lines.map((line) => (
          <li key={line.id}><button type="button" class="plain" onClick={() => { drawer.value = { kind: "entry", id: line.id }; }}><span class="figures dim">{clock(new Date(line.at))}</span> <span>{line.text}</span></button></li>
        ))}
      </ul>
    </section>
  );
}
