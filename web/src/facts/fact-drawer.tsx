// SPDX-License-Identifier: Apache-2.0
// One fact in the drawer: value, uncertainty, source, because; then the form, the history, amend and withdraw.
import { useState } from "preact/hooks";
import { begin, beginFor, task } from "../appraise/measuring";
import { Parts } from "../appraise/parts";
import { chosenHash, jump, picture } from "../appraise/desk";
import { capsOf } from "../appraise/gap/caps-note";
import { takeUpCaps } from "../appraise/gap/marks";
import { takeUp } from "../appraise/trace/tracing";
import { pointsBehind, reopen } from "../pair/hand";
import { drawer, goTo, open, rowOf, say, scoreOf, sourceOf, stage, write } from "../state/store";
import { parseBelief, type Fact, type FactRow, type PastValue, type ViewOrigin } from "../wire/shapes";
import { beliefOut, beliefWords } from "../words/belief";
import { moment } from "../words/number";
import { beliefIn, draftOf, Editor } from "./editor";
import { MarkGlyph } from "./glyphs";
import { lineFor, spreadMissing, type Line } from "./known";
import { Withdraw } from "./withdraw";

// The same run, frame, points and strokes; the engine traces them anew.
function ShowTrace({ fact }: { readonly fact: Fact }) {
  const row = rowOf.value.get(fact.name);
  const origin = fact.origin;
  if (!row || !origin) return null;
  const show = () => {
    if (stage.value !== "appraise") goTo("appraise");
    drawer.value = { kind: "shut" };
    chosenHash.value = origin.image;
    jump(origin.frame ?? 0);
    takeUp(origin.points, origin.frame ?? 0, origin.strokes, wasOf(fact, row));
  };
  return <button type="button" onClick={show}>Show it on the picture</button>;
}

const wasOf = (fact: Fact, row: FactRow) => ({ method: fact.origin?.method ?? "", words: beliefWords(parseBelief(fact.value, row.name, row.type), row) });

// Both caps, each in its frame of its run, as they were marked.
function ShowCaps({ fact }: { readonly fact: Fact }) {
  const marks = capsOf(fact);
  const row = rowOf.value.get(fact.name);
  const near = marks?.find((mark) => mark.role === "near cap");
  if (marks === null || !row || !near) return null;
  const show = () => {
    if (stage.value !== "appraise") goTo("appraise");
    drawer.value = { kind: "shut" };
    chosenHash.value = near.image;
    jump(near.frame);
    takeUpCaps(marks, wasOf(fact, row));
  };
  return <button type="button" onClick={show}>Show both caps</button>;
}

// Every picture that it rests on, and what was marked there.
function Pictures({ views }: { readonly views: readonly ViewOrigin[] }) {
  const label = (hash: string) => open.value?.images.find((each) => each.hash === hash)?.label ?? `image ${hash.slice(0, 8)}`;
  return (
    <details><summary>What was marked, picture by picture</summary>
      {views.map((view) => (
        <p key={`${view.image}/${view.frame}`} class="dim small"><b>{label(view.image)}, frame {view.frame + 1}</b>
          {view.table === "still" && ", table stood still"}{view.table === "unknown" && ", table's place not known"}{view.table === "moved" && `, table moved by ${view.shift_mm.join(", ")} mm`}
          {": "}{view.marks.map((mark) => (mark.points.length === 1 ? mark.name : `${mark.name} (${mark.points.length} places)`)).join(", ")}{view.method === "" ? "" : `; courses of ${view.method}`}
        </p>))}
    </details>
  );
}

function Because({ fact }: { readonly fact: Fact }) {
  const label = open.value?.images.find((each) => each.hash === fact.origin?.image)?.label;
  const origin = fact.origin;
  return (
    <>
      {origin && origin.method !== "" && <p class="dim">{origin.method}{label === undefined ? "" : ` · ${label}`}{origin.frame === null || origin.frame < 0 ? "" : `, frame ${origin.frame + 1}`}</p>}
      {origin && origin.parts.length > 0 && <Parts parts={origin.parts} unit="mm" />}
      {origin && label !== undefined && origin.method.startsWith("trace ") && origin.points.length > 1 && <ShowTrace fact={fact} />}
      <TwoViews fact={fact} />
      <ShowCaps fact={fact} />
      {fact.rule !== null && <p class="dim">Derived: {fact.rule}</p>}
      {origin && origin.views.length > 0 && <Pictures views={origin.views} />}
      {fact.note !== "" && ((pointsBehind(fact) === null && capsOf(fact) === null) || (origin?.views ?? []).length > 0 ? <p>{fact.note}</p> : <details><summary>Every click behind it</summary><p class="dim small pair-note">{fact.note}</p></details>)}
    </>
  );
}

// The pictures behind a fact from two views, as they were marked.
function TwoViews({ fact }: { readonly fact: Fact }) {
  const points = pointsBehind(fact);
  if (points === null) return null;
  const show = () => {
    if (stage.value !== "appraise") goTo("appraise");
    drawer.value = { kind: "shut" };
    const row = rowOf.value.get(fact.name);
    reopen(points, fact.origin?.views ?? [], row ? wasOf(fact, row) : null);
  };
  return <button type="button" onClick={show}>Show its two views</button>;
}

