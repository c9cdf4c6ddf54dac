// SPDX-License-Identifier: Apache-2.0
// One entry of the journal: what was written, when it happened and when it was recorded; amend and withdraw.
import { useState } from "preact/hooks";
import { Withdraw } from "../facts/withdraw";
import { drawer, goBackTo, open, past, say, write } from "../state/store";
import { isRecord } from "../wire/parse";
import type { JournalLine } from "../wire/shapes";
import { moment } from "../words/number";

function AmendNote({ line }: { readonly line: JournalLine }) {
  const first = isRecord(line.data) && typeof line.data["text"] === "string" ? line.data["text"] : "";
  const [text, setText] = useState(first);
  const save = async () => {
    if (text.trim() === "") return say("trouble", "The note is empty: withdraw it instead, with a reason");
    if (await write("note", { text: text.trim() }, { id: line.amends ?? line.id, at: line.at })) say("done", "Amended: both versions stay readable");
  };
  return <form class="withdraw" onSubmit={(event) => { event.preventDefault(); void save(); }}><label>New wording<input value={text} maxLength={2000} onInput={(event) => setText(event.currentTarget.value)} /></label><button type="submit">Amend it</button></form>;
}

export function EntryDrawer({ id }: { readonly id: string }) {
  const line = open.value?.journal.find((each) => each.id === id);
  if (!line) return <p>The entry is not in this case.</p>;
  const counts = line.status === "counts" || line.status === "amendment";
  const before = open.value?.journal.find((each) => each.id === line.amends);
  const factName = line.kind === "fact" && isRecord(line.data) && typeof line.data["fact"] === "string" ? line.data["fact"] : "";
  const of = isRecord(line.data) && typeof line.data["of"] === "string" ? line.data["of"] : "";
  return (
    <div class="entry-drawer">
      <h2>Entry {line.seq}: {line.kind}</h2>
      <p>{line.text}</p>
      <dl class="pairs">
        <div><dt>Happened</dt><dd>{moment(line.at)}</dd></div>
        <div><dt>Recorded</dt><dd>{moment(line.recorded)}</dd></div>
        <div><dt>By</dt><dd>{line.by}{line.device === "" ? "" : `, ${line.device}`}</dd></div>
        <div><dt>State</dt><dd>{line.status}</dd></div>
        {before && <div><dt>{line.kind === "withdraw" ? "Withdraws" : "Amends"}</dt><dd>entry {before.seq}: {before.text}</dd></div>}
        <div><dt>Name</dt><dd class="doi">{line.id}</dd></div>
      </dl>
      {past.value === null && (
        <div class="others">
          <button type="button" onClick={() => goBackTo({ at: line.at, known: false })}>See the case as it was then</button>
          <button type="button" onClick={() => goBackTo({ at: line.recorded, known: true })}>See it as it was known then</button>
        </div>
      )}
      {factName !== "" && <button type="button" onClick={() => { drawer.value = { kind: "fact", name: factName, of }; }}>Open the fact, amend it there</button>}
      {counts && line.kind === "note" && <AmendNote line={line} />}
      {counts && (line.kind === "fact" || line.kind === "note" || line.kind === "calibration" || line.kind === "image") && <Withdraw id={line.id} done={() => { drawer.value = { kind: "shut" }; }} />}
      <details><summary>As written</summary><pre>{JSON.stringify(line.data, null, 1)}</pre></details>
    </div>
  );
}
