// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { barPicture, kWidth } from "../../src/plan/bars";
import { groupsWords, outcomeWords, totalsWords } from "../../src/plan/words";
import { scoreDefinition, scoreResult } from "../../src/wire/shapes";

const definition = scoreDefinition({
  id: "x", name: "X", question: "wire", endpoint: "e", polarity: "p", status: "FULL", low: 0, high: 5, step: 1, items: [],
  groups: [{ low: 0, high: 1, name: "low" }, { low: 2, high: 5, name: "high" }],
}, "");
const result = (more: object) => scoreResult({ id: "x", name: "X", status: "FULL", applies: true, ...more }, "");

describe("A score's picture", () => {
  it("has a bar for each total, as high as its chance", () => {
    const drawn = barPicture(definition, result({ totals: { "1": 0.25, "2": 0.75 }, low: 1, high: 2 }));
    expect(drawn.bars.map((bar) => bar.total)).toEqual([1, 2]);
    const [first, second] = drawn.bars;
    expect((second?.height ?? 0) / (first?.height ?? 1)).toBeCloseTo(3, 9);
    expect(drawn.open).toBeNull();
  });
  it("shows missing facts as an open range with every total that can occur, never as a bar", () => {
    const drawn = barPicture(definition, result({ low: 1, high: 4, reachable: [1, 2, 4], missing: ["f"] }));
    expect(drawn.bars).toEqual([]);
    expect(drawn.dots.length).toBe(3);
    expect(drawn.open).not.toBeNull();
  });
  it("stays inside its field, with half points and with long scales", () => {
    for (const [low, high, step] of [[0, 8, 0.5], [0, 99, 1], [-2, 3, 1]] as const) {
      const wide = { ...definition, low, high, step };
      const drawn = barPicture(wide, result({ totals: { [String(low)]: 0.5, [String(high)]: 0.5 } }));
      for (const bar of drawn.bars) {
        expect(bar.x).toBeGreaterThanOrEqual(0);
        expect(bar.x + bar.width).toBeLessThanOrEqual(kWidth);
      }
      expect(drawn.ticks.length).toBeLessThanOrEqual(14);
    }
  });
});

describe("A score in words", () => {
  it("names what can be reached while facts are missing", () =>
    expect(totalsWords(result({ low: 3, high: 5, reachable: [3, 4, 5], reachable_groups: ["high"], missing: ["bend"] }))).toBe("Reaches 3, 4 or 5"));
  it("orders totals by their chance", () => {
    expect(totalsWords(result({ totals: { "1": 0.37, "2": 0.63 } }))).toBe("Total 2 (6 in 10), 1 (4 in 10)");
    expect(groupsWords(result({ totals: { "1": 0.37, "2": 0.63 }, group: { low: 0.37, high: 0.63 } }))).toBe("high: 6 in 10, low: 4 in 10");
  });
  it("rounds a published outcome to whole tens", () => {
    const [one] = result({ outcome: [{ what: "wire across within 30 min", unit: "share", value: 0.1, source: "s", cohort: "c" }] }).outcome;
    expect(one && outcomeWords(one)).toBe("wire across within 30 min: about 1 in 10");
  });
  it("tell an odds ratio as a factor, never as a chance", () => {
    const outcome = { what: "odds of failure", unit: "times", value: 5.7289, low: 5.7289, high: 5.7289 };
    const [one] = result({ outcome: [outcome] }).outcome;
    expect(one && outcomeWords(one)).toBe("odds of failure: about 5.7 times");
    const [open] = result({ outcome: [{ ...outcome, value: null, low: 1, high: 5.7289 }] }).outcome;
    expect(open && outcomeWords(open)).toBe("odds of failure: 1 to 5.7 times");
  });
});
