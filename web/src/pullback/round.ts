// SPDX-License-Identifier: Apache-2.0
// Where things round the catheter lie in the picture, and lines drawn from what the engine found. Pure. Angles run
// clockwise from the picture's right, distances are from the catheter's axis.
import type { Image } from "../wire/shapes";
import { imagePoint, type ImagePoint } from "../wire/units";
import type { Arc, Section } from "./shapes";

export interface Round {
  readonly x: number;         // the catheter's axis, columns and rows
  readonly y: number;
  readonly column_mm: number; // size of a pixel
  readonly row_mm: number;
}
export interface Polar {
  readonly angle_deg: number;
  readonly distance_mm: number;
}

// The middle of the picture's ultrasound region: there the engine takes the axis to be.
export function axisOf(image: Pick<Image, "rows" | "columns" | "ultrasound">): { x: number; y: number } {
  const region = image.ultrasound?.region ?? { left: 0, right: image.columns - 1, top: 0, bottom: image.rows - 1 };
  return { x: (region.left + region.right) / 2, y: (region.top + region.bottom) / 2 };
}

const turnOf = (degrees: number): number => (degrees * Math.PI) / 180;
export const wrap = (degrees: number): number => ((degrees % 360) + 360) % 360;
// The shorter way from one angle to another, -180 to 180.
export const turnBetween = (from: number, to: number): number => wrap(to - from + 180) - 180;

export function toImage(round: Round, at: Polar): ImagePoint {
  return imagePoint(round.x + (Math.cos(turnOf(at.angle_deg)) * at.distance_mm) / round.column_mm,
    round.y + (Math.sin(turnOf(at.angle_deg)) * at.distance_mm) / round.row_mm);
}
export function toPolar(round: Round, at: { readonly x: number; readonly y: number }): Polar {
  const across = (at.x - round.x) * round.column_mm;
  const down = (at.y - round.y) * round.row_mm;
  return { angle_deg: wrap((Math.atan2(down, across) * 180) / Math.PI), distance_mm: Math.hypot(across, down) };
}

// A border's distance at any angle, between its rays.
export function distanceAt(border: readonly number[], angle: number): number {
  const at = (wrap(angle) / 360) * border.length;
  const low = Math.floor(at) % border.length;
  const share = at - Math.floor(at);
  return (border[low] ?? 0) * (1 - share) + (border[(low + 1) % border.length] ?? 0) * share;
}

export const within = (arcs: readonly Arc[], angle: number): Arc | null =>
  arcs.find((arc) => wrap(angle - arc.from_deg) <= arc.to_deg - arc.from_deg) ?? null;

// The pieces of a border that were seen, each a list of points; a closed ring where nothing is missing.
export function pieces(round: Round, border: readonly number[], arcs: readonly Arc[]): ImagePoint[][] {
  const n = border.length;
  if (n === 0) return [];
  const point = (ray: number) => toImage(round, { angle_deg: ((ray % n) * 360) / n, distance_mm: border[ray % n] ?? 0 });
  const seen = Array.from({ length: n }, (_, ray) => within(arcs, (ray * 360) / n) === null);
  if (seen.every(Boolean)) return [Array.from({ length: n + 1 }, (_, ray) => point(ray))];
  const start = seen.indexOf(false);
  const found: ImagePoint[][] = [];
  let piece: ImagePoint[] = [];
  for (let step = 1; step <= n; step++) {
    const ray = (start + step) % n;
    if (seen[ray] === true) piece.push(point(ray));
    else {
      if (piece.length > 1) found.push(piece);
      piece = [];
    }
  }
  return found;
}

// A border pulled to a point, softly round it: what is shown until the engine has read again. `near`: 1 in the frame of
// the point, less in those beside it.
const kWidth = 28; // degrees on each side; chosen
export function pulled(border: readonly number[], to: Polar, near: number): number[] {
  const by = (to.distance_mm - distanceAt(border, to.angle_deg)) * near;
  return border.map((distance, ray) => {
    const off = Math.abs(turnBetween(to.angle_deg, (ray * 360) / border.length));
    return off >= kWidth ? distance : Math.max(0, distance + by * 0.5 * (1 + Math.cos((Math.PI * off) / kWidth)));
  });
}
const kFollow = 5; // frames on each side that follow, as in the engine
export const nearness = (apart: number): number => Math.max(0, 1 - Math.abs(apart) / (kFollow + 1));

// Eight places on a border to take hold of; one that a person has set stands where it was set.
export function holds(border: readonly number[], set: readonly Polar[]): Polar[] {
  const free = [0, 45, 90, 135, 180, 225, 270, 315].filter((angle) => set.every((each) => Math.abs(turnBetween(each.angle_deg, angle)) > 20));
  return [...set, ...free.map((angle_deg) => ({ angle_deg, distance_mm: distanceAt(border, angle_deg) }))];
}

export function outline(round: Round, border: readonly number[], points: number): { x: number; y: number }[] {
  return Array.from({ length: points }, (_, index) => {
    const angle_deg = (index * 360) / points;
    const { x, y } = toImage(round, { angle_deg, distance_mm: distanceAt(border, angle_deg) });
    return { x: Math.round(x * 10) / 10, y: Math.round(y * 10) / 10 };
  });
}

// Distances up and down of a border in a cut at an angle; null where it was not seen.
export function cutOf(border: readonly number[], arcs: readonly Arc[], angle: number): { up: number | null; down: number | null } {
  if (border.length === 0) return { up: null, down: null };
  const one = (at: number) => (within(arcs, at) === null ? distanceAt(border, at) : null);
  return { up: one(angle + 180), down: one(angle) };
}

// A sentence for who cannot see the picture.
export function sectionWords(section: Section): string {
  const eem = section.eem_area_mm2;
  return `Frame ${section.frame + 1}: lumen ${section.lumen_area_mm2.value.toFixed(1)} square millimetres, vessel ${eem === null ? "not seen enough to be measured" : `${eem.value.toFixed(1)}`}`;
}
