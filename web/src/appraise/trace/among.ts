// SPDX-License-Identifier: Apache-2.0
// Where a new click belongs among those of a trace: between the two that it lies between, or at the end.
import type { ImagePoint } from "../../wire/units";

const kBeside = 40; // pixels: farther off the course it goes on from the last point
const kEnd = 10;    // places of the course: about its ends a click goes on from the last point

type Place = readonly [number, number];
function nearest(course: readonly Place[], at: ImagePoint): { readonly index: number; readonly away: number } {
  let best = { index: 0, away: Infinity };
  course.forEach(([x, y], index) => {
    const away = Math.hypot(x - at.x, y - at.y);
    if (away < best.away) best = { index, away };
  });
  return best;
}

export function placeAmong(course: readonly Place[], points: readonly ImagePoint[], at: ImagePoint): number {
  if (points.length < 2 || course.length === 0) return points.length;
  const here = nearest(course, at);
  if (here.away > kBeside || here.index < kEnd || here.index >= course.length - kEnd) return points.length;
  const after = points.findIndex((point, index) => index > 0 && (index === points.length - 1 || nearest(course, point).index > here.index));
  return after < 0 ? points.length : after;
}
