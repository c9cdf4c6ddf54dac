// SPDX-License-Identifier: Apache-2.0
import { expect, test } from "vitest";
import { everyTenth } from "../../src/appraise/trace/thin";
import { apartDeg, timesTheBest } from "../../src/pair/apart";
import { added, bodyOf, kNothing, markingOf, moved, unmatched, withTrace, type Marking } from "../../src/pair/marking";
import { pointsFrom, viewsOf } from "../../src/pair/origin";
import { behind, rootOf } from "../../src/pair/scene";
import { eyeOf, kFromTheFront, nearer, turned, turnWords } from "../../src/pair/turn";
import { whyNot } from "../../src/pair/why-not";
import type { Image } from "../../src/wire/shapes";
import { imagePoint } from "../../src/wire/units";

const kFrames = { a: { image: "1".repeat(64), frame: 3 }, b: { image: "f".repeat(64), frame: 5, shift_mm: [1.5, -2, 0] } };
const put = (marking: Marking, ...clicks: readonly (readonly [Parameters<typeof added>[1], "a" | "b", number, number])[]): Marking =>
  clicks.reduce((so, [tool, side, x, y]) => added(so, tool, side, imagePoint(x, y)), marking);

// PS3.3 C.8.7.5: 90 degrees primary is the patient's left, 90 degrees secondary the head; at right angles to the front.
test("views stand apart as their beams do, and a view from behind is no second view", () => {
  const view = (primary_deg: number, secondary_deg: number) => ({ primary_deg, secondary_deg });
  expect(apartDeg(view(0, 0), view(90, 0))).toBeCloseTo(90, 9);
  expect(apartDeg(view(0, 0), view(0, 90))).toBeCloseTo(90, 9);
  expect(apartDeg(view(-30, 0), view(45, 0))).toBeCloseTo(75, 9);
  expect(apartDeg(view(0, 0), view(180, 0))).toBeCloseTo(0, 5);
  for (const [a, b] of [[view(-30, -20), view(45, 25)], [view(10, 30), view(-60, 5)]] as const) expect(apartDeg(a, b)).toBeCloseTo(apartDeg(b, a), 12);
});

// sqrt(1/2 + 2/sin^2): 2.915 at 30 degrees and 5.510 at 15, against 1.581 at 90 (worked out by hand).
test("narrow views are told to cost what triangulation costs", () => {
  expect(timesTheBest(30)).toBeCloseTo(2.915 / 1.581, 2);
  expect(timesTheBest(15)).toBeCloseTo(5.510 / 1.581, 2);
});

test("a point waits for its other picture, and a cap is one point", () => {
  const one = put(kNothing, ["near", "a", 10, 20]);
  expect(unmatched(one, "near")).toEqual({ side: "a", at: imagePoint(10, 20) });
  const both = put(one, ["near", "b", 30, 40], ["near", "a", 11, 21]);
  expect(unmatched(both, "near")).toBeNull();
  expect(both.points.near).toHaveLength(1);
  expect(both.points.near[0]?.a).toEqual(imagePoint(11, 21));
  expect(moved(both, "near", "b", 0, null).points.near[0]).toEqual({ a: imagePoint(11, 21) });
});

test("what is marked goes to the engine and comes back from the journal unchanged", () => {
  const marked = put(kNothing, ["mark", "a", 1, 2], ["mark", "b", 3, 4], ["near", "a", 5, 6], ["near", "b", 7, 8], ["far", "a", 9, 10], ["far", "b", 11, 12],
    ["before", "a", 1, 1], ["before", "a", 2, 2], ["before", "b", 3, 3], ["channel", "a", 1, 5], ["channel", "a", 2, 5], ["channel", "b", 4, 5], ["channel", "b", 6, 5]);
  const body = bodyOf(marked, kFrames, "still");
  expect(body.occlusion?.near_cap).toEqual({ a: [5, 6], b: [7, 8] });
  expect(body.paths.map((each) => each.kind)).toEqual(["collateral"]);
  // What the engine makes of the pictures (PointsOfFact of pair_note_test.cc) is what was sent: frames, marks, paths, caps.
  const views = viewsOf(body, (side) => (side === "b" ? "trace 5" : ""));
  expect(views.map(({ marks, ...rest }) => rest)).toEqual([
    { image: kFrames.a.image, frame: 3 }, { image: kFrames.b.image, frame: 5, method: "trace 5", table: "moved", shift_mm: [1.5, -2, 0] }]);
  expect(views[0]?.marks.find((mark) => mark.name === "near cap")?.points).toEqual([{ x: 5, y: 6 }]);
  expect(views[1]?.marks.find((mark) => mark.name === "near cap")?.points).toEqual([{ x: 7, y: 8 }]);
  expect(views[0]?.marks.map((mark) => mark.name)).toContain("channel");
  const back = pointsFrom(JSON.parse(JSON.stringify(body)));
  expect(back).toEqual(body);
  expect(back && bodyOf(markingOf(back), kFrames, "still")).toEqual(body);
});

