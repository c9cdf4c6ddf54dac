// SPDX-License-Identifier: Apache-2.0
// The ladder of a case as docs/wire.md has it.
import { anything, arrayOf, count, fallback, mapOf, maybe, number, object, oneOf, text, truth, type Parsed } from "./parse";

const figure = object({ value: number, spread: number, source: text });
const chance = object({ value: number, low: number, high: number, words: text });
const perThousand = object({ value: number, low: number, high: number });
const spending = object({ minutes: number, contrast_ml: number, kerma_mgy: number });
const side = oneOf("antegrade", "retrograde");
const way = object({ plan: arrayOf(object({ id: text, minutes: count })), p_cross: chance, harm_per_1000: perThousand });
export type Way = Parsed<typeof way>;
const patience = object({
  strategy: text, under_way: truth, more_min: count, change_now: way, ten_more: way,
  difference: object({ value: number, low: number, high: number }), clear: truth, text, kept_to_end: number,
});
export type Patience = Parsed<typeof patience>;
const rung = object({
  id: text, words: text, side, minutes: count, flat_from: count, flat_to: count, p_cross: number, chance: text,
  harm_per_1000: number, expected: spending,
});
export type LadderRung = Parsed<typeof rung>;
const ask = object({ fact: text, words: text, found_by: text });
const technique = object({ id: text, words: text });
const algorithm = object({
  id: text, name: text, source: text, checked: oneOf("seen", "memory"), clock: text, rule: maybe(text), when: maybe(text),
  first: arrayOf(object({ id: text, words: text, low: number, high: number })), steps: arrayOf(arrayOf(technique)),
  remarks: arrayOf(text), missing: arrayOf(ask), decides: maybe(ask),
});
export type PublishedAlgorithm = Parsed<typeof algorithm>;
const fit = object({
  id: text, needs_min: number, fits_now: truth, fits_for_min: maybe(number), binds: text, text,
});
export type Fit = Parsed<typeof fit>;
const doubts = object({
  shares: arrayOf(object({ order: text, share: number })), first_minutes: arrayOf(count), loss_mean: number,
  what_if: arrayOf(object({ what: text, order: text, same_order: truth, p_cross: number })),
  weights: fallback(arrayOf(object({ weight: number, order: text, p_cross: number, harm_per_1000: number, in_force: truth })), []),
});
const run = object({
  strategy: text, phase: text, phase_min: number, attempt_min: number, text,
  flat: maybe(object({ from: count, to: count })), tried: arrayOf(object({ strategy: text, minutes: number, phase: text, closed: truth })),
});
export const ladderAnswer = object({
  seq: count, now: maybe(text), holds_until: maybe(text), run: maybe(run), priors: object({ version: text, owner: text, own_attempts: count, words: text }),
  budgets: arrayOf(object({ what: oneOf("minutes", "contrast_ml", "kerma_mgy"), limit: maybe(number), reserve: number, used: number, left: maybe(number) })),
  fits: arrayOf(fit), no_odds: number, losses: arrayOf(object({ minutes: count, loss: number })), patience: maybe(patience),
  rungs: arrayOf(rung), p_cross: chance, harm_per_1000: perThousand, expected: spending, proven: truth,
  come_back: object({
    chance: text, text, later_success: figure, not_across: figure, prepared: figure,
    by_days: arrayOf(object({ days: count, one_centre: number, registry: number })), worth: number,
  }),
  stop: object({ worth: figure, text }), nothing: text, assumes: text,
  objective: mapOf(figure),
  curves: arrayOf(object({ id: text, side, every_min: count, crossed_by: arrayOf(number) })),
  strategies: arrayOf(object({ id: text, words: text, side, can: number, can_from: figure, median_min: number, median_from: figure, phases: anything })),
  algorithms: arrayOf(algorithm), camps: arrayOf(object({ first: text, algorithms: arrayOf(text), open: truth })),
  disputes: arrayOf(object({ topic: text, stances: mapOf(text) })), followed: object({ text, source: text }),
  assumptions: arrayOf(text), left_out: arrayOf(text), doubts: fallback(maybe(doubts), null),
});
export type LadderAnswer = Parsed<typeof ladderAnswer>;
export type Doubts = Parsed<typeof doubts>;
