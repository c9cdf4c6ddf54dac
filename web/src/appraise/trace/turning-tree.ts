// SPDX-License-Identifier: Apache-2.0
// The tree whose paths pay for their corners, as the trace that is shown does: a place of it is a pixel and the direction in
// which one arrives there (docs/wire.md, "Growing a tree of paths"). Reading a path is a walk; nothing is asked.
import { imagePoint, type ImagePoint } from "../../wire/units";

const kSteps: readonly (readonly [number, number])[] = [
  [1, 0], [2, 1], [1, 1], [1, 2], [0, 1], [-1, 2], [-1, 1], [-2, 1], [-1, 0], [-2, -1], [-1, -1], [-1, -2], [0, -1], [1, -2], [1, -1], [2, -1],
];
const kDirections = kSteps.length;
const kHead = 32;

export interface TurningTree {
  readonly root: ImagePoint;
  readonly left: number;
  readonly top: number;
  readonly columns: number;
  readonly rows: number;
  readonly back: DataView;      // four bytes a pixel, two bits a direction
  readonly dearer: Uint8Array;  // eight bytes a pixel, four bits a direction
}

// Eight little-endian whole numbers, then twelve bytes a pixel of the window; null if it is anything else.
export function readTurns(body: ArrayBuffer): TurningTree | null {
  if (body.byteLength < kHead) return null;
  const head = new DataView(body);
  const [, , column, row, left, top, columns, rows] = [0, 4, 8, 12, 16, 20, 24, 28].map((at) => head.getInt32(at, true)) as number[] as [number, number, number, number, number, number, number, number];
  const places = columns * rows;
  if (columns < 1 || rows < 1 || body.byteLength !== kHead + 12 * places) return null;
  return { root: imagePoint(column, row), left, top, columns, rows, back: new DataView(body, kHead, 4 * places), dearer: new Uint8Array(body, kHead + 4 * places) };
}

function placeOf(tree: TurningTree, column: number, row: number): number {
  const [x, y] = [column - tree.left, row - tree.top];
  return x < 0 || y < 0 || x >= tree.columns || y >= tree.rows ? -1 : y * tree.columns + x;
}
const dearerAt = (tree: TurningTree, place: number, direction: number): number =>
  ((tree.dearer[8 * place + (direction >> 1)] ?? 0) >> (4 * (direction & 1))) & 15;

// From `at`, where one arrives in `direction`, to the root; null outside the window.
function walkFrom(tree: TurningTree, at: ImagePoint, direction: number): ImagePoint[] | null {
  let [column, row] = [at.x, at.y];
  const path = [imagePoint(column, row)];
  for (let guard = 0; guard < kDirections * tree.columns * tree.rows; guard++) {
    const place = placeOf(tree, column, row);
    if (place < 0) return null;
    const way = (tree.back.getUint32(4 * place, true) >>> (2 * direction)) & 3;
    if (way === 0) return column === tree.root.x && row === tree.root.y ? path : null;
    if (way === 2) direction = (direction + kDirections - 1) % kDirections;
    else if (way === 3) direction = (direction + 1) % kDirections;
    else {
      const [dx, dy] = kSteps[direction] ?? [0, 0];
      column -= dx;
      row -= dy;
      path.push(imagePoint(column, row));
    }
  }
  return null;
}

const rounded = (at: ImagePoint): ImagePoint => imagePoint(Math.round(at.x), Math.round(at.y));

// The direction in which `cost` is least; -1 outside the windows.
function best(cost: (direction: number) => number): number {
  let [least, found] = [Infinity, -1];
  for (let d = 0; d < kDirections; d++) {
    const here = cost(d);
    if (here < least) [least, found] = [here, d];
  }
  return found;
}

// From `at` to the root, both included; null where the tree does not reach.
export function walkTurning(tree: TurningTree | null | undefined, at: ImagePoint): ImagePoint[] | null {
  if (!tree) return null;
  const here = rounded(at);
  const place = placeOf(tree, here.x, here.y);
  return place < 0 ? null : walkFrom(tree, here, best((d) => dearerAt(tree, place, d)));
}

// The stretches beside point `index` while it is dragged to `at`; the corner in the hand is priced as well. Null where one of
// the trees does not reach.
export function rerouteTurning(trees: readonly (TurningTree | null)[], index: number, at: ImagePoint): ImagePoint[] | null {
  const [before, after] = [trees[index - 1], trees[index + 1]];
  if (!before || !after) return before ? (walkTurning(before, at)?.reverse() ?? null) : walkTurning(after, at);
  const here = rounded(at);
  const [one, two] = [placeOf(before, here.x, here.y), placeOf(after, here.x, here.y)];
  if (one < 0 || two < 0) return null;
  const way = best((d) => dearerAt(before, one, d) + dearerAt(after, two, (d + kDirections / 2) % kDirections));
  const [into, out] = [walkFrom(before, here, way), walkFrom(after, here, (way + kDirections / 2) % kDirections)];
  return into && out ? [...into.reverse(), ...out.slice(1)] : null;
}
