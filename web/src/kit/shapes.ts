// SPDX-License-Identifier: Apache-2.0
// What the engine answers about devices (docs/wire.md, "Kit").
import { wayLackShape } from "../wire/lack";
import { arrayOf, count, fallback, maybe, number, object, oneOf, text, truth, type Parsed } from "../wire/parse";

const place = object({ x_mm: number, y_mm: number, diameter_mm: number });
export type Place = Parsed<typeof place>;
const paired = object({ device: text, section: text, moving: truth });
export type Paired = Parsed<typeof paired>;
export const fitWord = oneOf("fits", "tight", "no", "unknown");
export type FitWord = Parsed<typeof fitWord>;

// --- POST /api/kit/fit
const hostAnswer = object({
  verdict: fitWord, lumen_mm: number, host: text, margin_mm: maybe(number), smallest_lumen_mm: maybe(number), proved_lumen_mm: maybe(number),
  too_close_to_call: fallback(truth, false), positions: fallback(arrayOf(place), []), order: fallback(arrayOf(text), []),
  worst: fallback(arrayOf(paired), []), off_label: fallback(arrayOf(text), []), why: fallback(arrayOf(text), []), remark: maybe(text),
  margin_out_mm: maybe(number), flow: maybe(object({ left: number, free_area: number, resting: arrayOf(place) })),
  rounding: maybe(object({ sensitive: truth, worst_margin_mm: number, best_margin_mm: number, odds_passes: number, odds_fits: number })),
});
export type HostAnswer = Parsed<typeof hostAnswer>;
// Where a kind was named in the place of a device: each combination, best first.
const combination = object({
  lumens: arrayOf(text), items: arrayOf(text), lumens_shown: arrayOf(text), items_shown: arrayOf(text), verdict: fitWord, margin_mm: maybe(number),
  lumen_mm: number, host: text, too_close_to_call: truth, order: fallback(arrayOf(text), []), order_matters: truth, off_label: fallback(arrayOf(text), []),
});
export type Combination = Parsed<typeof combination>;
export const fitAnswer = object({
  combinations: fallback(arrayOf(combination), []), remarks: fallback(arrayOf(text), []),
  hosts: arrayOf(hostAnswer), orders: arrayOf(object({ order: arrayOf(text), verdict: fitWord, margin_mm: maybe(number) })), caution: text,
});
export type FitAnswer = Parsed<typeof fitAnswer>;

// --- GET /api/cases/{id}/panels/tray
const reach = object({ reserve_cm: number, sd_cm: number, verdict: oneOf("ok", "tight", "short"), odds_reaches: number });
export type Reach = Parsed<typeof reach>;
const device = object({ name: text, class: text, label: text, usable: count, expired: count, usable_cm: maybe(number), count: maybe(count) });
const need = object({
  id: text, what: text, why: text, side: oneOf("antegrade", "retrograde"), strategies: arrayOf(text), count, state: oneOf("ready", "doubtful", "missing"),
  remark: text, pieces: arrayOf(device), candidates: arrayOf(device), reach: maybe(reach),
});
export type Need = Parsed<typeof need>;
const group = object({
  why: text, strategies: arrayOf(text), order: arrayOf(text), verdict: fitWord, margin_mm: number, smallest_lumen_mm: number,
  off_label: arrayOf(text), flow_left: maybe(number), positions: arrayOf(place), resting: arrayOf(place), worst: arrayOf(paired),
  odds_passes: number, odds_fits: number, sensitive: truth, too_close_to_call: truth,
});
export type Group = Parsed<typeof group>;
const guide = object({
  side: oneOf("antegrade", "retrograde"), guide: maybe(object({ name: text, label: text, lumen_mm: number, usable_cm: maybe(number) })),
  sheath: maybe(text), verdict: fitWord, artery_ratio: maybe(number), groups: arrayOf(group), conflicts: arrayOf(text),
});
export type Guide = Parsed<typeof guide>;
const stretch = object({ name: text, length_cm: object({ value: number, sd: number }), typical: truth });
export type Stretch = Parsed<typeof stretch>;
const external = object({
  microcatheter: text, guide: text, wire: maybe(object({ name: text, length_cm: number, may_be_snared: truth })),
  stages: arrayOf(object({ stage: text, need_cm: number, reserve_cm: maybe(number), verdict: maybe(oneOf("ok", "tight", "short")) })),
});
export type External = Parsed<typeof external>;
export type TrayWay = Parsed<typeof wayLackShape>;
export const trayAnswer = object({
  seq: count, ways: fallback(arrayOf(wayLackShape), []), strategies: arrayOf(text), invented: truth, today: text, vessel_mm: maybe(number),
  routes: object({ valve: arrayOf(stretch), antegrade: arrayOf(stretch), retrograde: arrayOf(stretch) }),
  guides: arrayOf(guide), needs: arrayOf(need), bailout: arrayOf(need), by_eye: arrayOf(text), external: maybe(external), conflicts: arrayOf(text),
  picks: arrayOf(object({ name: text, label: text, class: text, count, what_for: arrayOf(text), where: text })), caution: text,
});
export type Tray = Parsed<typeof trayAnswer>;

