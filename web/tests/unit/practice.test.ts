// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { cusumPicture, funnelPicture, storyPicture, ticks, upward, type Sheet } from "../../src/practice/draw";
import { cellOf, csvOf } from "../../src/practice/table";

const sheet: Sheet = { width: 640, height: 260 };
const series = {
  cases: ["a", "b", "c"], story: [0.1, -0.8, -0.7], story_sd: [0.3, 0.4, 0.5], worse: [0, 0.7, 3], better: [0.1, 0, 0],
  worse_threshold: { h: 2.6, run_length_cases: 500 }, better_threshold: { h: 2.4, run_length_cases: 500 }, worse_signals: [2], better_signals: [],
  false_alarm_in_50: 0.06, seen_in_50: 0.5,
};

describe("The audit's pictures", () => {
  it("put zero on its line and a higher value higher up", () => {
    const y = upward(sheet, -2, 2);
    expect(y(1)).toBeLessThan(y(0));
    const zero = storyPicture(sheet, series).find((mark) => mark.look === "zero")?.d ?? "";
    expect(Number(zero.match(/M46 ([\d.]+)/)?.[1])).toBeCloseTo(y(0), 0);  // its range is symmetric as well
  });
  it("mark each signal where the sum crossed", () => {
    const dots = cusumPicture(sheet, series).filter((mark) => mark.kind === "dot");
    expect(dots).toHaveLength(1);
    const limits = cusumPicture(sheet, series).filter((mark) => mark.look === "limit");
    expect(limits).toHaveLength(2);
    expect(dots[0]?.y).toBeLessThan(Number(limits[0]?.d?.match(/M46 ([\d.]+)/)?.[1]));
  });
  it("keep the order of the units as it came", () => {
    const unit = (name: string, ratio: number) => ({ name, cases: 30, failures: 4, expected: 4, ratio, limits: [0, 0.2, 2, 2.6] });
    const words = funnelPicture(sheet, [unit("2024", 1.9), unit("2025", 0.4)]).filter((mark) => mark.look === "said").map((mark) => mark.text);
    expect(words).toEqual(["2024", "2025"]);
  });
  it("have few round ticks for any range", () => {
    for (const [low, high] of [[0, 1], [-7.3, 12.8], [0, 100000], [0.01, 0.02]] as const) {
      const found = ticks(low, high, 6);
      expect(found.length).toBeGreaterThan(1);
      expect(found.length).toBeLessThanOrEqual(8);
      for (const tick of found) expect(tick).toBeGreaterThanOrEqual(low - 1e-6);
    }
  });
});

describe("A table as CSV", () => {
  it("quotes what RFC 4180 quotes and doubles quotation marks", () => {
    expect(csvOf(["a", "b"], [["x,y", 'say "no"']])).toBe('a,b\r\n"x,y","say ""no"""');
  });
  it("never lets a spreadsheet take a cell for a formula", () => {
    expect(cellOf("=1+1")).toBe("'=1+1");
    expect(cellOf("-1.5")).toBe("-1.5");
  });
});
