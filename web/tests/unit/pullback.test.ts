// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { frameAt, layout, markedSpace, runs } from "../../src/pullback/along";
import { laneFill, lanePath, laneScale, lanesOf } from "../../src/pullback/lanes";
import { marks, type Shown } from "../../src/pullback/marks";
import { rescaled, together } from "../../src/pullback/laid";
import { factOf, offers } from "../../src/pullback/offers";
import { axisOf, cutOf, distanceAt, holds, nearness, outline, pieces, pulled, toImage, toPolar, turnBetween, within, type Round } from "../../src/pullback/round";
import { indexAt, nearestOn, stripPath } from "../../src/pullback/strip";
import { toldChance } from "../../src/pullback/told";
import { joiningAnswer, pullback, type Arc, type Section } from "../../src/pullback/shapes";

const round: Round = { x: 100, y: 80, column_mm: 0.02, row_mm: 0.02 };
const circle = (radius: number): number[] => new Array<number>(128).fill(radius);
const value = (v: number) => ({ value: v, sd: 0.1 });
const section = (frame: number, more: Partial<Section> = {}): Section => ({
  frame, z_mm: frame * 0.5, lumen_area_mm2: value(3 + frame), lumen_min_mm: value(1.8), lumen_max_mm: value(2), eem_area_mm2: value(12), eem_min_mm: value(3.7), eem_max_mm: value(4.1),
  plaque_burden: value(0.7), calcium_deg: 0, not_seen: [], lumen_not_seen: [], riding_wire: null, second_wire: null, tissue_mm: null, lumen_mm: circle(1), eem_mm: circle(2),
  stent_area_mm2: null, struts: 0, stent_mm: [], ...more,
});
const reading = pullback({
  frames: 3, pixel_mm: [0.02, 0.02], pixel_from: "the file's ultrasound region", speed_mm_s: 0.5, speed_from: "typed", rays: 128, catheter_mm: 0.5, blind_to_mm: 0.6,
  smallest_lumen: 0, largest_burden: 1, first_reference: null, last_reference: null, thinnest: 2,
  sections: [section(0), section(1, { calcium_deg: 95 }), section(2, { tissue_mm: value(0.4), eem_area_mm2: null, eem_min_mm: null, eem_max_mm: null, plaque_burden: null })],
  ranges: [], heart: null, remarks: [], sources: [], note: "",
}, "");

describe("round the catheter", () => {
  it("angles run clockwise on the picture from its right, as the engine's", () => {
    expect(toImage(round, { angle_deg: 0, distance_mm: 1 })).toMatchObject({ x: 150, y: 80 });
    const below = toImage(round, { angle_deg: 90, distance_mm: 1 });
    expect(below.x).toBeCloseTo(100, 9);
    expect(below.y).toBeCloseTo(130, 9);
  });
  it("a place goes to the picture and back, also where pixels are not square", () => {
    const odd = { ...round, row_mm: 0.03 };
    for (const angle_deg of [0, 33, 90, 181, 300]) {
      const back = toPolar(odd, toImage(odd, { angle_deg, distance_mm: 1.3 }));
      expect(back.distance_mm).toBeCloseTo(1.3, 9);
      expect(Math.abs(turnBetween(back.angle_deg, angle_deg))).toBeLessThan(1e-9);
    }
  });
  it("the axis is the middle of the ultrasound region, or of the picture", () => {
    expect(axisOf({ rows: 300, columns: 400, ultrasound: null })).toEqual({ x: 199.5, y: 149.5 });
    expect(axisOf({ rows: 300, columns: 400, ultrasound: { spacing_mm: [1, 1], region: { left: 0, right: 200, top: 10, bottom: 110 }, from: "", pullback_mm_s: null } })).toEqual({ x: 100, y: 60 });
  });
  it("between two rays a border is straight, also over the seam", () => {
    const border = circle(1);
    border[0] = 2;
    expect(distanceAt(border, 360 - 360 / 256)).toBeCloseTo(1.5, 9);
  });
});