// --- POST /api/kit/reach
const spare = object({ reserve_cm: number, verdict: oneOf("ok", "tight", "short") });
export const reachAnswer = object({
  need_cm: maybe(object({ value: number, sd: number })), route: fallback(arrayOf(stretch), []),
  devices: fallback(arrayOf(object({ name: text, usable_cm: number, need_cm: number, reserve_cm: number, sd_cm: number, verdict: oneOf("ok", "tight", "short"), odds_reaches: number })), []),
  runs_out_first: maybe(object({ name: text, reserve_cm: number })),
  externalise: maybe(object({ wires: arrayOf(object({ name: text, length_cm: number, parked: spare, at_guide_tip: spare, clear_of_lesion: spare, may_be_snared: truth })), rule: text })),
  exchange: maybe(object({ tail_cm: number, longest_protrusion_cm: number, ways: arrayOf(object({ way: text, works: truth, reserve_cm: maybe(number), mind: maybe(text) })) })),
  caution: text,
});
export type ReachAnswer = Parsed<typeof reachAnswer>;

// --- The shelf
const shelfDevice = object({
  id: text, name: text, class: text, title: text, label: text, lumen_mm: maybe(number), od_prox_mm: maybe(number), od_dist_mm: maybe(number),
  profile_mm: maybe(number), usable_cm: maybe(number), note: fallback(text, ""), count, expired: count, used: fallback(count, 0), short_by: fallback(count, 0),
  stock: arrayOf(object({ lot: text, expires: text, count, place: text })),
});
export type ShelfDevice = Parsed<typeof shelfDevice>;
export const shelfAnswer = object({ invented: truth, today: text, devices: arrayOf(shelfDevice), provisional: fallback(arrayOf(object({ gtin: text, used: count })), []) });
export type ShelfAnswer = Parsed<typeof shelfAnswer>;
export const importAnswer = object({
  delimiter: text, encoding: text, lines: count, taken: count, refused: count, to_look_at: count, devices_found: count,
  columns: arrayOf(object({ heading: text, field: maybe(text), unit: text })), missing: arrayOf(text),
  problems: arrayOf(object({ line: count, column: text, what: text, to_do: text, refused: truth })), devices: arrayOf(shelfDevice),
});
export type ImportAnswer = Parsed<typeof importAnswer>;
export const labelAnswer = object({
  label: object({
    gtin: text, lot: maybe(text), serial: maybe(text), expires: maybe(text), expired: maybe(truth), doubts: arrayOf(text), human_readable: text,
    elements: arrayOf(object({ ai: text, title: text, value: text })),
  }),
  device: maybe(shelfDevice), note: fallback(text, ""),
});
export type LabelAnswer = Parsed<typeof labelAnswer>;
export const wiresAnswer = object({
  invented: truth, limits: text, advice: arrayOf(text),
  wires: arrayOf(object({
    name: text, step: text, title: text, place: text, count, tip_load_gf: maybe(number), tip_mm: maybe(number), pressure_mpa: maybe(number),
    carries: fallback(arrayOf(object({ free_tip_mm: number, load_gf: number })), []),
  })),
});
export type Wires = Parsed<typeof wiresAnswer>;
export const supportAnswer = object({
  findings: arrayOf(object({ what: text, size: text, source: text })), remedies: arrayOf(object({ what: text, mind: text, costs_lumen: truth })), note: text,
});
export type Support = Parsed<typeof supportAnswer>;
