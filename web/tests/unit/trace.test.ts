// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { chartOf, kHigh, kWide } from "../../src/appraise/trace/chart";
import { readTree, reroute, thinned, walk, type PathTree } from "../../src/appraise/trace/tree";
import type { TraceAnswer } from "../../src/wire/shapes";
import { imagePoint } from "../../src/wire/units";

// 4 x 3 pixels, root at (0, 0): the first row leads left, the others up.
function body(ways: readonly number[], columns = 4, rows = 3): ArrayBuffer {
  const bytes = new ArrayBuffer(16 + ways.length);
  const head = new DataView(bytes);
  [columns, rows, 0, 0].forEach((value, index) => head.setInt32(4 * index, value, true));
  new Uint8Array(bytes, 16).set(ways);
  return bytes;
}
const kWays = [8, 4, 4, 4, 6, 6, 6, 6, 6, 6, 6, 9];
const tree = (): PathTree => readTree(body(kWays)) as PathTree;

describe("the tree of cheapest paths", () => {
  it("walks from a pixel to the root", () => {
    expect(walk(tree(), imagePoint(2, 2)).map(({ x, y }) => [x, y])).toEqual([[2, 2], [2, 1], [2, 0], [1, 0], [0, 0]]);
  });
  it("takes a cursor outside the picture to its rim", () => {
    expect(walk(tree(), imagePoint(-5, 9)).length).toBe(3);
  });
  it("gives nothing where it does not reach, and ends on a circle", () => {
    expect(walk(tree(), imagePoint(3, 2))).toEqual([]);
    expect(walk(readTree(body([0, 4, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8])) as PathTree, imagePoint(0, 0))).toEqual([]);
  });
  it("refuses bytes of another length", () => {
    expect(readTree(body([8, 8], 4, 3))).toBeNull();
    expect(readTree(new ArrayBuffer(3))).toBeNull();
  });
  it("re-routes a dragged point from both neighbours, in order", () => {
    const path = reroute([tree(), null, tree()], 1, imagePoint(1, 1));
    expect(path.map(({ x, y }) => [x, y])).toEqual([[0, 0], [1, 0], [1, 1], [1, 0], [0, 0]]);
    expect(reroute([null, null], 0, imagePoint(1, 1))).toEqual([]);
  });
  it("walks a picture of 512 x 512 in far less than a frame of the screen", () => {
    const wide = new Array<number>(512 * 512).fill(4).map((_, index) => (index === 0 ? 8 : index % 512 === 0 ? 6 : 4));
    const large = readTree(body(wide, 512, 512)) as PathTree;
    let least = Infinity; // the best of many: another job on the machine may slow one down
    for (let each = 0; each < 100; each++) {
      const start = performance.now();
      walk(large, imagePoint(511, 511));
      least = Math.min(least, performance.now() - start);
    }
    expect(least).toBeLessThan(4);
  });
  it("thins a path and keeps its end", () => {
    const path = walk(tree(), imagePoint(2, 2));
    expect(thinned(path).at(-1)).toEqual(path.at(-1));
  });
});

function trace(): TraceAnswer {
  const along = Array.from({ length: 11 }, (_, each) => each);
  return {
    method: "trace 1", frame: 0, through: [[0, 0], [10, 0]], pixel_size: null, length_px: { value: 50, sd: 1 },
    length_mm: { value: 10, sd: 1, parts: [], method: "m" }, mean_diameter_mm: { value: 3, sd: 0.1, parts: [], method: "m" },
    narrowing: {
      least_mm: { value: 1.5, sd: 0.1 }, at_mm: 5, reference_mm: { value: 3, sd: 0.1 }, stenosis_pct: { value: 50, sd: 4 },
      begins_mm: 4, ends_mm: 6, reference_line: { start_mm: 3, taper: 0, chosen: false },
    },
    centreline: [], left: [], right: [], along_px: along, diameter_px: along.map(() => 15), diameter_sd_px: along.map(() => 0.5),
    along_mm: along, diameter_mm: along.map((each) => (each === 5 ? 1.5 : 3)), diameter_sd_mm: along.map(() => 0.1),
    kind: along.map((each) => (each === 8 ? "not seen" : each === 9 ? "interpolated" : "measured")), ask: null, warnings: [],
  };
}

describe("the diameter chart", () => {
  it("puts the narrowest place where it is", () => {
    expect(chartOf(trace())?.least).toEqual({ x: kWide / 2, y: expect.closeTo(kHigh * (1 - 1.5 / 4), 5) });
  });
  it("breaks the line where the vessel is not seen", () => {
    const chart = chartOf(trace());
    expect(chart?.line.match(/M/g)?.length).toBe(2);
    expect(chart?.gaps.length).toBe(1);
  });
  it("is in pixels without a scale, and draws no healthy line then", () => {
    const chart = chartOf({ ...trace(), along_mm: null, diameter_mm: null, diameter_sd_mm: null, narrowing: null });
    expect(chart?.reference).toBe("");
    expect(chart?.ends).toBe("10 px");
  });
  it("is nothing without points", () => {
    expect(chartOf({ ...trace(), along_mm: [], diameter_mm: [] })).toBeNull();
  });
});
