// SPDX-License-Identifier: Apache-2.0
// The engine's nearest past cases (docs/wire.md), as one parser from which its type is read.
import { arrayOf, count, maybe, number, object, text, truth, type Parsed } from "../wire/parse";

const share = object({ events: count, cases: count, low: number, high: number });
export type LikeShare = Parsed<typeof share>;
const quartiles = object({ cases: count, low: number, middle: number, high: number });
const part = object({ fact: text, label: text, unit: text, here: text, there: text, apart: number, share: number });
const pastCase = object({
  case: text, began: text, invented: truth, vessel: text, j_cto: maybe(count), distance: number, compared: number,
  tries: arrayOf(object({ strategy: text, minutes: number, crossed: truth })),
  success: maybe(truth), complication: maybe(truth), minutes: maybe(number), contrast_ml: maybe(number), air_kerma_gy: maybe(number),
  parts: arrayOf(part),
});
export type PastCase = Parsed<typeof pastCase>;

export const likeAnswer = object({
  asked_of: count, too_little: count, near: count, near_within: number, invented: count,
  success: maybe(share), complication: maybe(share),
  by_first: arrayOf(object({ strategy: text, cases: count, crossed_first: count, success: count, with_outcome: count, minutes: maybe(quartiles) })),
  minutes: maybe(quartiles), contrast_ml: maybe(quartiles), air_kerma_gy: maybe(quartiles),
  cases: arrayOf(pastCase), weights: arrayOf(object({ fact: text, label: text, weight: number, apart: number })), says: arrayOf(text), source: text,
});
export type LikeAnswer = Parsed<typeof likeAnswer>;
