// SPDX-License-Identifier: Apache-2.0
// What lies over the picture: the clicked line, its handles, the crosshair, the line behind an accepted fact. A pure
// list of strokes in screen pixels; overlay.ts puts them on the page.
import type { ImagePoint, ScreenPoint } from "../wire/units";
import { toScreen, type Placement } from "./geometry";

export type Ink = "ruler" | "catheter" | "accepted" | "trace" | "edge" | "live" | "brush" | "held" | "asked" | "asked-at";
export interface Overlay {
  readonly ink: Ink;
  readonly points: readonly ImagePoint[];
  readonly crosshair: ImagePoint | null;
  readonly ghost: readonly ImagePoint[]; // the points of an accepted measurement on this frame
  readonly lines?: readonly { readonly ink: Ink; readonly points: readonly ImagePoint[] }[]; // beside the clicked one
  readonly joined?: boolean;             // false: the points are not joined by straight lines
  readonly label: string;                // "19.2 ± 1.4 mm", at the last point
}
export type Stroke =
  | { readonly kind: "line"; readonly ink: Ink; readonly points: readonly ScreenPoint[] }
  | { readonly kind: "handle"; readonly index: number; readonly at: ScreenPoint; readonly name: string }
  | { readonly kind: "cross"; readonly at: ScreenPoint; readonly reach: number }
  | { readonly kind: "label"; readonly at: ScreenPoint; readonly text: string };

const round = (value: number): number => Math.round(value * 10) / 10;

export function strokes(overlay: Overlay, placement: Placement): Stroke[] {
  const list: Stroke[] = [];
  const onScreen = overlay.points.map((point) => toScreen(point, placement));
  if (overlay.ghost.length > 1) list.push({ kind: "line", ink: "accepted", points: overlay.ghost.map((point) => toScreen(point, placement)) });
  for (const line of overlay.lines ?? []) {
    if (line.points.length > 1) list.push({ kind: "line", ink: line.ink, points: line.points.map((point) => toScreen(point, placement)) });
  }
  if (onScreen.length > 1 && overlay.joined !== false) list.push({ kind: "line", ink: overlay.ink, points: onScreen });
  overlay.points.forEach((point, index) => {
    const at = onScreen[index];
    if (at) list.push({ kind: "handle", index, at, name: `Point ${index + 1} of ${onScreen.length}, column ${round(point.x)}, row ${round(point.y)}` });
  });
  if (overlay.crosshair) list.push({ kind: "cross", at: toScreen(overlay.crosshair, placement), reach: 14 });
  const last = onScreen.at(-1);
  if (last && overlay.label !== "") list.push({ kind: "label", at: last, text: overlay.label });
  return list;
}
