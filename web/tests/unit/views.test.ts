// SPDX-License-Identifier: Apache-2.0
// Pictures of working views and of the skin. Expected places are worked out by hand from the circle and the straight line.
import { describe, expect, test } from "vitest";
import { cellRuns, contour, labelPlace } from "../../src/views/contour";
import { kUsual, queryOf } from "../../src/views/asked";
import { anglesWords, hereAt, kField, mapPicture, moved } from "../../src/views/picture";
import { viewsAnswer } from "../../src/views/shapes";
import { kSkin, skinPicture } from "../../src/skin/picture";
import { skinAnswer } from "../../src/skin/shapes";
import recordedSkin from "../recorded/skin.json";
import recordedViews from "../recorded/views.json";

const points = (path: string) => [...path.matchAll(/[ML]([-\d.]+) ([-\d.]+)/g)].map((each) => ({ x: Number(each[1]), y: Number(each[2]) }));
const same = (at: number) => at;

describe("a line of equal value", () => {
  const size = 41;
  const round = Array.from({ length: size * size }, (_, index) => Math.hypot((index % size) - 20, Math.floor(index / size) - 20));
  test("of a cone is a circle", () => {
    const found = points(contour({ columns: size, rows: size, values: round }, 12, same, same));
    expect(found.length).toBeGreaterThan(80);
    for (const { x, y } of found) expect(Math.abs(Math.hypot(x - 20, y - 20) - 12)).toBeLessThan(0.12);
  });
  test("of a plane is straight, and none is drawn beyond its values", () => {
    const plane = Array.from({ length: 100 }, (_, index) => index % 10);
    const found = points(contour({ columns: 10, rows: 10, values: plane }, 4.5, same, same));
    expect(found.every(({ x }) => x === 4.5)).toBe(true);
    expect(contour({ columns: 10, rows: 10, values: plane }, 12, same, same)).toBe("");
  });
  test("through a saddle keeps its two pieces apart", () => {
    expect(points(contour({ columns: 2, rows: 2, values: [1, 0, 0, 1] }, 0.6, same, same))).toHaveLength(4);
  });
  test("has its figure on itself", () => {
    const path = contour({ columns: size, rows: size, values: round }, 12, same, same);
    const at = labelPlace(path, 40, 20);
    expect(at && Math.abs(at.x - 32)).toBeLessThan(0.6);
    expect(labelPlace("", 0, 0)).toBeNull();
  });
  test("runs of cells cover each cell once", () => {
    const path = cellRuns(5, 2, (column, row) => row === 0 && column > 0 && column < 4, same, same);
    expect(path).toBe("M0.5 0.0H3.5V0.5H0.5Z");
  });
});

const view = (text: string, primary: number, secondary: number, more = {}) => ({
  view: text, primary_deg: primary, secondary_deg: secondary, foreshortening_pct: 4, foreshortening_beam_pct: 4, overlap_pct: 2, dose_rate: 1.2, skin_gy: null,
  tube_at_operator: false, reach: "free", cost: { sum: 0, foreshortening: 0, overlap: 0, dose_rate: 0, skin: 0, operator: 0 }, ...more,
});
const columns = 61;
const rows = 46;
const cells = <T>(of: (primary: number, secondary: number) => T): T[] =>
  Array.from({ length: columns * rows }, (_, index) => of(-60 + 2 * (index % columns), -45 + 2 * Math.floor(index / columns)));
const answer = viewsAnswer({
  seq: 3, limit_pct: 25, skin_from: "", segment: { vessel: "LAD", from: 0.1, to: 0.3, why: "as chosen", vessels: ["LAD"] },
  target: { name: "LAD", length_mm: 24, measured: false }, considered: ["LCX"], best: [view("LAO 30", 30, 0), view("RAO 10 CRA 30", -10, 30)],
  second: { ...view("RAO 30", -30, 0), about_vessel_deg: 60, between_beams_deg: 60 }, barrel: view("LAO 60 CAU 45", 60, -45), notes: [], gantry: "usual", caution: "c",
  map: {
    primary_deg: { from: -60, to: 60, step: 2, count: columns }, secondary_deg: { from: -45, to: 45, step: 2, count: rows },
    foreshortening_pct: cells((primary, secondary) => Math.hypot(primary - 30, secondary)), overlap_pct: cells((primary) => (primary < -40 ? 60 : 0)),
    dose_rate: cells(() => 1), skin_gy: cells((primary, secondary) => (primary === 30 && secondary === -45 ? 3 : 0)), reach: cells((primary) => (primary > 50 ? "o" : "f")).join(""),
  },
}, "");

