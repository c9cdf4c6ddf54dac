// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { likePicture } from "../../src/like/picture";
import type { LikeAnswer, PastCase } from "../../src/like/like-shape";

const one = (id: string, distance: number, success: boolean | null, complication: boolean | null = false): PastCase => ({
  case: id, began: "2026-01-01T00:00:00Z", invented: true, vessel: "RCA", j_cto: 2, distance, compared: 1, tries: [], success, complication,
  minutes: null, contrast_ml: null, air_kerma_gy: null, parts: [],
});
const answer = (cases: PastCase[]): LikeAnswer => ({
  asked_of: 9, too_little: 0, near: 1, near_within: 0.2, invented: 0, success: null, complication: null, by_first: [], minutes: null, contrast_ml: null,
  air_kerma_gy: null, cases, weights: [], says: [], source: "similarity-1971",
});

describe("The picture of cases like this one", () => {
  it("puts nearer cases further left and never one upon another", () => {
    const { dots, height } = likePicture(answer([one("a", 0.1, true), one("b", 0.1, false), one("c", 0.1, null), one("d", 0.11, true), one("e", 0.4, true)]));
    for (let i = 1; i < dots.length; ++i) expect(dots[i]?.x ?? 0).toBeGreaterThanOrEqual(dots[i - 1]?.x ?? 0);
    for (const a of dots) {
      expect(a.y).toBeGreaterThan(0);
      expect(a.y).toBeLessThan(height - 26);
      for (const b of dots) if (a !== b) expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeGreaterThan(14);
    }
  });
  it("tells outcomes by shape and word", () => {
    const { dots } = likePicture(answer([one("a", 0, true), one("b", 0.3, false, true), one("c", 0.5, null)]));
    expect(dots.map((dot) => dot.shape)).toEqual(["success", "failed", "unknown"]);
    expect(dots[1]?.trouble).toBe(true);
    expect(dots[1]?.said).toContain("failed, major complication");
  });
  it("draws the limit of near inside the sheet, also with one case upon it", () => {
    const drawn = likePicture(answer([one("a", 0, true)]));
    expect(drawn.near).toBeLessThan(640);
    expect(drawn.ticks.length).toBeGreaterThan(1);
  });
});
