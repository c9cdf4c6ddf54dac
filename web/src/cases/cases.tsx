// SPDX-License-Identifier: Apache-2.0
import { signal } from "@preact/signals";
import { cases, open, refreshCases, say, sentence } from "../state/store";
import { openCase, postFile } from "../wire/engine";
import { object, text } from "../wire/parse";
import type { CaseSummary } from "../wire/shapes";
import { countOf, moment } from "../words/number";

const title = signal("");
const room = signal("");

function NewCase() {
  const save = async () => {
    if (title.value.trim() === "") return say("trouble", "The case has no title: say in a few words which vessel, no name");
    try {
      const made = await openCase(title.value.trim(), room.value.trim());
      title.value = "";
      location.hash = `#/case/${made.id}/appraise`;
    } catch (error) {
      say("trouble", sentence(error));
    }
  };
  return (
    <form class="new-case" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <h2>New case</h2>
      <label>Title, no names<input value={title.value} maxLength={120} autocomplete="off" onInput={(event) => { title.value = event.currentTarget.value; }} /></label>
      <label>Room<input value={room.value} maxLength={40} autocomplete="off" onInput={(event) => { room.value = event.currentTarget.value; }} /></label>
      <button type="submit" class="main">Open the case</button>
    </form>
  );
}

function CaseLine({ each }: { readonly each: CaseSummary }) {
  return (
    <li>
      <a class="case-line" href={`#/case/${each.id}/appraise`} aria-current={open.value?.case.id === each.id ? "true" : undefined}>
        <b>{each.title}</b>
        {each.invented && <span class="invented">invented</span>}
        <span class="case-summary figures">{each.summary}</span>
        <span class="dim small">{each.room === "" ? "no room" : each.room} · {countOf(each.entries, "entry", "entries")}{each.last_at ? ` · ${moment(each.last_at)}` : ""}</span>
      </a>
    </li>
  );
}

const takenAnswer = object({ case: text, says: text });

// A case that another Fairlead exported: every byte is verified by the engine before anything is written.
function TakeIn() {
  const take = async (file: File | undefined) => {
    if (file === undefined) return;
    try {
      const taken = await postFile("/api/cases/import", takenAnswer, file);
      say("done", taken.says);
      await refreshCases();
      location.hash = `#/case/${taken.case}/record`;
    } catch (error) {
      say("trouble", sentence(error));
    }
  };
  return (
    <section class="new-case" aria-labelledby="take-in-head">
      <h2 id="take-in-head">A case from elsewhere</h2>
      <label>One file, as Record gives it (.tar)<input type="file" accept=".tar" onChange={(event) => { void take(event.currentTarget.files?.[0]); event.currentTarget.value = ""; }} /></label>
    </section>
  );
}

export function Cases() {
  return (
    <>
      <h1>Cases</h1>
      <div class="cases-page">
        <ul class="case-list">
          {cases.value.map((each) => <CaseLine key={each.id} each={each} />)}
          {cases.value.length === 0 && <li class="empty">No case in this folder yet. Open the first one beside this.</li>}
        </ul>
        <div><NewCase /><TakeIn /></div>
      </div>
    </>
  );
}
