// SPDX-License-Identifier: Apache-2.0
// What a label says: typed, or sent by a scanner that types.
import { useSignal } from "@preact/signals";
import { sentence } from "../state/store";
import { readLabel } from "./ask";
import type { LabelAnswer } from "./shapes";

export function ReadLabel() {
  const typed = useSignal("");
  const found = useSignal<LabelAnswer | null>(null);
  const trouble = useSignal("");
  const read = async () => {
    try { found.value = await readLabel(typed.value); trouble.value = ""; } catch (error) { found.value = null; trouble.value = sentence(error); }
  };
  const label = found.value?.label;
  return (
    <section class="pane read-label" aria-label="Read a label">
      <h2>Read a label</h2>
      <form class="add-item" onSubmit={(event) => { event.preventDefault(); void read(); }}>
        <label>GS1 text, scanned or typed<input value={typed.value} placeholder="(01)09520123456788(17)271231(10)A1B2" autocomplete="off" spellcheck={false} onInput={(event) => { typed.value = event.currentTarget.value; }} /></label>
        <button type="submit">Read</button>
      </form>
      <div aria-live="polite">
        {trouble.value !== "" && <p class="warn">▲ {trouble.value}</p>}
        {label && <>
          <table class="items"><tbody>{label.elements.map((each) => <tr key={each.ai}><th>({each.ai}) {each.title}</th><td>{each.value}</td></tr>)}</tbody></table>
          {label.expires && <p class={label.expired ? "brick" : ""}>{label.expired ? "✕ expired" : "✓ in date until"} {label.expires}</p>}
          {label.doubts.map((each) => <p key={each} class="warn small">▲ {each}</p>)}
          <p class="small">{found.value?.device ? `On the shelf: ${found.value.device.name}` : "No device of the shelf has this number."}</p>
        </>}
      </div>
    </section>
  );
}
