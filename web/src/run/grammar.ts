// SPDX-License-Identifier: Apache-2.0
// The table of the log as the engine serves it: the page completes words and offers chips from it. It reads no line by
// itself: whether a line is taken, and as what, the engine says.
import { arrayOf, fallback, number, object, oneOf, text, truth, type Parsed, type Parser } from "../wire/parse";
import type { Counted } from "./numbers";

// Words separated by blanks.
const words: Parser<readonly string[]> = (value, path) => fallback(text, "")(value, path).split(" ").filter((each) => each !== "");
const unit = object({ unit: text, factor: number });
const word = object({ word: text, also: words });
const field = object({
  name: text, label: text, type: oneOf("number", "word", "tag", "name"), need: oneOf("may", "asked", "must"),
  units: fallback(arrayOf(unit), []), low: fallback(number, 0), high: fallback(number, 0), words: fallback(arrayOf(word), []),
  letters: words, sign: fallback(text, ""), joined: fallback(text, ""), bare: fallback(truth, false),
  keyed: fallback(truth, false),
});
export type GrammarField = Parsed<typeof field>;
const verb = object({
  verb: text, also: words, group: text, side: oneOf("none", "may", "must"), says: text, example: text, usage: fallback(text, ""),
  fields: fallback(arrayOf(field), []), usual: fallback(arrayOf(text), []),
});
export type GrammarVerb = Parsed<typeof verb>;
export const grammarAnswer = object({ verbs: arrayOf(verb) });
export type Grammar = Parsed<typeof grammarAnswer>;

const lower = (each: string): string => each.toLowerCase();

export function verbOf(table: Grammar, typed: string): GrammarVerb | null {
  const first = lower(typed.trim().split(/\s+/)[0] ?? "");
  return table.verbs.find((row) => lower(row.verb) === first || row.also.some((each) => lower(each) === first)) ?? null;
}

// What may stand next; `from` is where the word under the cursor begins.
export interface Completion {
  readonly from: number;
  readonly words: readonly string[];
}
export function completionOf(table: Grammar, typed: string): Completion {
  const from = typed.search(/\S*$/);
  const begun = lower(typed.slice(from));
  const fits = (each: string): boolean => lower(each).startsWith(begun) && lower(each) !== begun;
  const row = verbOf(table, typed);
  if (typed.slice(0, from).trim() === "") {
    if (begun === "") return { from, words: [] };
    const names = table.verbs.filter((each) => fits(each.verb) || (each.verb !== row?.verb && each.also.some(fits)));
    return { from, words: names.map((each) => each.verb).slice(0, 8) };
  }
  if (row === null || begun.startsWith("@")) return { from, words: [] };
  return { from, words: openChips(row, typed.slice(0, from)).flatMap((group) => group.words).filter(fits).slice(0, 8) };
}

export interface ChipGroup {
  readonly label: string;
  readonly need: "may" | "asked" | "must";
  readonly words: readonly string[]; // to touch
  readonly field: GrammarField | null; // a number to be typed on the pad
}

// The words and numbers of a verb that the line does not have yet.
export function openChips(row: GrammarVerb, typed: string, tags: readonly string[] = []): readonly ChipGroup[] {
  const there = new Set(typed.trim().split(/\s+/).slice(1).map(lower));
  const groups: ChipGroup[] = [];
  if (row.side !== "none" && !there.has("a") && !there.has("r")) {
    groups.push({ label: "side", need: row.side === "must" ? "must" : "may", words: ["a", "r"], field: null });
  }
  for (const each of row.fields) {
    if (each.type === "word" && !each.words.some(({ word: one, also }) => there.has(lower(one)) || also.some((other) => there.has(lower(other))))) {
      groups.push({ label: each.label, need: each.need, words: each.words.map((one) => one.word), field: null });
    } else if (each.type === "tag") {
      const fit = tags.filter((tag) => each.letters.some((letter) => tag.startsWith(letter))); // what is in the body, by its number
      if (fit.length > 1 && !fit.some((tag) => there.has(tag))) groups.push({ label: each.label, need: each.need, words: fit, field: null });
    } else if (each.type === "number" && !each.keyed) {
      groups.push({ label: each.units[0] === undefined ? each.label : `${each.label}, ${each.units[0].unit}`, need: each.need, words: [], field: each });
    }
  }
  return groups;
}

