// SPDX-License-Identifier: Apache-2.0
// The curves of contrast and motion as paths of an SVG: a pure list; strip.tsx puts it on the page.
import { arrayOf, count, maybe, number, object, text, type Parsed } from "../../wire/parse";

export const momentsAnswer = object({
  contrast: arrayOf(number), motion_px: arrayOf(number), of_beat: arrayOf(maybe(number)), r_waves: arrayOf(count),
  suggested: maybe(count), because: text,
});
export type Moments = Parsed<typeof momentsAnswer>;

export const kWide = 400;
export const kHigh = 40;

export interface Curves {
  readonly contrast: string;
  readonly motion: string;
  readonly waves: string;
  readonly mostMotion: number; // pixels a frame, at the top of the box
}
const x = (index: number, n: number) => (n > 1 ? (index / (n - 1)) * kWide : 0);

export function curvesOf(moments: Moments): Curves {
  const n = moments.contrast.length;
  const most = Math.max(0.5, ...moments.motion_px);
  const line = (values: readonly number[], top: number) => values.map((value, index) =>
    `${index === 0 ? "M" : "L"}${x(index, n).toFixed(1)} ${(kHigh - (Math.min(top, Math.max(0, value)) / top) * kHigh).toFixed(1)}`).join("");
  return {
    contrast: line(moments.contrast, 1), motion: line(moments.motion_px, most), mostMotion: most,
    waves: moments.r_waves.map((frame) => `M${x(frame, n).toFixed(1)} 0V7`).join(""),
  };
}
// How far along the box a frame lies.
export const placeOf = (frame: number, moments: Moments): number => x(frame, moments.contrast.length);
