// SPDX-License-Identifier: Apache-2.0
// Which view to leave and what instead: what is said follows from the engine's figures alone.
import { describe, expect, it } from "vitest";
import { leavingOf } from "../../src/views/leave";
import type { Views, WorkingView } from "../../src/views/shapes";

const view = (words: string, skin: number | null): WorkingView => ({
  view: words, primary_deg: 0, secondary_deg: 0, foreshortening_pct: 10, foreshortening_beam_pct: 10, overlap_pct: 0, dose_rate: 1, skin_gy: skin,
  tube_at_operator: false, reach: "free", why: "", cost: { sum: 0, foreshortening: 0, overlap: 0, dose_rate: 0, skin: 0, operator: 0 },
});
const axis = { from: 0, to: 0, step: 1, count: 1 };
const answer = (more: Partial<Views>): Views => ({
  seq: 1, limit_pct: 25, skin_from: "dose reports", segment: { vessel: "LAD", from: 0, to: 1, why: "", vessels: [], entry: null, measurable: false },
  target: { name: "LAD", length_mm: 20, measured: false }, considered: [], best: [], second: null, collateral: null, barrel: view("AP", 0), away: null, held: null, spare: null,
  notes: [], gantry: "", map: { primary_deg: axis, secondary_deg: axis, foreshortening_pct: [0], overlap_pct: [0], dose_rate: [1], skin_gy: [0], reach: "f" }, caution: "", ...more,
});
const spare = (from: number, turn = 20) => ({ from: view("LAO 45", from), to: view("LAO 20", 0.4), turn_deg: turn, entry_moves_mm: 60, foreshortening_lost_pct: 3 });

describe("The view to leave", () => {
  it("is the one that gave most, with the nearest that leaves the hot spot", () => {
    expect(leavingOf(answer({ spare: spare(3.1) }))).toMatchObject({ leave: { view: "LAO 45" }, take: { view: "LAO 20" }, turn: 20, lost: 3, minds: true });
  });
  it("is not pressed below two gray, where nothing lasting is published", () => {
    expect(leavingOf(answer({ spare: spare(1.99) }))?.minds).toBe(false);
    expect(leavingOf(answer({ spare: spare(2) }))?.minds).toBe(true);
  });
  it("is named though nothing takes its place, and is nothing where no skin is known", () => {
    expect(leavingOf(answer({ held: view("LAO 45", 4) }))).toMatchObject({ leave: { view: "LAO 45" }, take: null });
    expect(leavingOf(answer({ held: view("LAO 45", null) }))).toBeNull();
    expect(leavingOf(answer({}))).toBeNull();
    expect(leavingOf(answer({ spare: spare(4, 0.2) }))).toBeNull();
  });
});