describe("odds of three spaces", () => {
  it("say what is told and how likely that is; what is not told says how likely inside would be", () => {
    const odds = { lumen: 0.5, plaque: 0.4, outside: 0.1 };
    expect(toldChance("lumen", { lumen: 0.92, plaque: 0.05, outside: 0.03 })).toBe("9 in 10");
    expect(toldChance("inside", odds)).toContain("true lumen or plaque");
    expect(toldChance("unknown", { lumen: 0.3, plaque: 0.3, outside: 0.4 })).toContain("too little to go by");
    expect(toldChance("outside", { lumen: 0.01, plaque: 0.04, outside: 0.96 })).toBe("over 9 in 10");
  });
});

describe("both wires lengthwise", () => {
  const wire = { angle_deg: 90, distance_mm: 1.5, margin: 1, seen: true };
  const signs = { media_share: 1, seen_share: 1, lining: 0, lining_sectors: 16, branch_opens: 0, branch_beyond: 0, media_between: null, catheter: { lumen: 0.02, plaque: 0.93, outside: 0.05 } };
  const ranges = [
    { ...signs, first: 0, last: 1, wire: { lumen: 0, plaque: 0.9, outside: 0.1 }, catheter_side: "inside" as const, wire_side: "inside" as const, catheter_space: "plaque" as const, wire_space: "plaque" as const },
    { ...signs, first: 2, last: 4, wire: { lumen: 0, plaque: 0.1, outside: 0.9 }, catheter_side: "inside" as const, wire_side: "outside" as const, catheter_space: "plaque" as const, wire_space: "outside" as const },
  ];
  const found = { ...reading, frames: 5, ranges, sections: [0, 1, 2, 3, 4].map((frame) => section(frame, frame === 3 ? { second_wire: { ...wire, seen: false }, tissue_mm: null } : { second_wire: wire, tissue_mm: value(0.5) })) };
  it("where the wire is not seen there is a gap, and what is told of its space changes how it is drawn", () => {
    const lanes = lanesOf(found, null);
    expect(lanes.wire.map((each) => [each.space, each.line.map((point) => point[0])])).toEqual([["inside", [0, 1, 2]], ["outside", [2]], ["outside", [4]]]);
    // Media at 2 mm, channel at 1 mm from the axis: 1 mm behind the channel's border.
    expect(lanes.media.map((piece) => piece.map((point) => point[1]))).toEqual([[1, 1, 1], [1]]);
    expect(lanes.deep_mm).toBeGreaterThanOrEqual(1);
  });
  it("a reader's mark wins along the whole pullback", () => {
    expect(lanesOf(found, "outside").wire.every((each) => each.space === "outside")).toBe(true);
  });
  it("beside the vessel no media is drawn: what is seen there is not the vessel's own", () => {
    const beside = { ...found, ranges: ranges.map((each) => ({ ...each, catheter_side: "outside" as const })) };
    expect(lanesOf(beside, null).media).toEqual([]);
  });
  it("depth goes down from the channel's border, frames from left to right", () => {
    const scale = laneScale(10, 2, 100, 10, 90);
    expect(scale.x(0)).toBe(5);
    expect(scale.y(0)).toBe(10);
    expect(scale.y(2)).toBe(90);
    expect(lanePath([[0, 0], [1, 1]], scale)).toBe("M5,10L15,50");
    expect(laneFill([[0, 1], [1, 1]], scale)).toBe("M5,10L5,50L15,50L15,10Z");
  });
});

describe("what is not seen is a gap", () => {
  const arc: Arc = { from_deg: 350, to_deg: 380, why: "shadow" };
  it("an arc over the seam holds angles on both sides of it", () => {
    expect(within([arc], 355)).toBe(arc);
    expect(within([arc], 10)).toBe(arc);
    expect(within([arc], 40)).toBeNull();
  });
  it("a whole ring closes, one with an arc is open and has no point in it", () => {
    const whole = pieces(round, circle(1), []);
    expect(whole).toHaveLength(1);
    expect(whole[0]?.[0]).toEqual(whole[0]?.at(-1));
    const open = pieces(round, circle(1), [arc]);
    expect(open).toHaveLength(1);
    for (const point of open[0] ?? []) expect(within([arc], toPolar(round, point).angle_deg)).toBeNull();
    expect(pieces(round, circle(1), [arc, { from_deg: 90, to_deg: 120, why: "calcium" }])).toHaveLength(2);
  });
  it("nothing is drawn where nothing is seen", () => expect(pieces(round, circle(1), [{ from_deg: 0, to_deg: 360, why: "shadow" }])).toEqual([]));
  it("a cut says null there", () => {
    expect(cutOf(circle(1), [arc], 0)).toEqual({ up: 1, down: null });
    expect(cutOf([], [], 0)).toEqual({ up: null, down: null });
  });
});

