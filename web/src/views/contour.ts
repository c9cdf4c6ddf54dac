// SPDX-License-Identifier: Apache-2.0
// Lines of equal value through a grid of the engine's figures, and runs of cells: pictures as plain paths.

export interface Field {
  readonly columns: number;
  readonly rows: number;
  readonly values: readonly number[]; // row by row
}
type Place = (at: number) => number;

const at = (field: Field, column: number, row: number): number => field.values[row * field.columns + column] ?? 0;
const share = (a: number, b: number, level: number): number => (a === b ? 0.5 : (level - a) / (b - a));

// Each square of four figures gives none, one or two pieces of line; where two corners stand across, the middle decides.
export function contour(field: Field, level: number, x: Place, y: Place): string {
  const pieces: string[] = [];
  for (let row = 0; row + 1 < field.rows; row++) {
    for (let column = 0; column + 1 < field.columns; column++) {
      const corners = [at(field, column, row), at(field, column + 1, row), at(field, column + 1, row + 1), at(field, column, row + 1)] as const;
      const [a, b, c, d] = corners;
      const above = corners.map((value) => value >= level);
      const cuts = [
        above[0] !== above[1] ? [column + share(a, b, level), row] : null,
        above[1] !== above[2] ? [column + 1, row + share(b, c, level)] : null,
        above[3] !== above[2] ? [column + share(d, c, level), row + 1] : null,
        above[0] !== above[3] ? [column, row + share(a, d, level)] : null,
      ].map((cut) => (cut === null ? null : `${x(cut[0] ?? 0).toFixed(1)} ${y(cut[1] ?? 0).toFixed(1)}`));
      const found = cuts.filter((cut) => cut !== null);
      if (found.length === 2) pieces.push(`M${found[0]}L${found[1]}`);
      else if (found.length === 4) {
        const joined = (a + b + c + d) / 4 >= level === above[0];
        pieces.push(joined ? `M${cuts[0]}L${cuts[1]}M${cuts[2]}L${cuts[3]}` : `M${cuts[0]}L${cuts[3]}M${cuts[1]}L${cuts[2]}`);
      }
    }
  }
  return pieces.join("");
}

// Where a line's figure can be written: the middle of its piece nearest to a place; null if there is no line.
export function labelPlace(path: string, nearX: number, nearY: number): { readonly x: number; readonly y: number } | null {
  let best: { x: number; y: number } | null = null;
  let least = Infinity;
  for (const piece of path.matchAll(/M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)/g)) {
    const [x1, y1, x2, y2] = piece.slice(1).map(Number) as [number, number, number, number];
    const middle = { x: (x1 + x2) / 2, y: (y1 + y2) / 2 };
    const far = Math.hypot(middle.x - nearX, middle.y - nearY);
    if (far < least) { least = far; best = middle; }
  }
  return best;
}

// The cells that `holds`, row by row as rectangles: the field of one cell reaches half a step to each side.
export function cellRuns(columns: number, rows: number, holds: (column: number, row: number) => boolean, x: Place, y: Place): string {
  const pieces: string[] = [];
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      if (!holds(column, row)) continue;
      const from = column;
      while (column + 1 < columns && holds(column + 1, row)) column++;
      const [left, right] = [x(Math.max(0, from - 0.5)), x(Math.min(columns - 1, column + 0.5))];
      const [one, other] = [y(Math.max(0, row - 0.5)), y(Math.min(rows - 1, row + 0.5))];
      pieces.push(`M${left.toFixed(1)} ${one.toFixed(1)}H${right.toFixed(1)}V${other.toFixed(1)}H${left.toFixed(1)}Z`);
    }
  }
  return pieces.join("");
}
