// SPDX-License-Identifier: Apache-2.0
// Takes back one's own last entry within two minutes: shows it first, then withdraws it by an amendment.
import { useState } from "preact/hooks";
import { engineNow, entryOf, keepEntry, open, say, writer } from "../state/store";
import type { JournalLine } from "../wire/shapes";

const kMostMs = 120_000;

export function ownLast(journal: readonly JournalLine[], by: string, now: number): JournalLine | null {
  const mine = journal.filter((line) => line.by === by && line.amends === null && line.kind !== "shown" && line.status === "counts");
  const last = mine.reduce<JournalLine | null>((newest, line) => (newest === null || line.seq > newest.seq ? line : newest), null);
  return last !== null && now - Date.parse(last.recorded) <= kMostMs ? last : null;
}

export function UndoKey() {
  const [shown, setShown] = useState<JournalLine | null>(null);
  const look = () => {
    const last = ownLast(open.value?.journal ?? [], writer.value.trim(), engineNow().getTime());
    if (last === null) say("trouble", "Nothing of yours in the last two minutes: amend the entry in the journal instead");
    setShown(last);
  };
  const take = (line: JournalLine) => {
    const id = open.value?.case.id;
    setShown(null);
    if (id === undefined) return;
    void keepEntry(id, entryOf("withdraw", { reason: "undo" }, { id: line.id, at: line.at }), `undo: ${line.text}`);
  };
  if (shown === null) return <button type="button" onClick={look}>Undo</button>;
  return (
    <span class="undo" role="group" aria-label="Undo">
      <span>Take back: <b>{shown.text}</b>?</span>
      <button type="button" class="main" onClick={() => take(shown)}>Take it back</button>
      <button type="button" class="quiet" onClick={() => setShown(null)}>Leave it</button>
    </span>
  );
}