// The line with one word more; a word that was begun is completed by it.
export function withWord(typed: string, each: string): string {
  const from = typed.search(/\S*$/);
  const begun = typed.slice(from);
  const completes = begun !== "" && lower(each).startsWith(lower(begun)) && lower(each) !== lower(begun);
  const before = completes ? typed.slice(0, from) : begun === "" || lower(each) === lower(begun) ? typed.slice(0, from) : `${typed} `;
  return `${before}${each} `;
}

// What stands between or behind the digits of a verb: "x", "/", and the units of those numbers that are known by them.
export function padSigns(row: GrammarVerb): { readonly joins: readonly string[]; readonly units: readonly string[] } {
  const numbers = row.fields.filter((each) => each.type === "number");
  const units = numbers.filter((each) => !each.bare && each.units[0] !== undefined).map((each) => each.units[0]?.unit ?? "");
  return { joins: [...new Set(numbers.map((each) => each.joined).filter((each) => each !== ""))], units: [...new Set(units)] };
}
// The unit joins the number before it, and ends it.
export const withUnit = (typed: string, unit: string): string => `${typed.trimEnd()}${unit} `;

// The last lines of that verb that were typed here, newest first, without their time: to be touched and changed.
export function asBefore(table: Grammar, row: GrammarVerb, history: readonly string[]): readonly string[] {
  const lines = [...history].reverse().filter((line) => verbOf(table, line)?.verb === row.verb).map((line) => line.replace(/\s*@\S+/, "").trim());
  return [...new Set(lines)].filter((line) => line.includes(" ")).slice(0, 3);
}

// The last number of a line up or down, by one or by ten in the place of its last digit: "ak 0.88" to "ak 0.89" or "ak 0.98".
// Null where nothing stands to be changed, or nothing would be left.
export function stepped(typed: string, by: number): string | null {
  const found = [...typed.matchAll(/(?<![A-Za-z\d.])\d+(?:\.\d+)?/g)].at(-1);
  if (found === undefined || typed.trim().split(/\s+/).length < 2) return null;
  const digits = found[0].split(".")[1]?.length ?? 0;
  const next = Number(found[0]) + by / 10 ** digits;
  if (next <= 0) return null;
  return `${typed.slice(0, found.index)}${next.toFixed(digits)}${typed.slice(found.index + found[0].length)}`;
}

// What a console counts goes up from what it said last: the next likely totals. Nothing but sums of the page.
const kRises: ReadonlyMap<string, { readonly counter: keyof Counted; readonly steps: readonly number[]; readonly decimals: number }> = new Map([
  ["ak", { counter: "kerma", steps: [0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.7, 1], decimals: 2 }],
  ["dap", { counter: "area", steps: [5, 10, 15, 20, 30, 40, 60], decimals: 0 }],
]);
export function nextTotals(verb: string, counted: Counted): readonly string[] {
  const rise = kRises.get(verb);
  if (rise === undefined) return [];
  const unit = verb === "ak" ? "Gy" : "Gycm2"; // said with its unit: the room's console may count in another
  return rise.steps.map((step) => `${verb} ${((counted[rise.counter] ?? 0) + step).toFixed(rise.decimals)}${unit}`);
}

// A digit of the pad: joins the number that is being typed.
export function withDigit(typed: string, key: string): string {
  if (key === "⌫") return typed.replace(/\s+$/, "").slice(0, -1);
  return /[\d.+=x/]$/.test(typed) || typed.endsWith(" ") || typed === "" ? typed + key : `${typed} ${key}`;
}
