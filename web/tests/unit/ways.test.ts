// SPDX-License-Identifier: Apache-2.0
import { expect, test } from "vitest";
import { curveLines, firstToGo, fitBars, flatPicture, kWidth } from "../../src/ways/picture";

const fit = (id: string, fits_for_min: number | null, fits_now = true) => ({ id, needs_min: 30, fits_now, fits_for_min, binds: "minutes", text: "" });

test("a way that no longer fits has no bar, and bars never leave the field", () => {
  const bars = fitBars([fit("AW", 120), fit("ADR", 0, false), fit("RW/RDR", null)], 135);
  expect(bars.map((bar) => bar.width > 0)).toEqual([true, false, true]);
  for (const bar of bars) expect(bar.x + bar.width).toBeLessThanOrEqual(kWidth);
  expect(bars[1]?.words).toBe("does not fit: time");
});

test("the sentence on top is of the way that is ruled out, else of the one that falls out first", () => {
  const said = (id: string, until: number | null, now = true) => ({ ...fit(id, until, now), text: `${id} says` });
  expect(firstToGo([said("AW", 120), said("RW/RDR", 95), said("ADR", null)])).toBe("RW/RDR says");
  expect(firstToGo([said("AW", 5), said("ADR", 0, false)])).toBe("ADR says");
  expect(firstToGo([])).toBeNull();
});

test("the flat region is drawn where the engine says it lies", () => {
  const losses = Array.from({ length: 61 }, (_, minutes) => ({ minutes, loss: Math.abs(minutes - 30) / 1000 }));
  const drawn = flatPicture({ losses }, { from: 21, to: 39 }, 30);
  const x = (minutes: number) => 8 + (minutes / 60) * (kWidth - 16);
  expect(drawn.band?.x).toBeCloseTo(x(21), 6);
  expect((drawn.band?.x ?? 0) + (drawn.band?.width ?? 0)).toBeCloseTo(x(39), 6);
  expect(drawn.now).toBeCloseTo(x(30), 6);
  expect(flatPicture({ losses: [] }, null, null).band).toBeNull();
});

test("letters at the ends of the curves never run into each other", () => {
  const curve = (id: string, p: number) => ({ id, side: "antegrade" as const, every_min: 5, crossed_by: Array.from({ length: 19 }, (_, at) => p * at / 18) });
  const ends = curveLines([curve("AW", 0.60), curve("ADR", 0.61), curve("RW", 0.62), curve("RDR", 0)]).map((line) => line.end.y).sort((a, b) => a - b);
  for (let i = 1; i < ends.length; i++) expect((ends[i] ?? 0) - (ends[i - 1] ?? 0)).toBeGreaterThanOrEqual(15);
  expect(new Set(curveLines([curve("A", 0), curve("B", 0), curve("C", 0)]).map((line) => line.dash)).size).toBe(3);
});
