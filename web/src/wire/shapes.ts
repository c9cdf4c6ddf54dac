// SPDX-License-Identifier: Apache-2.0
// The engine's answers (docs/wire.md), each as one parser from which its type is read.
import {
  anything, arrayOf, branded, count, fallback, isRecord, mapOf, maybe, number, object, oneOf, text, truth, WireError,
  type Parsed, type Parser,
} from "./parse";
import type { Millimetres, MmPerPixel } from "./units";

const millimetres = branded<Millimetres>("a finite number of mm");
const mmPerPixel = branded<MmPerPixel>("a finite number of mm per pixel");

// --- What is believed about a fact
export type Belief =
  | { readonly kind: "unknown" }
  | { readonly kind: "unseen" }
  | { readonly kind: "not determinable" }
  | { readonly kind: "flag"; readonly yes: number }
  | { readonly kind: "odds"; readonly odds: ReadonlyMap<string, number> }
  | { readonly kind: "number"; readonly value: number; readonly sd: number | null }
  | { readonly kind: "numbers"; readonly values: readonly NumberBelief[] };
export interface NumberBelief {
  readonly value: number;
  readonly sd: number | null;
}

function numberBelief(value: unknown, path: string): NumberBelief {
  if (typeof value === "number") return { value: number(value, path), sd: null };
  if (!isRecord(value)) throw new WireError(path, "a number or {value, sd}", value);
  return { value: number(value["value"], `${path}.value`), sd: maybe(number)(value["sd"], `${path}.sd`) };
}

// A bare number is a chance for a flag and a reading elsewhere; `type` decides.
export function parseBelief(value: unknown, path: string, type: FactType): Belief {
  if (value === undefined || value === null) return { kind: "unknown" };
  if (value === "not determinable") return { kind: "not determinable" };
  if (type === "grade") {
    if (typeof value === "string") return { kind: "odds", odds: new Map([[value, 1]]) };
    return { kind: "odds", odds: mapOf(number)(value, path) };
  }
  if (value === "unseen") return { kind: "unseen" };
  if (type === "flag") {
    if (typeof value === "boolean") return { kind: "flag", yes: value ? 1 : 0 };
    return { kind: "flag", yes: number(value, path) };
  }
  if (type === "readings") return { kind: "numbers", values: arrayOf(numberBelief)(value, path) };
  return { kind: "number", ...numberBelief(value, path) };
}

export const factType = oneOf("flag", "grade", "count", "reading", "readings");
export type FactType = Parsed<typeof factType>;
export const markWord = oneOf("stated", "read", "measured", "derived");
export type Mark = Parsed<typeof markWord>;

export const factRow = object({
  name: text, type: factType, group: text, label: text, unit: fallback(text, ""), grades: fallback(arrayOf(text), []),
  may_be_unseen: truth, may_be_not_determinable: truth, per_channel: truth, low: maybe(number), high: maybe(number),
  usual_spread: maybe(object({ share: number, floor: number })), definition: text, source: text,
});
export type FactRow = Parsed<typeof factRow>;
export const factsAnswer = object({ facts: arrayOf(factRow) });

export const source = object({ id: text, kind: text, citation: text, doi: maybe(text), checked: maybe(text), note: maybe(text) });
export type Source = Parsed<typeof source>;
export const sourcesAnswer = object({ sources: arrayOf(source) });

