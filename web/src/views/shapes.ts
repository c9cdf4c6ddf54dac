// SPDX-License-Identifier: Apache-2.0
// What the engine answers about working views (docs/wire.md, "Views").
import { arrayOf, count, fallback, maybe, number, object, oneOf, text, truth, type Parsed } from "../wire/parse";

const angles = { view: text, primary_deg: number, secondary_deg: number };
const cost = object({ sum: number, foreshortening: number, overlap: number, dose_rate: number, skin: number, operator: number });
const view = {
  ...angles, foreshortening_pct: number, foreshortening_beam_pct: number, overlap_pct: number, dose_rate: number, skin_gy: maybe(number),
  tube_at_operator: truth, reach: oneOf("free", "check", "out"), why: fallback(text, ""), cost,
};
const viewAnswer = object(view);
export type WorkingView = Parsed<typeof viewAnswer>;
const axis = object({ from: number, to: number, step: number, count });
export type Axis = Parsed<typeof axis>;
const map = object({
  primary_deg: axis, secondary_deg: axis, foreshortening_pct: arrayOf(number), overlap_pct: arrayOf(number), dose_rate: arrayOf(number),
  skin_gy: fallback(arrayOf(number), []), reach: text,
});
export type ViewMap = Parsed<typeof map>;
export const viewsAnswer = object({
  seq: count, limit_pct: number, skin_from: text,
  segment: object({ vessel: text, from: number, to: number, why: text, vessels: arrayOf(text), entry: maybe(text), measurable: fallback(truth, false) }),
  target: object({ name: text, length_mm: number, measured: truth }), considered: arrayOf(text),
  best: arrayOf(viewAnswer), second: maybe(object({ ...view, about_vessel_deg: number, between_beams_deg: number })),
  collateral: maybe(object({ ...view, of: object({ name: text, foreshortening_pct: number, overlap_pct: number }) })),
  barrel: viewAnswer, away: maybe(viewAnswer), held: maybe(viewAnswer),
  spare: maybe(object({ from: viewAnswer, to: viewAnswer, turn_deg: number, entry_moves_mm: number, foreshortening_lost_pct: number })),
  notes: arrayOf(text), gantry: text, map, caution: text,
});
export type Views = Parsed<typeof viewsAnswer>;
