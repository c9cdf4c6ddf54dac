// SPDX-License-Identifier: Apache-2.0
// The tree of cheapest paths that the engine grows from a click: from any pixel the way back to the click is a walk over
// bytes, so that the path under the cursor and under a dragged handle costs no request.
import { imagePoint, type ImagePoint } from "../../wire/units";

const kRoot = 8;
const kSteps: readonly (readonly [number, number])[] = [[1, 0], [1, 1], [0, 1], [-1, 1], [-1, 0], [-1, -1], [0, -1], [1, -1]];

export interface PathTree {
  readonly columns: number;
  readonly rows: number;
  readonly root: ImagePoint; // the click, moved to the vessel
  readonly ways: Uint8Array;
}

// Four little-endian whole numbers, then one byte a pixel; null if it is anything else.
export function readTree(body: ArrayBuffer): PathTree | null {
  if (body.byteLength < 16) return null;
  const head = new DataView(body);
  const [columns, rows, column, row] = [0, 4, 8, 12].map((at) => head.getInt32(at, true)) as [number, number, number, number];
  if (columns < 1 || rows < 1 || body.byteLength !== 16 + columns * rows) return null;
  return { columns, rows, root: imagePoint(column, row), ways: new Uint8Array(body, 16) };
}

// From `at` to the root, both included; empty where the tree does not reach.
export function walk(tree: PathTree, at: ImagePoint): ImagePoint[] {
  let column = Math.min(tree.columns - 1, Math.max(0, Math.round(at.x)));
  let row = Math.min(tree.rows - 1, Math.max(0, Math.round(at.y)));
  const path: ImagePoint[] = [];
  while (path.length <= tree.ways.length) {
    const way = tree.ways[row * tree.columns + column];
    if (way === undefined || way > kRoot) return [];
    path.push(imagePoint(column, row));
    const step = kSteps[way];
    if (way === kRoot || step === undefined) return path;
    column += step[0];
    row += step[1];
  }
  return [];
}

// The stretches beside point `index` while it is dragged to `at`, each from the neighbour's tree.
export function reroute(trees: readonly (PathTree | null)[], index: number, at: ImagePoint): ImagePoint[] {
  const before = trees[index - 1];
  const after = trees[index + 1];
  const into = before ? walk(before, at).reverse() : [];
  const out = after ? walk(after, at) : [];
  return [...into, ...out.slice(into.length > 0 ? 1 : 0)];
}

// Every third place of a path: enough for the eye, and less for the overlay to draw.
export function thinned(path: readonly ImagePoint[]): ImagePoint[] {
  return path.filter((_, index) => index % 3 === 0 || index === path.length - 1);
}
