// SPDX-License-Identifier: Apache-2.0
// Both wires lengthwise: how deep the second wire lies behind the channel's border, frame by frame, and where the media
// passes on its ray. Pure; all figures are the engine's.
import { runs } from "./along";
import { distanceAt, within } from "./round";
import type { Pullback, Range, Space } from "./shapes";

export type Pieces = readonly (readonly (readonly [number, number])[])[]; // frame, mm behind the channel's border
export interface Lanes {
  readonly deep_mm: number; // what the picture's height shows
  readonly wire: readonly { readonly space: Space; readonly line: readonly (readonly [number, number])[] }[];
  readonly media: Pieces;
}

const kMostPoints = 400; // a line of more says no more on a column's width
const kDeepLeast = 0.5;  // mm

const rangeAt = (ranges: readonly Range[], frame: number): Range | null => ranges.find((each) => frame >= each.first && frame <= each.last) ?? null;

export function lanesOf(found: Pullback, marked: Space | null): Lanes {
  const step = Math.max(1, Math.ceil(found.sections.length / kMostPoints));
  const depth: (number | null)[] = [];
  const media: (number | null)[] = [];
  const spaces: Space[] = [];
  found.sections.forEach((section) => {
    if (section.frame % step !== 0) return;
    const wire = section.second_wire;
    const seen = wire?.seen === true && section.tissue_mm !== null;
    const range = rangeAt(found.ranges, section.frame);
    depth.push(seen ? section.tissue_mm?.value ?? null : null);
    spaces.push(marked ?? range?.wire_side ?? "unknown");
    // From beside the vessel the outer border is not the vessel's own. A wire's shadow is narrow: the border goes on behind it.
    const hidden = wire === null ? null : within(section.not_seen, wire.angle_deg);
    const told = seen && range?.catheter_side === "inside" && section.eem_mm.length > 0 && section.lumen_mm.length > 0 && (hidden === null || hidden.why === "wire");
    media.push(told ? distanceAt(section.eem_mm, wire.angle_deg) - distanceAt(section.lumen_mm, wire.angle_deg) : null);
  });
  const scaled = (pieces: readonly (readonly [number, number])[][]): Pieces => pieces.map((piece) => piece.map(([at, mm]) => [at * step, mm] as const));
  const wire: { space: Space; line: (readonly [number, number])[] }[] = [];
  for (const piece of scaled(runs(depth))) {
    piece.forEach((point, index) => {
      const space = spaces[Math.round(point[0] / step)] ?? "unknown";
      const last = wire.at(-1);
      if (index > 0 && last?.space === space) last.line.push(point);
      else {
        if (index > 0 && last) last.line.push(point); // the line goes on, drawn otherwise
        wire.push({ space, line: [point] });
      }
    });
  }
  const most = Math.max(kDeepLeast, ...depth.map((each) => each ?? 0), ...media.map((each) => each ?? 0));
  return { deep_mm: Math.ceil(most * 2.2) / 2, wire, media: scaled(runs(media)) };
}

export interface Scale {
  readonly x: (frame: number) => number;
  readonly y: (mm: number) => number;
}
// Of a picture of `width` by `height` whose `top` is the channel's border.
export function laneScale(frames: number, deep_mm: number, width: number, top: number, height: number): Scale {
  const round = (value: number) => Math.round(value * 10) / 10;
  return { x: (frame) => round(((frame + 0.5) / frames) * width), y: (mm) => round(top + (mm / deep_mm) * (height - top)) };
}
export const lanePath = (line: Pieces[number], { x, y }: Scale): string =>
  (line.length === 1 && line[0] ? `M${x(line[0][0])},${y(line[0][1])}h2` : `M${line.map(([frame, mm]) => `${x(frame)},${y(mm)}`).join("L")}`);
// What lies between the channel's border and the line.
export function laneFill(line: Pieces[number], { x, y }: Scale): string {
  const first = line[0];
  const last = line.at(-1);
  if (line.length < 2 || !first || !last) return "";
  return `M${x(first[0])},${y(0)}L${line.map(([frame, mm]) => `${x(frame)},${y(mm)}`).join("L")}L${x(last[0])},${y(0)}Z`;
}
