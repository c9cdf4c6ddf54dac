// SPDX-License-Identifier: Apache-2.0
// The form for one belief, made from the dictionary's row: number ± sd, odds between grades, a chance for a flag.
import type { Belief, FactRow } from "../wire/shapes";
import { gradeWord } from "../words/belief";
import { fromOdds, moveShare, toOdds } from "./odds";

// What stands in the form; text, so that a half-typed number is not a number yet.
export interface Draft {
  readonly kind: "value" | "unseen" | "not determinable";
  readonly text: string;
  readonly sd: string;
  readonly yes: number | null;        // hundredths
  readonly shares: readonly number[]; // hundredths, in the order of the grades; empty: nothing chosen
}

export function draftOf(belief: Belief, row: FactRow): Draft {
  const empty: Draft = { kind: "value", text: "", sd: "", yes: null, shares: [] };
  switch (belief.kind) {
    case "unknown": return empty;
    case "unseen":
    case "not determinable": return { ...empty, kind: belief.kind };
    case "flag": return { ...empty, yes: Math.round(belief.yes * 100) };
    case "odds": return { ...empty, shares: fromOdds(row.grades, belief.odds) };
    case "number": return { ...empty, text: String(Math.round(belief.value * 1000) / 1000), sd: belief.sd === null ? "" : String(Math.round(belief.sd * 1000) / 1000) };
    case "numbers": return { ...empty, text: belief.values.map((each) => (each.sd === null ? String(each.value) : `${each.value} ± ${each.sd}`)).join(", ") };
  }
}

const asNumber = (text: string): number | null => {
  const found = Number(text.trim().replace(",", "."));
  return text.trim() === "" || !Number.isFinite(found) ? null : found;
};

function inRange(value: number, row: FactRow): string {
  const unit = row.unit === "" ? "" : ` ${row.unit}`;
  if (row.low !== null && value < row.low) return `${row.label}: ${value} is below ${row.low}${unit}; type it again`;
  if (row.high !== null && value > row.high) return `${row.label}: ${value} is above ${row.high}${unit}; type it again`;
  return "";
}

function readNumber(text: string, sdText: string, row: FactRow): Belief | string {
  const value = asNumber(text);
  if (value === null) return `${row.label}: type a number${row.unit === "" ? "" : ` in ${row.unit}`}`;
  if (row.type === "count" && !Number.isInteger(value)) return `${row.label}: type a whole number`;
  const fault = inRange(value, row);
  if (fault !== "") return fault;
  if (sdText.trim() === "") return { kind: "number", value, sd: null };
  const sd = asNumber(sdText);
  return sd === null || sd <= 0 ? `${row.label}: the sd is a number above 0, or empty if it is not known` : { kind: "number", value, sd };
}

// The belief that the form holds, or a sentence on what is missing.
export function beliefIn(draft: Draft, row: FactRow): Belief | string {
  if (draft.kind !== "value") return { kind: draft.kind };
  if (row.type === "flag") return draft.yes === null ? `${row.label}: choose yes, no or a chance between` : { kind: "flag", yes: draft.yes / 100 };
  if (row.type === "grade") return draft.shares.length === 0 ? `${row.label}: choose a grade or odds between grades` : { kind: "odds", odds: toOdds(row.grades, draft.shares) };
  if (row.type === "readings") {
    const values = [];
    for (const piece of draft.text.split(",")) {
      const [text = "", sd = ""] = piece.split(/±|\+-/);
      const each = readNumber(text, sd, row);
      if (typeof each === "string") return each;
      if (each.kind === "number") values.push({ value: each.value, sd: each.sd });
    }
    return { kind: "numbers", values };
  }
  return readNumber(draft.text, draft.sd, row);
}

interface EditorProps {
  readonly row: FactRow;
  readonly draft: Draft;
  readonly change: (next: Draft) => void;
}

