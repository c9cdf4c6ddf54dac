// SPDX-License-Identifier: Apache-2.0
// The engine's audit (docs/wire.md), as one parser from which its type is read.
import { arrayOf, count, fallback, maybe, number, object, text, truth, type Parsed } from "../wire/parse";

const share = object({ events: count, cases: count, share: number, low: number, high: number, interval: text });
export type Share = Parsed<typeof share>;
const interval = object({ low: maybe(number), high: maybe(number) });
const line = object({ intercept: number, intercept_sd: number, slope: number, slope_sd: number });
const quartiles = object({ cases: count, low: number, middle: number, high: number, low_within: interval, middle_within: interval, high_within: interval });
export type Quartiles = Parsed<typeof quartiles>;
const part = object({ name: text, success: maybe(share), complication: maybe(share) });
export type Part = Parsed<typeof part>;
const threshold = object({ h: number, run_length_cases: number });
const series = object({
  judged: count, at: arrayOf(count), // of a long series some cases are written: which
  cases: arrayOf(text), story: arrayOf(number), story_sd: arrayOf(number), worse: arrayOf(number), better: arrayOf(number),
  worse_threshold: threshold, better_threshold: threshold, worse_signals: arrayOf(count), better_signals: arrayOf(count),
  false_alarm_in_50: number, seen_in_50: number,
});
export type Series = Parsed<typeof series>;
const group = object({
  j_cto: text, cases: count, failures: count, published: number, own: maybe(interval),
  moved: maybe(object({ value: number, low: number, high: number })),
});
export type Group = Parsed<typeof group>;
const unit = object({ name: text, cases: count, failures: count, expected: number, ratio: number, limits: arrayOf(number), widened: maybe(interval) });
export type Unit = Parsed<typeof unit>;

const stretch = object({ first: count, last: count, failures: count, expected: number, ratio: number, low: number, high: maybe(number) });
export type Stretch = Parsed<typeof stretch>;
const learningPoint = object({ case: number, odds_factor: number, low: number, high: number });
export type LearningPoint = Parsed<typeof learningPoint>;
const left = object({ strategy: text, attempts: count, minutes: maybe(quartiles), stalled_min: maybe(quartiles) });
const remedy = object({ reason: text, next: text, crossed: maybe(share) });
const kitUse = object({ kind: text, used: maybe(share), count: maybe(quartiles) });
const habits = object({ left: arrayOf(left), remedies: arrayOf(remedy), left_for_good: count, ladder: object({ followed: maybe(share), not_shown: count }), kit: arrayOf(kitUse) });
export type Habits = Parsed<typeof habits>;
const failures = object({
  observed: count, expected: number, ratio: number, ratio_interval: interval, odds_factor: maybe(number), odds_interval: interval, p_at_least: number,
});
const byScore = object({
  score: text, name: text, what: text, cohort: text, source: text, counted: text, judged: count,
  left_out: object({ facts_missing: count, not_made_for: count, no_outcome: count }), against: maybe(failures), against_high: maybe(failures),
});
export type ByScore = Parsed<typeof byScore>;
const smoothPoint = object({ published: number, found: number, low: number, high: number });
export type SmoothPoint = Parsed<typeof smoothPoint>;
const spread = object({ units: text, count, phi: number, phi_winsorised: number, between_variance: number, between_variance_winsorised: number, beyond_chance: truth });

export const auditAnswer = object({
  cases: count, invented: count,
  left_out: object({ no_outcome: count, no_difficulty: count, no_complication_entry: count }),
  success: maybe(share), complication: maybe(share), procedural: maybe(share), by_score: arrayOf(byScore),
  belief: maybe(object({ above: number, half_more: number, doubled: number, third_less: number })),
  reference: object({ what: text, source: text }),
  failures: maybe(failures), stretches: arrayOf(stretch), learning_curve: arrayOf(learningPoint),
  own_model: maybe(object({ learnt_from: count, later: maybe(failures) })),
  missing: arrayOf(object({ name: text, missing: maybe(share) })), habits,
  series: maybe(series), by_class: fallback(arrayOf(group), []),
  calibration: object({ in_the_large: maybe(line), line: maybe(line), recalibrated: maybe(line) }),
  learning: maybe(line),
  area_under_curve: maybe(object({ value: number, sd: number, perfect: truth, low: number, high: number })),
  brier: maybe(object({ value: number, sd: number, scaled: number, expected: number, z: number })),
  minutes: maybe(quartiles), contrast_ml: maybe(quartiles), air_kerma_gy: maybe(quartiles),
  by_strategy: arrayOf(part), by_vessel: arrayOf(part), by_difficulty: arrayOf(part), by_year: arrayOf(part),
  funnel: arrayOf(unit), spread: maybe(spread), smooth: arrayOf(smoothPoint), says: arrayOf(text),
});
export type Audit = Parsed<typeof auditAnswer>;

// How the sending of rows to the registry that labs share stands.
export const outboxAnswer = object({
  on: truth, to: fallback(text, ""), lab: fallback(text, ""), waiting: fallback(count, 0), sent: fallback(count, 0),
  last_sent: fallback(maybe(text), null), failing_since: fallback(maybe(text), null), next_try: fallback(maybe(text), null), why: fallback(text, ""),
});
export type Outbox = Parsed<typeof outboxAnswer>;