describe("a point in the hand", () => {
  it("the border passes through it, stays elsewhere, and neighbours follow less and less", () => {
    const to = { angle_deg: 45, distance_mm: 1.4 };
    const moved = pulled(circle(1), to, 1);
    expect(distanceAt(moved, 45)).toBeCloseTo(1.4, 6);
    expect(distanceAt(moved, 135)).toBe(1);
    expect(distanceAt(pulled(circle(1), to, nearness(3)), 45)).toBeCloseTo(1.2, 6);
    expect(nearness(6)).toBe(0);
  });
  it("eight places to take hold of; one that was set replaces its neighbour", () => {
    expect(holds(circle(1), [])).toHaveLength(8);
    const set = holds(circle(1), [{ angle_deg: 50, distance_mm: 1.4 }]);
    expect(set).toHaveLength(8);
    expect(set[0]).toEqual({ angle_deg: 50, distance_mm: 1.4 });
    expect(set.some((each) => each.angle_deg === 45)).toBe(false);
  });
});

describe("along the pullback", () => {
  it("a null breaks a line", () => expect(runs([1, 2, null, 3])).toEqual([[[0, 1], [1, 2]], [[3, 3]]]));
  it("a pointer stands on a frame, never outside", () => {
    expect(frameAt(-5, 100, 10)).toBe(0);
    expect(frameAt(55, 100, 10)).toBe(5);
    expect(frameAt(100, 100, 10)).toBe(9);
  });
  it("the tracks fill their height and do not overlap", () => {
    for (const height of [120, 200, 340]) {
      const { cut, areas, spaces, axis } = layout(height);
      expect(cut.height).toBeGreaterThan(20);
      expect(cut.top + cut.height).toBeLessThanOrEqual(areas.top);
      expect(areas.top + areas.height).toBeLessThanOrEqual(spaces.top);
      expect(spaces.top + spaces.height).toBeLessThanOrEqual(axis + 0.001);
    }
  });
  it("true lumen and plaque are both inside; a mark of nothing is none", () => {
    expect([markedSpace("lumen"), markedSpace("plaque"), markedSpace("outside"), markedSpace(null)]).toEqual(["inside", "inside", "outside", null]);
  });
});

describe("marks over the cross-section", () => {
  const shown: Shown = {
    round, section: section(0, { not_seen: [{ from_deg: 10, to_deg: 60, why: "calcium" }], second_wire: { angle_deg: 200, distance_mm: 1.6, margin: 1, seen: true }, tissue_mm: value(0.6) }),
    lumen: circle(1), media: circle(2), preview: false, cut: 90, blind_mm: 0.6, reach_mm: 1.6, hand: [], closed: false, label: "", placement: { scale: 2, left: 0, top: 0 },
  };
  it("both borders, the cut, the wire with the tissue before it", () => {
    const list = marks(shown);
    expect(list.filter((mark) => mark.kind === "line" && mark.ink === "media")).toHaveLength(1);
    expect(list.filter((mark) => mark.kind === "line" && mark.ink === "cut")).toHaveLength(2);
    const words = list.find((mark) => mark.kind === "words");
    expect(words?.kind === "words" && words.text).toContain("tissue 0.60");
  });
  it("a wire that is only carried over is not drawn", () => {
    const carried = { ...shown, section: section(0, { second_wire: { angle_deg: 200, distance_mm: 1.6, margin: 0, seen: false } }) };
    expect(marks(carried).some((mark) => mark.ink === "second")).toBe(false);
  });
  it("without the size of a pixel nothing is drawn in millimetres", () => expect(marks({ ...shown, round: null })).toEqual([]));
});

