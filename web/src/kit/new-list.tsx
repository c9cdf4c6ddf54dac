// SPDX-License-Identifier: Apache-2.0
// A new list: shown first as it was understood, line by line; written only when somebody says so.
import { useSignal } from "@preact/signals";
import { say, sentence, writer } from "../state/store";
import { importList } from "./ask";
import type { ImportAnswer } from "./shapes";
import { refreshShelf } from "./shelf-state";

const kMost = 40;

function Preview({ found }: { readonly found: ImportAnswer }) {
  const left = found.columns.filter((each) => each.field === null);
  return (
    <div class="preview">
      <p><b>{found.taken} of {found.lines} lines taken</b> as {found.devices_found} devices; {found.refused} refused, {found.to_look_at} to look at <span class="dim small">({found.encoding}, “{found.delimiter === "\t" ? "tab" : found.delimiter}”)</span></p>
      {left.length > 0 && <p class="small warn">▲ Not understood and left out: {left.map((each) => each.heading).join(", ")}</p>}
      {found.missing.length > 0 && <p class="small warn">▲ No column gives {found.missing.join(", ")}: answers that need them will be unknown.</p>}
      {found.problems.length > 0 && (
        <div class="table-place" tabIndex={0} role="region" aria-label="Lines with a fault">
          <table class="items"><thead><tr><th>Line</th><th>Column</th><th>What</th><th>To do</th></tr></thead>
            <tbody>{found.problems.slice(0, kMost).map((each, index) => (
              <tr key={index}><th>{each.line} <span class={each.refused ? "warn" : "dim"}>{each.refused ? "✕ refused" : "▲ taken"}</span></th><td>{each.column}</td><td>{each.what}</td><td>{each.to_do}</td></tr>))}</tbody></table>
          {found.problems.length > kMost && <p class="small dim">and {found.problems.length - kMost} more</p>}
        </div>)}
      <details class="small"><summary>The first devices</summary>
        <ul>{found.devices.slice(0, 20).map((each) => <li key={each.id}>{each.name}: {each.title}{each.lumen_mm === null ? "" : `, lumen ${each.lumen_mm.toFixed(3)} mm`}{each.usable_cm === null ? "" : `, ${each.usable_cm} cm`}</li>)}</ul>
      </details>
    </div>
  );
}

export function NewList() {
  const file = useSignal<File | null>(null);
  const found = useSignal<ImportAnswer | null>(null);
  const trouble = useSignal("");
  const look = async (chosen: File | null) => {
    file.value = chosen;
    found.value = null;
    trouble.value = "";
    if (chosen === null) return;
    try { found.value = await importList(chosen, ""); } catch (error) { trouble.value = sentence(error); }
  };
  const keep = async () => {
    if (file.value === null) return;
    if (writer.value.trim() === "") {
      say("trouble", "Nobody is named as the writer: type your initials at the lower left, then try again");
      document.getElementById("writer")?.focus();
      return;
    }
    try {
      const kept = await importList(file.value, writer.value.trim());
      await refreshShelf();
      file.value = null;
      found.value = null;
      say("done", `The list is the lab's shelf now: ${kept.devices_found} devices`);
    } catch (error) { trouble.value = sentence(error); }
  };
  return (
    <section class="pane new-list" aria-label="A new list">
      <h2>A new list</h2>
      <label>CSV as a spreadsheet saved it<input type="file" accept=".csv,.txt,text/csv" onChange={(event) => { void look(event.currentTarget.files?.[0] ?? null); }} /></label>
      <div aria-live="polite">
        {trouble.value !== "" && <p class="warn">▲ {trouble.value}</p>}
        {found.value && <Preview found={found.value} />}
      </div>
      {found.value && found.value.taken > 0 && <button type="button" class="main" onClick={() => { void keep(); }}>Make it the lab's shelf</button>}
      <p class="small dim">It takes the place of the shelf that was; the journal of the lab keeps both.</p>
    </section>
  );
}