// --- Images
const part = object({ name: text, sd: number });
export type Part = Parsed<typeof part>;
const pixelSize = object({ mm_per_px: mmPerPixel, sd_mm_per_px: mmPerPixel, method: text });
export type PixelSize = Parsed<typeof pixelSize>;
const remark = object({ level: oneOf("note", "warning"), text });
export const image = object({
  hash: text, modality: text, kind: fallback(text, ""), transfer_syntax: maybe(object({ uid: text, name: text })),
  rows: count, columns: count, frames: count, samples: count, bits: count, bits_stored: count, inverse: truth,
  frame_ms: fallback(arrayOf(number), []), timing: fallback(text, ""), rate_hz: maybe(number),
  view: maybe(object({ primary_deg: number, secondary_deg: number, text })),
  sid_mm: maybe(millimetres), sod_mm: maybe(millimetres), detector_spacing_mm: maybe(arrayOf(number)),
  spacing_from: fallback(text, ""), window: object({ center: number, width: number }),
  shutter: maybe(object({ left: number, right: number, top: number, bottom: number })),
  ultrasound: maybe(object({
    spacing_mm: arrayOf(number), region: object({ left: number, right: number, top: number, bottom: number }), from: fallback(text, ""), pullback_mm_s: maybe(number),
  })),
  pixel_size: maybe(pixelSize), filling: fallback(arrayOf(number), []), remarks: fallback(arrayOf(remark), []),
});
export type Image = Parsed<typeof image>;
export const uploadAnswer = object({ hash: text, again: truth, image: maybe(image), dose: maybe(object({ events: count })), entry: maybe(object({ id: text, seq: count })) });
export type Sent = Parsed<typeof uploadAnswer>;
export const pixelSizeAnswer = object({
  mm_per_px: mmPerPixel, sd_mm_per_px: mmPerPixel, parts: fallback(arrayOf(part), []), method: text,
  warnings: fallback(arrayOf(text), []),
});
export type PixelSizeAnswer = Parsed<typeof pixelSizeAnswer>;
export const lengthAnswer = object({
  length_mm: object({ value: millimetres, sd: maybe(millimetres) }), parts: fallback(arrayOf(part), []), method: text,
  warnings: fallback(arrayOf(text), []),
});
export type LengthAnswer = Parsed<typeof lengthAnswer>;
const spread = object({ value: number, sd: maybe(number) });
const measured = object({ value: number, sd: maybe(number), parts: fallback(arrayOf(part), []), method: text });
const place: Parser<readonly [number, number]> = (value, path) => {
  const [x, y] = arrayOf(number)(value, path);
  if (x === undefined || y === undefined) throw new WireError(path, "two numbers", value);
  return [x, y];
};
const places = arrayOf(place);
const numbers = arrayOf(number);
export const traceAnswer = object({
  method: text, frame: count, through: places, pixel_size: maybe(pixelSize), length_px: spread,
  length_mm: maybe(measured), mean_diameter_mm: maybe(measured),
  narrowing: maybe(object({
    least_mm: spread, at_mm: number, reference_mm: spread, stenosis_pct: spread, begins_mm: number, ends_mm: number,
    reference_line: object({ start_mm: number, taper: number, chosen: truth }),
  })),
  centreline: places, left: places, right: places, along_px: numbers, diameter_px: numbers, diameter_sd_px: numbers,
  along_mm: maybe(numbers), diameter_mm: maybe(numbers), diameter_sd_mm: maybe(numbers),
  kind: arrayOf(oneOf("measured", "by hand", "interpolated", "not seen")),
  ask: maybe(object({ words: text, at: place, second: places })), warnings: fallback(arrayOf(text), []),
});
export type TraceAnswer = Parsed<typeof traceAnswer>;

// --- Scores
export const status = oneOf("FULL", "CHECK", "POINTS", "HOLD");
export type Status = Parsed<typeof status>;
export const question = oneOf("wire", "success", "channel", "harm", "kidney");
export type Question = Parsed<typeof question>;
export const scoreDefinition = object({
  id: text, name: text, question, endpoint: text, polarity: text, status, status_why: fallback(text, ""),
  low: number, high: number, step: fallback(number, 1),
  items: arrayOf(object({
    id: text, label: text, facts: arrayOf(text),
    points: fallback(arrayOf(object({ points: number, when: text })), []),
  })),
  groups: fallback(arrayOf(object({ low: number, high: number, name: text })), []),
  rates: fallback(arrayOf(object({
    what: text, cohort: text, source: fallback(text, ""), checked: fallback(text, ""),
    by_group: maybe(arrayOf(object({ group: text, low: number, high: number }))),
  })), []),
  population: fallback(text, ""), not_for: fallback(text, ""), performance: fallback(text, ""),
  sources: fallback(arrayOf(text), []),
});
export type ScoreDefinition = Parsed<typeof scoreDefinition>;
export const scoresAnswer = object({ scores: arrayOf(scoreDefinition) });

const outcome = object({
  what: text, unit: oneOf("share", "times"), value: maybe(number), low: maybe(number), high: maybe(number), source: fallback(text, ""),
  cohort: fallback(text, ""), checked: maybe(anything),
});
export type Outcome = Parsed<typeof outcome>;
export const scoreResult = object({
  id: text, name: text, status, applies: truth, why: maybe(text), of: maybe(text), totals: maybe(mapOf(number)),
  low: maybe(number), high: maybe(number), reachable: fallback(arrayOf(number), []), missing: fallback(arrayOf(text), []),
  group: maybe(mapOf(number)), reachable_groups: fallback(arrayOf(text), []), outcome: fallback(arrayOf(outcome), []),
  items: fallback(arrayOf(object({
    id: text, label: fallback(text, ""), points: maybe(mapOf(number)), missing: fallback(arrayOf(text), []),
  })), []),
  findings: fallback(arrayOf(object({
    label: text, facts: fallback(arrayOf(text), []), probability: maybe(number), favourable: fallback(truth, false),
  })), []),
  by_strategy: fallback(arrayOf(object({
    strategy: text, totals: maybe(mapOf(number)), low: number, high: number, reachable_groups: fallback(arrayOf(text), []),
    outcome: fallback(arrayOf(outcome), []),
  })), []),
  decides: maybe(object({ fact: text, what: text })), assumed: anything, notes: fallback(arrayOf(text), []),
  sources: fallback(arrayOf(text), []),
});
export type ScoreResult = Parsed<typeof scoreResult>;
export const assessment = object({
  seq: maybe(number), scores: arrayOf(scoreResult), waiting: fallback(mapOf(arrayOf(text)), new Map()),
  disagreement: fallback(arrayOf(object({ text, scores: fallback(arrayOf(text), []) })), []),
  remarks: fallback(arrayOf(object({ text, because: fallback(arrayOf(text), []) })), []),
});
export type Assessment = Parsed<typeof assessment>;

