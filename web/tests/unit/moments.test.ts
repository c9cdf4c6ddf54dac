// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { curvesOf, kWide, momentsAnswer, placeOf } from "../../src/appraise/moments/curves";

const answer = {
  contrast: [0.2, 1, 0.5], motion_px: [0, 4, 2], of_beat: [null, 0, 0.5], r_waves: [1], suggested: 2, because: "Because.",
};

describe("contrast and motion over the frames", () => {
  it("goes from edge to edge, full contrast and most motion at the top", () => {
    const curves = curvesOf(momentsAnswer(answer, ""));
    expect(curves.contrast).toBe("M0.0 32.0L200.0 0.0L400.0 20.0");
    expect(curves.motion).toBe("M0.0 40.0L200.0 0.0L400.0 20.0");
    expect(curves.mostMotion).toBe(4);
    expect(curves.waves).toBe("M200.0 0V7");
    expect(placeOf(2, momentsAnswer(answer, ""))).toBe(kWide);
  });
  it("does not draw the noise of a still run as tall as motion", () => {
    expect(curvesOf(momentsAnswer({ ...answer, motion_px: [0.1, 0.1, 0.1] }, "")).mostMotion).toBe(0.5);
  });
  it("takes no suggestion for an answer too", () => {
    expect(momentsAnswer({ ...answer, suggested: null }, "").suggested).toBe(null);
  });
});