function History({ row, fact, amend }: { readonly row: FactRow; readonly fact: Fact; readonly amend: (past: PastValue) => void }) {
  const [leaving, setLeaving] = useState("");
  if (fact.history.length === 0) return null;
  return (
    <section><h3>History</h3>
      <ul class="history">
        {[...fact.history].reverse().map((past) => (
          <li key={past.entry} class={past.status.replace(" ", "-")}>
            <span class="history-value figures">{beliefWords(parseBelief(past.value, row.name, row.type), row)}</span>
            <span class="dim small">{past.mark ?? ""} · {moment(past.at)} · {past.by} · {past.status}</span>
            {(past.status === "counts" || past.status === "amendment") && (
              <span class="history-do">
                <button type="button" class="quiet" onClick={() => amend(past)}>Amend</button>
                <button type="button" class="quiet" aria-expanded={leaving === past.entry} onClick={() => setLeaving(leaving === past.entry ? "" : past.entry)}>Withdraw</button>
              </span>
            )}
            {leaving === past.entry && <Withdraw id={past.entry} done={() => setLeaving("")} />}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Form({ line, amending, done }: { readonly line: Line; readonly amending: PastValue | null; readonly done: () => void }) {
  const { row, of, fact } = line;
  const first = amending ? parseBelief(amending.value, row.name, row.type) : line.belief;
  const [draft, setDraft] = useState(draftOf(first, row));
  const [mark, setMark] = useState<"stated" | "read">(row.group === "patient" ? "stated" : "read");
  const [note, setNote] = useState(amending ? fact?.note ?? "" : "");
  const save = async () => {
    const belief = beliefIn(draft, row);
    if (typeof belief === "string") return say("trouble", belief);
    const data = { fact: row.name, ...(of === "" ? {} : { of }), value: beliefOut(belief), mark, ...(note.trim() === "" ? {} : { note: note.trim() }) };
    // An amendment names the original, also when it replaces an earlier amendment.
    const original = open.value?.journal.find((each) => each.id === amending?.entry)?.amends ?? amending?.entry;
    if (await write("fact", data, amending && original ? { id: original, at: amending.at } : undefined)) {
      say("done", `${row.label}: ${beliefWords(belief, row)}`);
      done();
    }
  };
  return (
    <form class="fact-form" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <h3>{amending ? `Amend the value of ${moment(amending.at)}` : "Set"}</h3>
      <Editor row={row} draft={draft} change={setDraft} />
      <fieldset class="choice"><legend>How it is known</legend>
        <label><input type="radio" name="mark" checked={mark === "read"} onChange={() => setMark("read")} /><span>read from images</span></label>
        <label><input type="radio" name="mark" checked={mark === "stated"} onChange={() => setMark("stated")} /><span>stated</span></label>
      </fieldset>
      <label>Note<input value={note} maxLength={400} onInput={(event) => setNote(event.currentTarget.value)} /></label>
      <div class="form-end">
        <button type="submit" class="main">{amending ? "Write the amendment" : "Write into the journal"}</button>
        {amending && <button type="button" onClick={done}>Leave it</button>}
      </div>
    </form>
  );
}

function Measure({ row, of }: { readonly row: FactRow; readonly of: string }) {
  if (row.unit !== "mm" || row.type !== "reading" || picture.value === null || picture.value.kind === "ultrasound") return null;
  const startRuler = () => {
    if (stage.value !== "appraise") goTo("appraise");
    drawer.value = { kind: "shut" };
    beginFor(row.name, of);
    setTimeout(() => document.getElementById("picture")?.focus());
  };
  return <button type="button" class="main" onClick={startRuler}>{task.value === "ruler" ? "Measuring: start anew" : "Start measuring"}</button>;
}

export function FactDrawer({ name, of }: { readonly name: string; readonly of: string }) {
  const [amending, setAmending] = useState<PastValue | null>(null);
  const row = rowOf.value.get(name);
  if (!row) return <p>The dictionary has no fact of the name {name}.</p>;
  const line = lineFor(row, of);
  const source = sourceOf.value.get(row.source);
  return (
    <div class="fact-drawer">
      <h2>{row.label}{of === "" ? "" : `, channel ${of}`}</h2>
      <p class="fact-now figures"><MarkGlyph mark={line.mark} /> <b>{beliefWords(line.belief, row)}</b></p>
      <p class="dim small">{line.mark === "unknown" ? "nobody has looked yet" : line.mark}{spreadMissing(line) ? ", spread not known" : ""}{line.fact?.at ? ` · ${moment(line.fact.at)}` : ""}{line.fact?.by ? ` · ${line.fact.by}` : ""}</p>
      {line.fact && <Because fact={line.fact} />}
      {line.waiting.length > 0 && <p class="waits">Waited for by {line.waiting.map((id) => scoreOf.value.get(id)?.name ?? id).join(", ")}</p>}
      <Measure row={row} of={of} />
      <Form key={amending?.entry ?? `new ${line.fact?.entry ?? ""}`} line={line} amending={amending} done={() => setAmending(null)} />
      {line.fact && <History row={row} fact={line.fact} amend={(past) => { begin("none"); setAmending(past); }} />}
      <section><h3>What is meant</h3>
        <p class="definition">{row.definition}</p>
        <p class="dim small">{source?.citation ?? row.source}{source?.doi ? <span class="doi">, {source.doi}</span> : null}</p>
      </section>
    </div>
  );
}
