// SPDX-License-Identifier: Apache-2.0
// What the engine answers about the skin (docs/wire.md, "Skin").
import { arrayOf, count, fallback, maybe, number, object, text, truth, type Parsed } from "../wire/parse";

const part = object({ name: text, round: count, along: count, z0_mm: number, step_z_mm: number, around_mm: number, x_mm: fallback(arrayOf(number), []), y_mm: fallback(arrayOf(number), []), dose_cgy: arrayOf(number) });
export type SkinPart = Parsed<typeof part>;
const given = object({
  entry: text, label: text, earlier: truth, day: text, events: count, air_kerma_gy: number, kerma_area_gycm2: number, fluoroscopy_min: number,
});
export type GivenDose = Parsed<typeof given>;
const totals = object({
  stated_air_kerma_gy: maybe(number), summed_air_kerma_gy: number, stated_kerma_area_gycm2: maybe(number), summed_kerma_area_gycm2: number,
  fluoroscopy_min: number, agree: truth,
});
export type Totals = Parsed<typeof totals>;
const peak = object({ gy: number, low_gy: number, high_gy: number, from_totals: truth, where: fallback(text, ""), part: fallback(count, 0), round: maybe(number), z_mm: maybe(number) });
export type Peak = Parsed<typeof peak>;
const view = object({ view: text, primary_deg: number, secondary_deg: number, events: count, air_kerma_gy: number, at_peak_gy: number });
export type ViewShare = Parsed<typeof view>;
const beam = object({ number: count, view: text, kind: text, air_kerma_gy: number, at_peak_gy: number, source_mm: arrayOf(number), corners_mm: arrayOf(arrayOf(number)) });
export type SkinBeam = Parsed<typeof beam>;
export const skinAnswer = object({
  beams: fallback(arrayOf(beam), []), beams_in_all: fallback(count, 0),
  seq: count, from: text, events: count, air_kerma_gy: number, kerma_area_gycm2: number, given: arrayOf(given), totals: maybe(totals), peak: maybe(peak),
  views: arrayOf(view), views_in_all: count, why: arrayOf(text), remarks: arrayOf(text), missing: arrayOf(object({ what: text, events: count })),
  bands: object({ name: text, at_high: text, prompt: text, early: text, midterm: text, longterm: text }),
  reached: arrayOf(object({ what: text, asks: text, source: text })), patient: text,
  effective: maybe(object({ msv: number, low_msv: number, high_msv: number, by_filter: truth })),
  body: object({ half_width_mm: number, half_depth_mm: number, size_known: truth, table_known: truth }), map: arrayOf(part), sources: arrayOf(text), caution: text,
});
export type Skin = Parsed<typeof skinAnswer>;
