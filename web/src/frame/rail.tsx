// SPDX-License-Identifier: Apache-2.0
import { logOut } from "../wire/engine";
import { WaitingKey } from "../queue/waiting";
import { addressOf, caseId, drawer, forget, goTo, link, me, open, past, remembered, setTheme, setWriter, stage, theme, version, writer, type Stage } from "../state/store";
import { clock, countOf } from "../words/number";

const kStages: readonly { stage: Stage; word: string; key: string }[] = [
  { stage: "appraise", word: "Appraise", key: "1" },
  { stage: "plan", word: "Plan", key: "2" },
  { stage: "run", word: "Run", key: "3" },
  { stage: "record", word: "Record", key: "4" },
  { stage: "journal", word: "Journal", key: "5" },
];

function Identity() {
  const now = open.value;
  const last = remembered.value;
  if (now === null && last === null) return <div class="identity"><b>Fairlead</b></div>;
  if (now === null) return <div class="identity"><b>{last?.room === "" ? "No room" : last?.room}</b><span class="identity-title">{last?.title}</span></div>;
  return (
    <div class="identity">
      <b>{now.case.room === "" ? "No room" : now.case.room}</b>
      {now.case.invented && <span class="invented">invented</span>}
      <span class="identity-title">{now.case.title}</span>
      <span class="identity-summary figures">{now.case.summary}</span>
    </div>
  );
}

function LinkState() {
  const now = link.value;
  const words = now.kind === "live" ? "live" : now.kind === "frozen" ? `frozen since ${clock(new Date(now.since))}` : "connecting";
  return <p class={`link ${now.kind}`}><span aria-hidden="true">{now.kind === "live" ? "●" : now.kind === "frozen" ? "✕" : "○"}</span> {words}</p>;
}

export function Rail() {
  const now = stage.value;
  const other = theme.value === "dark" ? "light" : "dark";
  return (
    <nav class="rail" aria-label="Stages">
      <Identity />
      <div class="stages">
        <a href="#/cases" aria-current={now === "cases" ? "page" : undefined}>Cases</a>
        <a href="#/kit" aria-current={now === "kit" ? "page" : undefined}>Kit</a>
        {(open.value !== null || remembered.value !== null) && kStages.map((each) => (
          <a key={each.stage} href={addressOf(caseId.value, each.stage, past.value)} aria-current={now === each.stage ? "page" : undefined}
            onClick={(event) => { event.preventDefault(); goTo(each.stage); }}>{each.word}</a>
        ))}
        <a href="#/practice" aria-current={now === "practice" ? "page" : undefined}>Practice</a>
      </div>
      <div class="rail-foot">
        <label class="writer" for="writer">Written by
          <input id="writer" value={writer.value} maxLength={12} placeholder="initials" autocomplete="off" spellcheck={false}
            onInput={(event) => setWriter(event.currentTarget.value)} />
        </label>
        <div class="rail-keys">
          <button type="button" class="quiet" onClick={() => setTheme(other)} aria-label={`Change to the ${other} theme`}>{other === "light" ? "Light" : "Dark"}</button>
          <button type="button" class="quiet" onClick={() => { drawer.value = { kind: "help" }; }} aria-label="Keys: the list of all keys">Keys</button>
        </div>
        {me.value?.asks_for_passwords && me.value.person && (
          <button type="button" class="quiet" onClick={() => { forget(); void logOut().finally(() => location.reload()); }}>{me.value.person.name}, {me.value.person.role}: log out</button>
        )}
        <WaitingKey open={() => { drawer.value = { kind: "waiting" }; }} />
        <LinkState />
        {open.value && <p class="dim small">{countOf(open.value.journal.length, "entry", "entries")}{version.value === "" ? "" : ` · ${version.value}`}</p>}
      </div>
    </nav>
  );
}
