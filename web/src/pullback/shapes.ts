// SPDX-License-Identifier: Apache-2.0
// What the engine says of a pullback (docs/wire.md, An ultrasound pullback).
import { arrayOf, count, fallback, maybe, number, object, oneOf, text, truth, type Parsed } from "../wire/parse";

const value = object({ value: number, sd: number });
export type Value = Parsed<typeof value>;
const arc = object({ from_deg: number, to_deg: number, why: oneOf("calcium", "wire", "shadow", "ring-down", "faint") });
export type Arc = Parsed<typeof arc>;
const wire = maybe(object({ angle_deg: number, distance_mm: number, margin: number, seen: truth }));
export const section = object({
  frame: count, z_mm: maybe(number), lumen_area_mm2: value, lumen_min_mm: value, lumen_max_mm: value,
  eem_area_mm2: maybe(value), eem_min_mm: maybe(value), eem_max_mm: maybe(value), plaque_burden: maybe(value),
  calcium_deg: number, not_seen: arrayOf(arc), lumen_not_seen: fallback(arrayOf(arc), []), riding_wire: wire, second_wire: wire, tissue_mm: maybe(value),
  lumen_mm: fallback(arrayOf(number), []), eem_mm: fallback(arrayOf(number), []),
  stent_area_mm2: fallback(maybe(value), null), struts: fallback(count, 0), stent_mm: fallback(arrayOf(number), []),
});
export type Section = Parsed<typeof section>;
const space = oneOf("inside", "outside", "unknown");
export type Space = Parsed<typeof space>;
const told = oneOf("lumen", "plaque", "inside", "outside", "unknown");
export type Told = Parsed<typeof told>;
const chances = object({ lumen: number, plaque: number, outside: number });
export type Chances = Parsed<typeof chances>;
const range = object({
  first: count, last: count, media_share: number, seen_share: number, lining: number, lining_sectors: count, branch_opens: count, branch_beyond: count, media_between: maybe(number),
  catheter: chances, wire: maybe(chances), catheter_side: space, wire_side: space, catheter_space: told, wire_space: told,
});
export type Range = Parsed<typeof range>;
const odds = object({ lumen: number, plaque: number, outside: number, unknown: number });
const side = object({ space: text, by_reader: truth, odds });
export type Side = Parsed<typeof side>;
export const joining = object({
  title: text, meaning: text, near: side, far: side, manoeuvres: arrayOf(text), avoid: text,
  sizes_the_rule_allows: arrayOf(object({ what: text, largest_mm: number, smallest_mm: maybe(number) })),
  cautions: arrayOf(text), look_first: arrayOf(text), before_a_wire_is_brought_out: arrayOf(text), sources: arrayOf(text), note: text,
});
export type Joining = Parsed<typeof joining>;
const loose = maybe(object({ value: number, sd: maybe(number) }));
export const joiningAnswer = object({
  frame: count, vessel: maybe(object({ eem_min_mm: loose, eem_max_mm: loose, calcium_arc_deg: maybe(number) })),
  tissue_mm: loose, thin_part_mm: loose, thin_frames: fallback(maybe(object({ first: count, last: count })), null), joining,
});
export type JoiningAnswer = Parsed<typeof joiningAnswer>;
const stent = object({
  first: count, last: count, by_reader: truth, smallest: count, smallest_area_mm2: value, reference_before: maybe(count), reference_after: maybe(count),
  expansion: arrayOf(object({ against: text, value: number, sd: number, source: text })), sources: arrayOf(text),
});
export type Stent = Parsed<typeof stent>;
export const pullback = object({
  number: fallback(number, 0), after: maybe(number), frames: count, pixel_mm: arrayOf(number), pixel_from: text, speed_mm_s: maybe(number), speed_from: text, rays: count,
  catheter_mm: number, blind_to_mm: number, smallest_lumen: maybe(count), largest_burden: maybe(count),
  first_reference: maybe(count), last_reference: maybe(count), thinnest: maybe(count), sections: arrayOf(section),
  ranges: arrayOf(range), heart: maybe(object({ beats_per_min: number, clear: number, at_rest: arrayOf(count) })),
  stent: fallback(maybe(stent), null), remarks: arrayOf(text), sources: arrayOf(text), note: text,
});
export type Pullback = Parsed<typeof pullback>;
// The frames near one of them, read by themselves before the whole.
export const near = object({ first: count, last: count, frames: count, blind_to_mm: number, sections: arrayOf(section), remarks: arrayOf(text) });
export type Near = Parsed<typeof near>;
export const shareAnswer = object({ share: maybe(number) });
export const measured = object({
  kind: oneOf("distance", "area", "angle"), value: number, sd: number, unit: text, parts: arrayOf(object({ name: text, sd: number })), method: text,
});
export type Measured = Parsed<typeof measured>;
// Kept beside the run by the engine; version 0: nobody set anything yet.
export const keptMarks = object({
  version: count, recorded: maybe(text), by: text, device: text,
  marks: object({
    pixel_mm: maybe(number), speed_mm_s: maybe(number),
    corrections: arrayOf(object({ border: oneOf("lumen", "media", "stent"), frame: count, angle_deg: number, distance_mm: number })),
    wires: arrayOf(object({ wire: oneOf("catheter", "second"), frame: count, angle_deg: number })),
    pairs: fallback(arrayOf(object({ frame: count, along_mm: number, name: fallback(text, "") })), []), vessel: fallback(maybe(text), null),
  }),
});
export type KeptMarks = Parsed<typeof keptMarks>;
export const aligned = object({
  places: arrayOf(object({ along_mm: number, sd_mm: number, beyond: truth })), remarks: arrayOf(text),
});
export type Aligned = Parsed<typeof aligned>;