// --- Cases
const summary = object({
  id: text, title: text, room: fallback(text, ""), invented: truth, summary: fallback(text, ""),
  entries: fallback(count, 0), last_at: maybe(text), worked_at: maybe(text), // a person wrote then, and the visit has not ended since
});
export type CaseSummary = Parsed<typeof summary>;
export const casesAnswer = object({ cases: arrayOf(summary) });
export const newCaseAnswer = object({ id: text });

const point = object({ x: number, y: number });
const viewOrigin = object({
  image: text, frame: count, method: fallback(text, ""), table: fallback(text, ""), shift_mm: fallback(arrayOf(number), []),
  marks: fallback(arrayOf(object({ name: text, points: arrayOf(point) })), []),
});
export type ViewOrigin = Parsed<typeof viewOrigin>;
export type ViewSent = Pick<ViewOrigin, "image" | "frame" | "marks"> & Partial<ViewOrigin>; // what is empty is left out
const origin = object({
  image: fallback(text, ""), frame: maybe(number), method: fallback(text, ""), points: fallback(arrayOf(point), []),
  parts: fallback(arrayOf(part), []), strokes: fallback(arrayOf(arrayOf(point)), []), views: fallback(arrayOf(viewOrigin), []),
});
export type Origin = Parsed<typeof origin>;
const entryStatus = oneOf("counts", "amended", "withdrawn", "amendment", "not understood", "struck out");
export type EntryStatus = Parsed<typeof entryStatus>;
const past = object({
  entry: text, seq: count, at: text, recorded: text, by: fallback(text, ""), value: anything, mark: maybe(markWord),
  status: entryStatus,
});
export type PastValue = Parsed<typeof past>;
const fact = object({
  name: text, of: fallback(text, ""), value: anything, mark: maybe(markWord), at: maybe(text), by: fallback(text, ""),
  entry: maybe(text), note: fallback(text, ""), origin: maybe(origin), because: fallback(arrayOf(text), []),
  rule: maybe(text), history: fallback(arrayOf(past), []), two_views: anything, // read by pair/origin.ts
});
export type Fact = Parsed<typeof fact>;
const caseImage = object({
  hash: text, label: text, entry: fallback(text, ""), image: maybe(image),
  calibration: maybe(object({ entry: text, mm_per_px: mmPerPixel, sd_mm_per_px: mmPerPixel, method: text })),
});
export type CaseImage = Parsed<typeof caseImage>;
const journalLine = object({
  seq: count, id: text, kind: text, at: text, recorded: text, by: fallback(text, ""), device: fallback(text, ""),
  text: fallback(text, ""), amends: maybe(text), status: entryStatus, data: anything,
});
export type JournalLine = Parsed<typeof journalLine>;
export const caseAnswer = object({
  case: object({ id: text, title: text, room: fallback(text, ""), invented: truth, summary: fallback(text, "") }),
  seq: count, now: text, past: anything, facts: arrayOf(fact), channels: fallback(arrayOf(text), []),
  images: fallback(arrayOf(caseImage), []), assessment, journal: fallback(arrayOf(journalLine), []),
  not_understood: fallback(count, 0),
});
export type Case = Parsed<typeof caseAnswer>;

export const entriesAnswer = object({
  entries: arrayOf(object({ id: text, seq: count, recorded: fallback(text, ""), again: fallback(truth, false) })),
});
const person = object({ name: text, role: oneOf("reader", "recorder", "operator", "administrator") });
export const meAnswer = object({ asks_for_passwords: truth, person: maybe(person) });
export type Me = Parsed<typeof meAnswer>;
export const logInAnswer = object({ person });
export const nothing = object({});
export const versionAnswer = object({ name: text, version: text, schema: fallback(text, "") });
// What the engine makes of one line of the log: how it would stand in the journal, or why it is refused.
export const lineAnswer = object({
  line: text, says: fallback(text, ""), refused: maybe(object({ what: text, to_do: fallback(text, "") })), asks: fallback(arrayOf(object({ what: text, to_do: fallback(text, ""), amends: maybe(text) })), []),
});
export const caseEvent = object({ case: text, seq: count });
export const marksEvent = object({ image: text, version: count });
export const beatEvent = object({ now: fallback(text, "") });

const errorBody = object({ error: object({ what: text, where: fallback(text, ""), to_do: fallback(text, "") }) });
export type EngineFault = Parsed<typeof errorBody>["error"];
export const parseError: Parser<EngineFault> = (value, path) => errorBody(value, path).error;
