// SPDX-License-Identifier: Apache-2.0
// What the engine learnt from one's own attempts (docs/wire.md).
import { arrayOf, count, number, object, text, truth, type Parsed } from "../wire/parse";

const figure = object({ published: number, own: number, low: number, high: number, share_own: number });
const group = object({ j_cto: text, attempts: count, crossed: count, can: figure, median_min: figure, by_30: figure, can_if: arrayOf(number), by_30_if: arrayOf(number) });
const step = object({ minutes: number, at_risk: count, crossed_by: number, crossed_sd: number, complicated_by: number });
const strategy = object({
  id: text, words: text, attempts: count, crossed: count, complications: count, stopped: count, planned: count, minutes: number, groups: arrayOf(group),
  complications_per_hour: figure, ceiling_told: truth, seen: arrayOf(step), every_min: number, published_by: arrayOf(number), own_by: arrayOf(number),
});
export type LearnedStrategy = Parsed<typeof strategy>;
export const learningAnswer = object({
  date: text, attempts: count, cases: count, invented: count, stop_ratio: number, stop_ratios: arrayOf(number), by_minutes: number,
  strategies: arrayOf(strategy), steps: arrayOf(object({ reason: text, step: text, tried: count, worked: count, low: number, high: number })), steps_open: count, says: arrayOf(text), in_force: object({ version: text, own_attempts: count }), proposal: object({ version: text }),
});
export type Learning = Parsed<typeof learningAnswer>;
