// SPDX-License-Identifier: Apache-2.0
// Building the lesson: words for the audience and for the speaker at each decision, the clips that were chosen, and what still
// stands in the way. Everything is a note whose time says at which decision it stands.
import { useEffect, useState } from "preact/hooks";
import { say, sentence, write } from "../state/store";
import { getJson } from "../wire/engine";
import { arrayOf, count, object, oneOf, text, type Parsed } from "../wire/parse";
import { countOf } from "../words/number";
import { PossibleNames, wordsAsked, WordsThatStay } from "./names";

const point = object({ at: text, when: text, question: text, done: text });
export type LessonPoint = Parsed<typeof point>;
const said = object({ entry: text, kind: oneOf("lesson", "speaker"), text, at: text, place: count });
const clip = object({ entry: text, what: text, caption: text, place: count, why_not: text });
const planAnswer = object({ points: arrayOf(point), words: arrayOf(said), clips: arrayOf(clip), perhaps_names: arrayOf(text), stay: arrayOf(text) });
export type LessonPlan = Parsed<typeof planAnswer>;

export function useLesson(id: string, heard: number, asked: boolean): LessonPlan | null {
  const [plan, setPlan] = useState<LessonPlan | null>(null);
  useEffect(() => {
    if (!asked) return undefined;
    const asking = new AbortController();
    getJson(`/api/cases/${encodeURIComponent(id)}/lesson`, planAnswer, asking.signal).then(setPlan).catch((error: unknown) => { if (!asking.signal.aborted) say("trouble", sentence(error)); });
    return () => asking.abort();
  }, [id, heard, asked]);
  return plan;
}

const kHeads = { lesson: "Words for the audience, shown after the choice", speaker: "For the speaker alone (key N)" } as const;

function SaidHere({ plan, place, kind }: { readonly plan: LessonPlan; readonly place: number; readonly kind: "lesson" | "speaker" }) {
  const last = plan.words.filter((one) => one.kind === kind && one.place === place).at(-1);
  const [typed, setTyped] = useState(last?.text ?? "");
  const [from, setFrom] = useState(last?.entry ?? "");
  if ((last?.entry ?? "") !== from) { setFrom(last?.entry ?? ""); setTyped(last?.text ?? ""); }
  const here = plan.points[place];
  const name = `${kHeads[kind]}: ${here === undefined ? "the whole case" : here.when}`;
  const keep = async (): Promise<void> => {
    const done = await write("note", { text: `${kind}: ${typed.trim()}` }, last === undefined ? undefined : { id: last.entry, at: last.at }, here?.at);
    if (done) say("done", "Kept for the lesson");
  };
  return (
    <div class="record-words"><label>{name}<textarea rows={typed === "" ? 1 : 3} maxLength={2000} value={typed} onInput={(event) => setTyped(event.currentTarget.value)} /></label>
      {typed.trim() !== "" && typed.trim() !== (last?.text ?? "") && <button type="button" onClick={() => { void keep(); }}>Keep for the lesson</button>}
    </div>
  );
}

export function LessonPane({ id, heard }: { readonly id: string; readonly heard: number }) {
  const [asked, setAsked] = useState(false);
  const [names, setNames] = useState("");
  const plan = useLesson(id, heard, asked);
  const [kept, setKept] = useState<readonly string[]>([]);
  const [gone, setGone] = useState<readonly string[]>([]);
  const masks = wordsAsked(names, kept, gone);
  const waits = plan?.clips.filter((one) => one.why_not !== "") ?? [];
  return (
    <section class="pane" aria-labelledby="lesson-head"><h2 id="lesson-head">Lesson</h2>
      {!asked && <button type="button" onClick={() => setAsked(true)}>Build the lesson</button>}
      {asked && plan === null && <p role="status">Reading the decisions…</p>}
      {plan !== null && (
        <>
          <p>{countOf(plan.points.length, "decision", "decisions")}, {countOf(plan.clips.length, "clip", "clips")}.</p>
          {[...plan.points, null].map((one, place) => (
            <details key={one === null ? "whole" : one.at + one.question}><summary>{one === null ? "The whole case" : `${one.when}: ${one.question}`}</summary>
              {one !== null && <p class="dim small">Done then: {one.done}</p>}
              <SaidHere plan={plan} place={place} kind="lesson" />
              <SaidHere plan={plan} place={place} kind="speaker" />
              {plan.clips.filter((each) => each.place === place).map((each) => <p key={each.entry} class="small">Clip: {each.what}{each.caption === "" ? "" : `, ${each.caption}`}{each.why_not === "" ? "" : `. Not shown: ${each.why_not}`}</p>)}
            </details>
          ))}
          {waits.length > 0 && <p class="warn">{countOf(waits.length, "clip waits", "clips wait")}: look at the pictures below first.</p>}
          <PossibleNames words={plan.perhaps_names} kept={kept} keep={setKept} />
          <WordsThatStay words={plan.stay} gone={gone} take={setGone} />
          <label class="record-file">More names that must not appear, with commas between<input value={names} autocomplete="off" onInput={(event) => setNames(event.currentTarget.value)} /></label>
          <a class="key" href={`/api/cases/${encodeURIComponent(id)}/lesson.html${masks === "" ? "" : `?${masks}`}`} download>Take the lesson</a>
        </>
      )}
    </section>
  );
}