test("what is not of two views, or not whole, opens nothing", () => {
  const whole = bodyOf(put(kNothing, ["near", "a", 5, 6], ["near", "b", 7, 8], ["far", "a", 9, 10], ["far", "b", 11, 12]), kFrames, "unknown");
  expect(pointsFrom(whole)?.occlusion?.far_cap).toEqual({ a: [9, 10], b: [11, 12] });
  const bad = [null, undefined, "Two views", {}, { ...whole, frames: { a: whole.frames.a } }, { ...whole, table: "stool" }, { ...whole, marks: [{ name: "point 1", at: { a: [1] } }] }, { ...whole, paths: 7 }];
  for (const each of bad) expect(pointsFrom(each)).toBeNull();
});

test("a caps' length is asked for only when both caps are marked", () => {
  expect(bodyOf(put(kNothing, ["near", "a", 1, 1], ["near", "b", 2, 2]), kFrames, "unknown").occlusion).toBeUndefined();
});

test("the root of a covariance gives the covariance back", () => {
  const given = [4, 1, -0.5, 3, 0.25, 2];
  const [a, b, c, d, e, f] = rootOf(given);
  [a * a, a * b, a * d, b * b + c * c, b * d + c * e, d * d + e * e + f * f].forEach((value, at) => expect(value).toBeCloseTo(given[at] ?? 0, 12));
  expect(rootOf([0, 0, 0, 0, 0, 0]).every(Number.isFinite)).toBe(true);
});

test("a picture brought to the scene keeps its rays and lies behind it for who stands at the detector", () => {
  const source: [number, number, number] = [0, 700, 0];
  const far = { key: "a", source, corners: [[-150, -400, 150], [150, -400, 150], [150, -400, -150], [-150, -400, -150]] as const };
  const near = behind(far, [0, 0, 0], 40);
  near.corners.forEach(([x, y, z], at) => {
    const [fx, fy, fz] = far.corners[at] ?? [0, 0, 0];
    expect(y).toBeCloseTo(50, 9);
    [x * (fy - 700) - fx * (y - 700), z * (fy - 700) - fz * (y - 700)].forEach((off) => expect(off).toBeCloseTo(0, 6));
  });
});

test("a full turn comes back, nobody passes over the pole, and the words name the side", () => {
  expect(turned(turned(kFromTheFront, 200, 0), 160, 0).about).toBeCloseTo(kFromTheFront.about, 9);
  expect(turned(kFromTheFront, 0, 500).above).toBeLessThan(90);
  expect(turnWords({ about: 90, above: 0, far: 3 })).toBe("from the left");
  const [x, y, z] = eyeOf({ about: 90, above: 0, far: 2 }, [1, 2, 3], 10);
  [x - 21, y - 2, z - 3].forEach((off) => expect(off).toBeCloseTo(0, 9));
  expect(nearer(nearer(kFromTheFront, 1e9), 1e-9).far).toBeGreaterThan(kFromTheFront.far);
});

test("a trace is taken up every ten pixels with both ends, and runs towards the near cap whichever way it was traced", () => {
  const course = everyTenth(Array.from({ length: 96 }, (_, index) => [index, 0] as const));
  expect(course.map((at) => at.x)).toEqual([0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 95]);
  const caps = put(kNothing, ["near", "a", 0, 0], ["far", "a", 200, 0]);
  const before = withTrace(caps, "before", "a", course).lines.before.a ?? [];
  expect(before[0]?.x).toBe(95);
  expect(before.at(-1)?.x).toBe(0);
  expect((withTrace(caps, "after", "a", course).lines.after.a ?? [])[0]?.x).toBe(95); // the far cap lies at 200
  expect(withTrace(caps, "vessel", "b", course).lines.vessel.b).toEqual(course);
  expect(withTrace(caps, "near", "a", course)).toBe(caps);
});

test("what stands in the way of two views is said of each run", () => {
  const run = (label: string, primary_deg: number | null, more: object = {}) => ({ label, image: {
    view: primary_deg === null ? null : { primary_deg, secondary_deg: 0, text: "" }, sid_mm: 1100, sod_mm: 765, detector_spacing_mm: [0.3, 0.3], ...more } as unknown as Image });
  expect(whyNot([run("run 1", 45), run("run 2", -30)])).toBe("");
  expect(whyNot([run("run 1", 45), run("run 2", 61), run("run 3", 45, { sid_mm: null })])).toBe(""); // 16 degrees tell depth, badly
  expect(whyNot([run("run 1", 45), run("run 2", 50)])).toContain("the runs stand at most 5° apart");
  expect(whyNot([run("run 1", 45, { sid_mm: null }), run("run 2", null)])).toContain("run 1 does not say the distance from source to detector; run 2 does not say its angles");
  expect(whyNot([run("run 1", 45, { detector_spacing_mm: null, sod_mm: null }), run("run 2", -30)])).toContain("run 1 does not say the distance from source to isocentre, the detector's spacing.");
  expect(whyNot([run("run 1", 45), run("run 2", 50), run("run 3", null)])).toContain("run 3 does not say its angles; the others stand at most 5° apart");
  expect(whyNot([1, 2, 3, 4, 5].map((each) => run(`run ${each}`, null)))).toContain("; nor do 2 more");
});