function Numbers({ row, draft, change }: EditorProps) {
  const list = row.type === "readings";
  const usual = row.usual_spread;
  return (
    <div class="numbers">
      <label>{list ? `Values, parted by commas${row.unit === "" ? "" : `, ${row.unit}`}` : `Value${row.unit === "" ? "" : `, ${row.unit}`}`}
        <input value={draft.text} inputMode={list ? "text" : "decimal"} autocomplete="off" onInput={(event) => change({ ...draft, kind: "value", text: event.currentTarget.value })} />
      </label>
      {row.type === "reading" && <label>± sd{row.unit === "" ? "" : `, ${row.unit}`}
        <input value={draft.sd} inputMode="decimal" autocomplete="off" placeholder="not known" onInput={(event) => change({ ...draft, kind: "value", sd: event.currentTarget.value })} />
      </label>}
      {row.type === "reading" && usual && (usual.share > 0 || usual.floor > 0) &&
        <p class="dim small">Usual spread between readers: {usual.share > 0 ? `${Math.round(usual.share * 100)} %` : ""}{usual.share > 0 && usual.floor > 0 ? ", at least " : ""}{usual.floor > 0 ? `${usual.floor} ${row.unit}` : ""}</p>}
    </div>
  );
}

function Flag({ row, draft, change }: EditorProps) {
  const set = (yes: number) => change({ ...draft, kind: "value", yes });
  return (
    <fieldset class="choice"><legend class="unseen">{row.label}</legend>
      <label><input type="radio" name="flag" checked={draft.kind === "value" && draft.yes === 100} onChange={() => set(100)} /><span>Yes</span></label>
      <label><input type="radio" name="flag" checked={draft.kind === "value" && draft.yes === 0} onChange={() => set(0)} /><span>No</span></label>
      <label class="share">Chance of yes
        <input type="range" min={0} max={100} step={5} value={draft.yes ?? 50} onInput={(event) => set(Number(event.currentTarget.value))} />
        <output class="figures">{draft.yes === null ? "–" : `${draft.yes} in 100`}</output>
      </label>
    </fieldset>
  );
}

function Odds({ row, draft, change }: EditorProps) {
  const even = () => fromOdds(row.grades, new Map(row.grades.map((grade) => [grade, 1 / row.grades.length])));
  const shares = draft.shares.length === 0 ? row.grades.map(() => 0) : draft.shares;
  const move = (index: number, wanted: number) =>
    change({ ...draft, kind: "value", shares: moveShare(draft.shares.length === 0 ? even() : draft.shares, index, wanted) });
  return (
    <fieldset class="odds"><legend>Odds between grades{draft.shares.length === 0 ? "" : ", adding up to 100"}</legend>
      {row.grades.map((grade, index) => (
        <div class="odds-line" key={grade}>
          <button type="button" aria-pressed={shares[index] === 100} onClick={() => change({ ...draft, kind: "value", shares: row.grades.map((_, each) => (each === index ? 100 : 0)) })}>{gradeWord(grade)}</button>
          <input type="range" aria-label={`${gradeWord(grade)}, share in 100`} min={0} max={100} step={5} value={shares[index] ?? 0} onInput={(event) => move(index, Number(event.currentTarget.value))} />
          <input class="figures share-number" aria-label={`${gradeWord(grade)}, in 100`} type="number" min={0} max={100} value={shares[index] ?? 0} onChange={(event) => move(index, Number(event.currentTarget.value))} />
        </div>
      ))}
    </fieldset>
  );
}

export function Editor(props: EditorProps) {
  const { row, draft, change } = props;
  const unseen = row.may_be_unseen && !row.grades.includes("unseen");
  const other = (kind: Draft["kind"], word: string) => (
    <button type="button" aria-pressed={draft.kind === kind} onClick={() => change({ ...draft, kind: draft.kind === kind ? "value" : kind })}>{word}</button>
  );
  return (
    <>
      {row.type === "flag" ? <Flag {...props} /> : row.type === "grade" ? <Odds {...props} /> : <Numbers {...props} />}
      {(unseen || row.may_be_not_determinable) && (
        <div class="others">
          {unseen && other("unseen", "Looked for, not seen")}
          {row.may_be_not_determinable && other("not determinable", "Not determinable")}
        </div>
      )}
    </>
  );
}
