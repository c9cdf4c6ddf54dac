// SPDX-License-Identifier: Apache-2.0
// Two views measured together (docs/wire.md): what is sent, and the answer as parsers.
import { post } from "./engine";
import { arrayOf, count, fallback, mapOf, maybe, number, object, oneOf, text, truth, type Parsed } from "./parse";

export type Side = "a" | "b";
export const kSides: readonly Side[] = ["a", "b"];
export type Pixel = readonly [number, number];
export type InSides<T> = Readonly<Partial<Record<Side, T>>>;

export interface PairPoints {
  readonly frames: Readonly<Record<Side, { readonly image: string; readonly frame: number; readonly shift_mm?: readonly number[] }>>;
  readonly table: "still" | "unknown";
  readonly marks: readonly { readonly name: string; readonly at: InSides<Pixel> }[];
  readonly paths: readonly { readonly name: string; readonly kind: "vessel" | "collateral"; readonly at: InSides<readonly Pixel[]> }[];
  readonly occlusion?: {
    readonly near_cap: InSides<Pixel>; readonly far_cap: InSides<Pixel>;
    readonly before?: InSides<readonly Pixel[]>; readonly course?: InSides<readonly Pixel[]>; readonly after?: InSides<readonly Pixel[]>;
  };
}

const part = object({ name: text, sd: number });
const length = object({ value: number, sd: maybe(number), parts: fallback(arrayOf(part), []) });
const figured = object({ value: number, sd: number });
const place = arrayOf(number);
export const course = object({
  name: text, kind: oneOf("vessel", "collateral"), length_mm: length, chord_mm: length, winding: figured, turning_deg: figured,
  bend_deg: object({ value: number, sd: number, at_mm: number, arm_mm: number, over_45: number }),
  turns: arrayOf(object({ turn_deg: figured, at_mm: number })),
  places_mm: arrayOf(place), covariance_mm2: arrayOf(arrayOf(number)), seen_px: mapOf(arrayOf(place)), warnings: arrayOf(text),
});
export type Course = Parsed<typeof course>;
export const pairAnswer = object({
  method: text, in_space: truth, between_deg: number, narrow: truth, stated_rms_px: number, fitted_rms_px: number, widened: number,
  frames: mapOf(object({
    image: text, frame: count, columns: count, rows: count, source_mm: place, corners_mm: arrayOf(place),
    change: maybe(object({ primary_deg: number, secondary_deg: number, roll_deg: number, shift_mm: place, shift_sd_mm: place })),
  })),
  occlusion: maybe(object({
    method: text, method_text: text, length_mm: length, at_least: truth, over_20_mm: number, course_seen: truth, course: maybe(course),
  })),
  paths: arrayOf(course),
  marks: arrayOf(object({ name: text, at_mm: place, covariance_mm2: arrayOf(number), stated_px: number, fitted_px: number, left_out: truth, doubtful: truth })),
  warnings: arrayOf(text),
});
export type PairAnswer = Parsed<typeof pairAnswer>;
const guideAnswer = object({ from: place, to: place, sd_px: number, marks: count });
export type GuideAnswer = Parsed<typeof guideAnswer>;

export const measurePair = (points: PairPoints, signal: AbortSignal) => post("/api/pair/measure", pairAnswer, points, signal);
export const guidePair = (points: PairPoints, from: Side, to: Side, point: Pixel, signal: AbortSignal) =>
  post("/api/pair/guide", guideAnswer, { ...points, from, to, point }, signal);
