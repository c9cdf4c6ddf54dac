// SPDX-License-Identifier: Apache-2.0
import { imagePoint, type ImagePoint } from "../../wire/units";

const kApartPx = 10; // neighbours of a trace err alike: more points would say no more

// Every tenth place along the course, and both ends.
export function everyTenth(course: readonly (readonly [number, number])[]): ImagePoint[] {
  const taken: ImagePoint[] = [];
  let since = Infinity;
  course.forEach(([x, y], index) => {
    const before = course[index - 1];
    if (before) since += Math.hypot(x - before[0], y - before[1]);
    if (since < kApartPx && index + 1 < course.length) return;
    // The end takes the place of one that would lie close before it.
    if (index + 1 === course.length && since < kApartPx / 2 && taken.length > 1) taken.pop();
    taken.push(imagePoint(x, y));
    since = 0;
  });
  return taken;
}
