// SPDX-License-Identifier: Apache-2.0
// The view map as a list of shapes: RAO left, LAO right, cranial up. Lines at 5, 10 and 20 % foreshortening, hatching for
// overlap, beads for skin already exposed, crosses where the C-arm does not go. No colour field.
import { cellRuns, contour, labelPlace } from "./contour";
import type { ViewMap, Views, WorkingView } from "./shapes";

export const kField = { width: 380, height: 300, left: 40, right: 352, top: 14, bottom: 262 };
const kLevels = [5, 10, 20];
const kOverlapped = 20; // % from which a view is hatched; chosen
const kBeadEvery = 10; // degrees

export interface Spot {
  readonly x: number;
  readonly y: number;
}
export const xOf = (map: ViewMap, degrees: number): number =>
  kField.left + ((degrees - map.primary_deg.from) / Math.max(1, map.primary_deg.to - map.primary_deg.from)) * (kField.right - kField.left);
export const yOf = (map: ViewMap, degrees: number): number =>
  kField.bottom - ((degrees - map.secondary_deg.from) / Math.max(1, map.secondary_deg.to - map.secondary_deg.from)) * (kField.bottom - kField.top);

export interface Line {
  readonly level: number;
  readonly path: string;
  readonly label: Spot | null;
}
export interface Bead extends Spot {
  readonly r: number;
  readonly gy: number;
}
export interface Mark extends Spot {
  readonly letter: string;
  readonly kind: "best" | "second" | "avoid" | "now" | "spare" | "chosen";
  readonly view: string;
}
export interface MapPicture {
  readonly lines: readonly Line[];
  readonly hatched: string;
  readonly out: string;
  readonly beads: readonly Bead[];
  readonly marks: readonly Mark[];
  readonly across: readonly { readonly x: number; readonly text: string }[];
  readonly down: readonly { readonly y: number; readonly text: string }[];
}

const letters = ["A", "C", "D", "E"];
const side = (degrees: number, plus: string, minus: string): string => (degrees === 0 ? "0" : `${degrees > 0 ? plus : minus} ${Math.abs(degrees)}`);

export interface Angles {
  readonly primary_deg: number;
  readonly secondary_deg: number;
}
function marksOf(answer: Views, chosen: Angles | null): Mark[] {
  const spot = (view: WorkingView, letter: string, kind: Mark["kind"]): Mark => ({
    x: xOf(answer.map, view.primary_deg), y: yOf(answer.map, view.secondary_deg), letter, kind, view: view.view,
  });
  return [
    spot(answer.barrel, "✕", "avoid"),
    ...answer.best.slice(1).map((view, index) => spot(view, letters[index + 1] ?? "", "best")),
    ...(answer.held ? [spot(answer.held, "now", "now")] : []),
    ...(answer.spare ? [spot(answer.spare.to, "S", "spare")] : []),
    ...(answer.collateral ? [spot(answer.collateral, "K", "second")] : []),
    ...(answer.second ? [spot(answer.second, "B", "second")] : []),
    ...answer.best.slice(0, 1).map((view) => spot(view, "A", "best")),
    // A ring around whatever stands there.
    ...(chosen === null ? [] : [{ x: xOf(answer.map, chosen.primary_deg), y: yOf(answer.map, chosen.secondary_deg), letter: "", kind: "chosen" as const, view: `${anglesWords(chosen.primary_deg, chosen.secondary_deg)}, chosen` }]),
  ];
}

// Counted in cells: a map in steps of 2 degrees from -45 has no angle that ten divides.
const every = (step: number): number => Math.max(1, Math.round(kBeadEvery / step));

function beadsOf(map: ViewMap): Bead[] {
  const beads: Bead[] = [];
  if (map.skin_gy.length === 0) return beads;
  const most = Math.max(...map.skin_gy);
  if (!(most > 0)) return beads;
  for (let row = 0; row < map.secondary_deg.count; row++) {
    for (let column = 0; column < map.primary_deg.count; column++) {
      const primary = map.primary_deg.from + column * map.primary_deg.step;
      const secondary = map.secondary_deg.from + row * map.secondary_deg.step;
      if (column % every(map.primary_deg.step) !== 0 || row % every(map.secondary_deg.step) !== 0) continue;
      const gy = map.skin_gy[row * map.primary_deg.count + column] ?? 0;
      if (gy < 0.25 * most) continue;
      beads.push({ x: xOf(map, primary), y: yOf(map, secondary), r: 2 + 6 * (gy / Math.max(most, 2)), gy });
    }
  }
  return beads;
}

export function mapPicture(answer: Views, chosen: Angles | null = null): MapPicture {
  const { map } = answer;
  const [columns, rows] = [map.primary_deg.count, map.secondary_deg.count];
  const x = (column: number) => xOf(map, map.primary_deg.from + column * map.primary_deg.step);
  const y = (row: number) => yOf(map, map.secondary_deg.from + row * map.secondary_deg.step);
  const best = answer.best[0];
  const near = best ? { x: xOf(map, best.primary_deg) + 40 } : { x: kField.right };
  const ticks = (from: number, to: number, every: number) => {
    const found: number[] = [];
    for (let at = Math.ceil(from / every) * every; at <= to; at += every) found.push(at);
    return found;
  };
  return {
    // The figures of the lines stand one below the other, so that none covers another.
    lines: kLevels.map((level, index) => {
      const path = contour({ columns, rows, values: map.foreshortening_pct }, level, x, y);
      return { level, path, label: labelPlace(path, near.x, kField.top + (0.25 + 0.25 * index) * (kField.bottom - kField.top)) };
    }),
    hatched: cellRuns(columns, rows, (column, row) => (map.overlap_pct[row * columns + column] ?? 0) >= kOverlapped, x, y),
    out: cellRuns(columns, rows, (column, row) => map.reach[row * columns + column] === "o", x, y),
    beads: beadsOf(map),
    marks: marksOf(answer, chosen),
    across: ticks(map.primary_deg.from, map.primary_deg.to, 30).map((at) => ({ x: xOf(map, at), text: side(at, "LAO", "RAO") })),
    down: ticks(map.secondary_deg.from, map.secondary_deg.to, 20).map((at) => ({ y: yOf(map, at), text: side(at, "CRA", "CAU") })),
  };
}

// The cell of a place on the field, or of angles; the engine's figures stand there.
export interface Here {
  readonly column: number;
  readonly row: number;
}
export function hereAt(map: ViewMap, x: number, y: number): Here {
  const snap = (share: number, count: number) => Math.max(0, Math.min(count - 1, Math.round(share * (count - 1))));
  return {
    column: snap((x - kField.left) / (kField.right - kField.left), map.primary_deg.count),
    row: snap((kField.bottom - y) / (kField.bottom - kField.top), map.secondary_deg.count),
  };
}
export function moved(map: ViewMap, here: Here, key: string, steps: number): Here {
  const column = here.column + (key === "ArrowRight" ? steps : key === "ArrowLeft" ? -steps : 0);
  const row = here.row + (key === "ArrowUp" ? steps : key === "ArrowDown" ? -steps : 0);
  return { column: Math.max(0, Math.min(map.primary_deg.count - 1, column)), row: Math.max(0, Math.min(map.secondary_deg.count - 1, row)) };
}
export function anglesWords(primary: number, secondary: number): string {
  const first = primary === 0 ? "AP" : side(primary, "LAO", "RAO");
  return secondary === 0 ? first : `${first} ${side(secondary, "CRA", "CAU")}`;
}
