// SPDX-License-Identifier: Apache-2.0
// What a label says: typed, or sent by a scanner that types.
import { useSignal } from "@preact/signals";
import { open, say, sentence, write } from "../state/store";
import { readLabel } from "./ask";
import type { LabelAnswer } from "./shapes";

// What the journal says of a package that was opened: all that its label tells, and our name for it.
export const usedText = (found: LabelAnswer): string => found.note !== "" ? found.note :
  ["used", found.device?.name ?? "a device that the shelf does not know", found.label.human_readable,
    found.label.lot ? `lot ${found.label.lot}` : "", found.label.serial ? `serial ${found.label.serial}` : "",
    found.label.expires ? `${found.label.expired ? "EXPIRED" : "expires"} ${found.label.expires}` : ""].filter((each) => each !== "").join("; ");

function IntoTheJournal({ found }: { readonly found: LabelAnswer }) {
  const now = open.value;
  if (now === null) return <p class="small dim">Open a case to write it into its journal.</p>;
  const text = usedText(found);
  // A serial number is one package; a lot may come twice.
  const again = found.label.serial !== null && now.journal.some((each) => each.text.includes(found.label.human_readable) && each.status === "counts");
  return (
    <>
      {again && <p class="warn small">▲ This very package is in the journal already.</p>}
      <button type="button" onClick={() => { void write("note", { text }).then((done) => { if (done) say("done", `Written into ${now.case.title}`); }); }}>Used: write it into {now.case.title}</button>
    </>
  );
}

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
          <p class="small">{found.value?.device ? `On the shelf: ${found.value.device.name}` : "No device of the shelf has this number: a provisional item, whose sizes are not known; fit and reach with it are unknown. Add it to the shelf's list."}</p>
          {found.value && <IntoTheJournal found={found.value} />}
        </>}
      </div>
    </section>
  );
}