describe("into the facts", () => {
  it("offers this frame's vessel and what was found along the pullback, each with its frame", () => {
    const list = offers(reading, 1);
    expect(list.map((each) => [each.fact, each.frame])).toEqual([["media_min_ivus_mm", 1], ["media_max_ivus_mm", 1], ["lumen_min_ivus_mm2", 0], ["plaque_burden_max_ivus", 1],
      ["calcium_arc_ivus_deg", 1], ["tissue_ivus_mm", 2]]);
  });
  it("offers no vessel where it was not seen enough", () => expect(offers(reading, 2).some((each) => each.fact === "media_min_ivus_mm")).toBe(false));
  it("an entry says from which frame, by what scale, and along which line in the picture", () => {
    const [first] = offers(reading, 1);
    const entry = factOf(first!, reading, round, "ab", 2) as { value: unknown; origin: { frame: number; method: string; points: { x: number }[] } };
    expect(entry.value).toEqual({ value: 3.7, sd: 0.1 });
    expect(entry.origin.frame).toBe(1);
    expect(entry.origin.method).toBe("ultrasound pullback, 0.5 mm along it, pixel 0.0200 mm (the file's ultrasound region), 0.5 mm/s (typed), 2 points by hand");
    expect(entry.origin.points).toHaveLength(64);
    expect(entry.origin.points[0]?.x).toBe(200);
    expect(outline(round, circle(1), 4)).toHaveLength(4);
  });
});

describe("the engine's words", () => {
  it("an answer of another shape is refused with its place", () => {
    expect(() => pullback({ ...reading, sections: [{ ...section(0), z_mm: "far" }] }, "")).toThrow(/sections\[0\]\.z_mm/);
    expect(() => joiningAnswer({ frame: 1 }, "")).toThrow(/joining/);
  });
});

describe("points that are kept", () => {
  it("distances set at another size of a pixel stay at their place in the picture", () => {
    const kept = { pixel_mm: 0.02, speed_mm_s: 0.5, corrections: [{ border: "media" as const, frame: 3, angle_deg: 90, distance_mm: 1.8 }], wires: [], pairs: [{ frame: 4, along_mm: 12, name: "" }], vessel: "e1" };
    expect(rescaled(kept, 0.03).corrections[0]?.distance_mm).toBeCloseTo(2.7, 9); // 90 pixels as before
    expect(rescaled(kept, 0.03).pairs).toEqual([{ frame: 4, along_mm: 12 }]); // places on the angiogram know nothing of it
    expect(rescaled({ ...kept, pixel_mm: null }, 0.03).corrections[0]?.distance_mm).toBe(1.8);
  });
  it("of an answer that holds only what differs the rest stands; another reading's difference is not mixed in", () => {
    const before = { ...reading, number: 7 };
    const changed = section(1, { calcium_deg: 12 });
    const joined = together(before, { ...reading, number: 8, after: 7, sections: [changed] });
    expect(joined.sections).toHaveLength(3);
    expect(joined.sections[1]?.calcium_deg).toBe(12);
    expect(joined.sections[2]).toBe(before.sections[2]);
    expect(joined.number).toBe(8);
    const whole = { ...reading, number: 9, after: null };
    expect(together(before, whole)).toBe(whole);
  });
});

describe("along a traced vessel", () => {
  it("places and points of the course find each other", () => {
    const along = [0, 1, 2.5, 4];
    expect([-1, 0, 0.9, 1, 2.6, 9].map((mm) => indexAt(along, mm))).toEqual([0, 0, 0, 1, 2, 3]);
    expect(nearestOn([[0, 0], [10, 0], [10, 10]], 9, 4)).toBe(1);
    expect(indexAt([], 3)).toBe(0);
  });
  it("the strip is as wide as the vessel is long, the widest place fills its height", () => {
    expect(stripPath([0, 5, 10], [1, 2, 1], 100, 44)).toBe("M0,12L50,2L100,12L100,32L50,42L0,32Z");
    expect(stripPath([], [], 100, 44)).toBe("");
  });
});
