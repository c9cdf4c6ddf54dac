// SPDX-License-Identifier: Apache-2.0
// Where the eye stands round the scene: two angles and a distance, as numbers that keys and a dragging hand change.
import type { Triple } from "./scene";

export interface Turn {
  readonly about: number;  // degrees round the patient's long axis: 0 from the front, 90 from the patient's left
  readonly above: number;  // degrees towards the head
  readonly far: number;    // distance, in reaches of the scene
}
export const kFromTheFront: Turn = { about: 25, above: 15, far: 4 };

const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));

export function turned(turn: Turn, about: number, above: number): Turn {
  return { ...turn, about: (((turn.about + about) % 360) + 360) % 360, above: clamp(turn.above + above, -88, 88) };
}
export const nearer = (turn: Turn, factor: number): Turn => ({ ...turn, far: clamp(turn.far / factor, 1.2, 12) });

// The eye's place: LPS axes, so the front is -y, the left +x, the head +z.
export function eyeOf(turn: Turn, centre: Triple, reach: number): Triple {
  const a = (turn.about * Math.PI) / 180;
  const b = (turn.above * Math.PI) / 180;
  const d = turn.far * reach;
  return [centre[0] + d * Math.cos(b) * Math.sin(a), centre[1] - d * Math.cos(b) * Math.cos(a), centre[2] + d * Math.sin(b)];
}

// "from the front left, 15° above": what a reader who does not see the picture is told.
export function turnWords(turn: Turn): string {
  const sides = ["front", "front left", "left", "back left", "back", "back right", "right", "front right"];
  const side = sides[Math.round(turn.about / 45) % 8] ?? "front";
  const height = Math.round(turn.above);
  return `from the ${side}${height === 0 ? "" : `, ${Math.abs(height)}° towards the ${height > 0 ? "head" : "feet"}`}`;
}
