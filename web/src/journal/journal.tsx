// SPDX-License-Identifier: Apache-2.0
import { signal } from "@preact/signals";
import { drawer, open, say, write } from "../state/store";
import { countOf, moment } from "../words/number";

const note = signal("");

function AddNote() {
  const save = async () => {
    if (note.value.trim() === "") return say("trouble", "The note is empty: type it, then write it");
    if (await write("note", { text: note.value.trim() })) note.value = "";
  };
  return (
    <form class="add-note" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <label class="unseen" for="note">Note for the journal</label>
      <input id="note" placeholder="a note for the journal" maxLength={2000} value={note.value} onInput={(event) => { note.value = event.currentTarget.value; }} />
      <button type="submit">Write the note</button>
    </form>
  );
}

export function Journal() {
  const now = open.value;
  if (!now) return null;
  return (
    <>
      <h1>Journal <span class="dim">{countOf(now.journal.length, "entry", "entries")}, newest first. Nothing is ever changed here: entries are amended or withdrawn by later ones.</span></h1>
      {now.not_understood > 0 && <p class="warn"><span aria-hidden="true">▲</span> {countOf(now.not_understood, "entry was", "entries were")} written by a newer version and not understood here; the journal keeps them.</p>}
      <AddNote />
      <div class="table-scroll" tabIndex={0} role="group" aria-label="Entries">
        <table class="journal">
          <caption class="unseen">Journal of the case</caption>
          <thead><tr><th scope="col">No.</th><th scope="col">When</th><th scope="col">Kind</th><th scope="col">What</th><th scope="col">By</th><th scope="col">State</th></tr></thead>
          <tbody>
            {[...now.journal].reverse().map((line) => (
              <tr key={line.id} class={line.status.replace(" ", "-")}>
                <td class="figures">{line.seq}</td>
                <td class="figures">{moment(line.at)}</td>
                <td>{line.kind}</td>
                <td class="what"><button type="button" class="line-open" onClick={() => { drawer.value = { kind: "entry", id: line.id }; }}>{line.text === "" ? line.kind : line.text}</button></td>
                <td>{line.by}</td>
                <td>{line.status}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}
