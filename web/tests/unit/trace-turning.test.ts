// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { capsFrom, capsOf, viewsOfCaps } from "../../src/appraise/gap/caps-note";
import type { Mark } from "../../src/appraise/gap/marks";
import { placeAmong } from "../../src/appraise/trace/among";
import { readTurns, rerouteTurning, walkTurning, type TurningTree } from "../../src/appraise/trace/turning-tree";
import type { Fact } from "../../src/wire/shapes";
import { imagePoint } from "../../src/wire/units";

// A row of 5 pixels from (10, 20). Arriving at the root's right one goes right (direction 0), at its left one left (8); any
// other direction is one that is turned to there, from one less.
function row(root: number): ArrayBuffer {
  const columns = 5;
  const bytes = new ArrayBuffer(32 + 12 * columns);
  const head = new DataView(bytes);
  [64, 64, 10 + root, 20, 10, 20, columns, 1].forEach((value, index) => head.setInt32(4 * index, value, true));
  for (let x = 0; x < columns; x++) {
    const straight = x > root ? 0 : 8;
    let back = 0;
    for (let d = 0; d < 16; d++) {
      const way = x === root ? 0 : d === straight ? 1 : 2;
      back += way * 4 ** d;
      const turns = x === root ? 0 : (d - straight + 16) % 16;
      const at = 32 + 4 * columns + 8 * x + (d >> 1);
      head.setUint8(at, head.getUint8(at) | (Math.min(15, 2 * turns) << (4 * (d & 1))));
    }
    head.setUint32(32 + 4 * x, back, true);
  }
  return bytes;
}
const tree = (root: number): TurningTree => readTurns(row(root)) as TurningTree;
const columns = (path: readonly { readonly x: number }[] | null) => path?.map(({ x }) => x);

describe("the tree that prices corners", () => {
  it("walks to the root by the direction that costs least", () => {
    expect(columns(walkTurning(tree(0), imagePoint(13, 20)))).toEqual([13, 12, 11, 10]);
    expect(columns(walkTurning(tree(4), imagePoint(12, 20)))).toEqual([12, 13, 14]);
  });
  it("gives nothing outside its window, so that the plain tree goes on", () => {
    expect(walkTurning(tree(0), imagePoint(13, 22))).toBeNull();
    expect(walkTurning(null, imagePoint(13, 20))).toBeNull();
    expect(rerouteTurning([tree(0), null, tree(4)], 1, imagePoint(40, 20))).toBeNull();
  });
  it("re-routes a dragged point through one direction of both trees", () => {
    expect(columns(rerouteTurning([tree(0), null, tree(4)], 1, imagePoint(12, 20)))).toEqual([10, 11, 12, 13, 14]);
    expect(columns(rerouteTurning([tree(0), null], 1, imagePoint(12, 20)))).toEqual([10, 11, 12]);
    expect(columns(rerouteTurning([null, tree(4)], 0, imagePoint(12, 20)))).toEqual([12, 13, 14]);
  });
  it("refuses bytes of another length", () => {
    expect(readTurns(row(0).slice(0, 40))).toBeNull();
    expect(readTurns(new ArrayBuffer(3))).toBeNull();
  });
  it("ends on a circle", () => {
    const bytes = row(0);
    new Uint8Array(bytes, 32, 20).fill(0xaa); // every direction is turned to from one less
    expect(walkTurning(readTurns(bytes), imagePoint(13, 20))).toBeNull();
  });
});

describe("a new click of a trace", () => {
  const course = Array.from({ length: 100 }, (_, x) => [x, 0] as const);
  const points = [imagePoint(0, 0), imagePoint(60, 0), imagePoint(99, 0)];
  it("goes between the two that it lies between", () => {
    expect(placeAmong(course, points, imagePoint(30, 12))).toBe(1);
    expect(placeAmong(course, points, imagePoint(80, -12))).toBe(2);
  });
  it("goes on from the last one beyond the end, far off, or before there is a course", () => {
    expect(placeAmong(course, points, imagePoint(130, 0))).toBe(3);
    expect(placeAmong(course, points, imagePoint(50, 70))).toBe(3);
    expect(placeAmong([], points.slice(0, 1), imagePoint(5, 0))).toBe(1);
  });
});

describe("the marks of the caps", () => {
  const [one, two] = ["ab".repeat(32), "cd".repeat(32)];
  const marks: Mark[] = [
    { role: "near cap", image: one, frame: 35, at: imagePoint(61.94, 259.6) }, { role: "near lumen", image: one, frame: 35, at: imagePoint(50, 250) },
    { role: "far cap", image: two, frame: 12, at: imagePoint(144.1, 260.7) }, { role: "between", image: one, frame: 35, at: imagePoint(90, 255) },
  ];
  const fact = (origin: unknown, note = ""): Fact => ({ note, origin }) as unknown as Fact;
  const said = (view: object) => ({ method: "", table: "", shift_mm: [], ...view }); // as the page reads what the engine says
  it("are the pictures of the fact, each run and frame with its own, and are read back", () => {
    const views = viewsOfCaps(marks);
    expect(views).toEqual([
      { image: one, frame: 35, marks: [{ name: "near cap", points: [{ x: 61.94, y: 259.6 }] }, { name: "near lumen", points: [{ x: 50, y: 250 }] }, { name: "between", points: [{ x: 90, y: 255 }] }] },
      { image: two, frame: 12, marks: [{ name: "far cap", points: [{ x: 144.1, y: 260.7 }] }] }]);
    const back = capsOf(fact({ views: views.map(said) }));
    expect(back).toHaveLength(marks.length);
    for (const mark of marks) expect(back).toContainEqual({ ...mark, at: imagePoint(Math.round(mark.at.x * 100) / 100, Math.round(mark.at.y * 100) / 100) });
    expect(capsOf(fact({ views: views.map((view, at) => said({ ...view, table: at === 1 ? "still" : "" })) }))).toBeNull(); // two views
    expect(capsOf(fact({ views: views.slice(0, 1).map(said) }))).toBeNull(); // one cap
  });
  const line = `Caps | A ${one} frame 36 | B ${two} frame 13 | near cap A 61.9,259.6 | near lumen A 50,250 | far cap B 144.1,260.7 | between A 90,255`;
  it("are read from the note that an older journal holds", () => {
    const read = marks.map((mark) => ({ ...mark, at: imagePoint(Math.round(mark.at.x * 10) / 10, Math.round(mark.at.y * 10) / 10) }));
    expect(capsFrom(line)).toEqual(read);
    expect(capsOf(fact({ views: [] }, line))).toEqual(read);
    expect(capsOf(fact(null, line))).toEqual(read);
  });
  it("are refused whole where a part of the note is not one", () => {
    for (const note of ["", "seen by two", "Caps", line.slice(0, 160), `${line} | far cap C 1,2`, `${line} | on the way A 1,2`]) expect(capsFrom(note)).toBeNull();
  });
});
