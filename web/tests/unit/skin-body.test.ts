// SPDX-License-Identifier: Apache-2.0
// The body in space. Expected by hand: patient's axes x to the left, y to the back, z to the head; seen from far away.
import { describe, expect, it } from "vitest";
import { bodyPicture, eyeFrom, kBody } from "../../src/skin/body";
import type { SkinBeam, SkinPart } from "../../src/skin/shapes";

// A trunk of 150 by 100 mm, places from the back by the left; 3 Gy in one cell of the back.
const kRound = 24;
const angle = (column: number): number => (2 * Math.PI * column) / kRound;
const part: SkinPart = {
  name: "trunk", round: kRound, along: 9, z0_mm: -200, step_z_mm: 50, around_mm: 800,
  x_mm: Array.from({ length: kRound }, (_, c) => 150 * Math.sin(angle(c))), y_mm: Array.from({ length: kRound }, (_, c) => 100 * Math.cos(angle(c))),
  dose_cgy: Array.from({ length: kRound * 9 }, (_, i) => (i === 4 * kRound ? 300 : 0)),
};
const beam: SkinBeam = {
  number: 1, view: "AP", kind: "acquisition", air_kerma_gy: 3, at_peak_gy: 3, source_mm: [0, 750, 25],
  corners_mm: [[-70, -300, -45], [70, -300, -45], [70, -300, 95], [-70, -300, 95]],
};
const from = (about: number) => ({ about, above: 0, far: 4 });
const steps = (about: number) => bodyPicture([part], beam, from(about)).shades.map((shade) => shade.step);

describe("The body in space", () => {
  it("is seen along the axes that the words say", () => {
    expect(eyeFrom(from(0)).towards[1]).toBeCloseTo(-1, 9); // the front
    expect(eyeFrom(from(90)).towards[0]).toBeCloseTo(1, 9); // the patient's left
    expect(eyeFrom(from(180)).right[0]).toBeCloseTo(-1, 9); // from behind, the patient's right is on the right
    expect(eyeFrom(from(0)).up[2]).toBeCloseTo(1, 9);
  });
  it("shows the skin that faces the eye and hides the other side", () => {
    expect(steps(180)).toContain(2); // 3 Gy: from 2 Gy on
    expect(steps(0)).not.toContain(2);
    expect(steps(0)).toEqual([-1]);
  });
  it("draws the tube where it stands, behind the body or before it", () => {
    const side = bodyPicture([part], beam, from(90));
    const scale = kBody.height / 2 / 560;
    expect(side.tube?.x).toBeCloseTo(kBody.width / 2 + 750 * scale, 6); // from the left the back lies on the right
    expect(side.tube?.y).toBeCloseTo(kBody.height / 2, 6);
    expect(bodyPicture([part], beam, from(0)).behind).toBe(true);
    expect(bodyPicture([part], beam, from(180)).behind).toBe(false);
    expect(side.rays.split("M").length - 1).toBe(4);
  });
  it("draws the body alone where no beam is known", () => {
    expect(bodyPicture([part], null, from(180))).toMatchObject({ tube: null, rays: "" });
    expect(bodyPicture([], null, from(0)).shades).toEqual([]);
  });
});