describe("the view map", () => {
  const drawn = mapPicture(answer);
  const perDegree = (kField.right - kField.left) / 120;
  test("puts LAO to the right and cranial up, each view at its angles", () => {
    const best = drawn.marks.find((mark) => mark.letter === "A");
    expect(best?.x).toBeCloseTo(kField.left + 90 * perDegree, 6);
    const other = drawn.marks.find((mark) => mark.letter === "C");
    expect(other?.y).toBeLessThan(best?.y ?? 0);
    expect(drawn.marks.map((mark) => mark.letter)).toEqual(["✕", "C", "B", "A"]);
  });
  test("draws 10 % of foreshortening ten degrees round where there is none", () => {
    const line = drawn.lines.find((each) => each.level === 10);
    const x0 = kField.left + 90 * perDegree;
    for (const { x } of points(line?.path ?? "")) expect(Math.abs(x - x0)).toBeLessThan(10.2 * perDegree);
  });
  // The engine's own map: steps of 2 degrees from -45, where no angle is a multiple of ten.
  test("has beads of exposed skin whatever angles its steps meet", () => {
    const axis = (from: number, count: number) => ({ from, to: from + 2 * (count - 1), step: 2, count });
    const cells = 61 * 46;
    const flat = Array.from({ length: cells }, () => 0);
    const map = { primary_deg: axis(-60, 61), secondary_deg: axis(-45, 46), foreshortening_pct: flat, overlap_pct: flat, dose_rate: flat, skin_gy: flat.map(() => 3), reach: "f".repeat(cells) };
    expect(mapPicture({ ...viewsAnswer(recordedViews, ""), map }).beads.length).toBe(13 * 10);
  });
  test("hatches overlap, crosses what is out of reach, and beads only exposed skin", () => {
    expect(drawn.hatched).not.toBe("");
    expect(points(drawn.hatched).every(({ x }) => x < kField.left + 21 * perDegree)).toBe(true);
    expect(points(drawn.out).every(({ x }) => x > kField.left + 109 * perDegree)).toBe(true);
    expect(mapPicture({ ...answer, map: { ...answer.map, skin_gy: [] } }).beads).toEqual([]);
  });
  test("is read at the nearest figure, and keys stay on it", () => {
    const here = hereAt(answer.map, kField.right + 50, kField.top - 50);
    expect(here).toEqual({ column: columns - 1, row: rows - 1 });
    expect(moved(answer.map, here, "ArrowRight", 1)).toEqual(here);
    expect(moved(answer.map, here, "ArrowLeft", 5)).toEqual({ column: columns - 6, row: rows - 1 });
    expect(anglesWords(-30, 20)).toBe("RAO 30 CRA 20");
    expect(anglesWords(0, -15)).toBe("AP CAU 15");
  });
  test("asks only for what was changed", () => {
    expect(queryOf(kUsual)).toBe("");
    expect(queryOf({ ...kUsual, limit: 15, weights: { skin: 2 } })).toBe("?limit=15&skin=2");
  });
});

describe("the unrolled skin", () => {
  const round = 72;
  const along = 60;
  const skinWith = (turn: number, z: number) => skinAnswer({
    seq: 1, from: "dose reports", events: 3, air_kerma_gy: 2, kerma_area_gycm2: 100, given: [], totals: null,
    peak: { gy: 3.1, low_gy: 1.8, high_gy: 5.4, from_totals: false, where: "the back", part: 0, round: turn, z_mm: z }, views: [], views_in_all: 0, why: [], remarks: [], missing: [],
    bands: { name: "A2", at_high: "B", prompt: "", early: "", midterm: "", longterm: "" }, reached: [], patient: "", body: { half_width_mm: 170, half_depth_mm: 114, size_known: true, table_known: false },
    map: [{ name: "trunk", round, along, z0_mm: -300, step_z_mm: 10, around_mm: 900,
      dose_cgy: Array.from({ length: round * along }, (_, index) => {
        const off = Math.min(Math.abs((index % round) / round - turn), 1 - Math.abs((index % round) / round - turn));
        return Math.max(0, Math.round(310 - 6000 * off - 30 * Math.abs(-300 + 10 * Math.floor(index / round) - z) / 10));
      }) }], sources: [], caution: "",
  }, "");
  test("has the back in its middle and the patient's left on the left, as seen from behind", () => {
    const middle = (kSkin.left + kSkin.right) / 2;
    expect(skinPicture(skinWith(0, 0))?.peak?.x).toBeCloseTo(middle, 6);
    expect(skinPicture(skinWith(0.25, 0))?.peak?.x).toBeLessThan(middle);
    expect(skinPicture(skinWith(0.75, 0))?.peak?.x).toBeGreaterThan(middle);
  });
  test("draws its bands about the peak", () => {
    for (const turn of [0, 0.2, 0.7]) {
      const drawn = skinPicture(skinWith(turn, 40));
      const band = drawn?.lines.find((line) => line.words === "2 Gy");
      const found = points(band?.path ?? "");
      expect(found.length).toBeGreaterThan(4);
      const x = found.reduce((sum, each) => sum + each.x, 0) / found.length;
      const y = found.reduce((sum, each) => sum + each.y, 0) / found.length;
      expect(Math.abs(x - (drawn?.peak?.x ?? 0))).toBeLessThan(6);
      expect(Math.abs(y - (drawn?.peak?.y ?? 0))).toBeLessThan(6);
    }
  });
  test("draws nothing where no place is known", () => {
    expect(skinPicture({ ...skinWith(0, 0), map: [] })).toBeNull();
    expect(skinPicture({ ...skinWith(0, 0), peak: null })).toBeNull();
  });
});

test("what the engine's own recorded answers say is drawn", () => {
  const views = viewsAnswer(recordedViews, "");
  expect(views.map.foreshortening_pct).toHaveLength(views.map.primary_deg.count * views.map.secondary_deg.count);
  expect(mapPicture(views).marks.map((mark) => mark.letter)).toContain("A");
  expect(skinPicture(skinAnswer(recordedSkin, ""))).toBeNull();
});
