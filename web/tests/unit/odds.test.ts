// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { fromOdds, moveShare, toOdds } from "../../src/facts/odds";

// Mulberry32, so that the trials are the same everywhere.
function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}
const sum = (shares: readonly number[]) => shares.reduce((a, b) => a + b, 0);

describe("Odds between grades", () => {
  it("add up to one hundred whatever is moved", () => {
    const random = seeded(20261125);
    for (let trial = 0; trial < 5000; trial++) {
      const n = 1 + Math.floor(random() * 6);
      let shares = moveShare(Array.from({ length: n }, () => 0), Math.floor(random() * n), random() * 100);
      for (let move = 0; move < 5; move++) shares = moveShare(shares, Math.floor(random() * n), random() * 140 - 20);
      expect(sum(shares), `trial ${trial}: ${shares.join()}`).toBe(100);
      expect(Math.min(...shares)).toBeGreaterThanOrEqual(0);
    }
  });
  it("give the moved grade what was asked", () => expect(moveShare([70, 30, 0], 2, 20)).toEqual([56, 24, 20]));
  it("survive the way out and back", () => {
    const grades = ["tapered", "blunt", "none"];
    expect(Object.fromEntries(toOdds(grades, fromOdds(grades, new Map([["blunt", 0.7], ["tapered", 0.3]]))))).toEqual({ tapered: 0.3, blunt: 0.7 });
    expect(sum(fromOdds(grades, new Map(grades.map((grade) => [grade, 1 / 3]))))).toBe(100);
  });
});
