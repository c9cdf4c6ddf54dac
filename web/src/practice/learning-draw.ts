// SPDX-License-Identifier: Apache-2.0
// Chance to be across by minutes: what was seen as steps with whiskers, the published curve, and the one with one's own.
import { across, path, upward, type Mark, type Sheet } from "./draw";
import type { LearnedStrategy } from "./learning-shape";

const kLast = 90; // minutes

export function learningPicture(sheet: Sheet, found: LearnedStrategy): Mark[] {
  const x = across(sheet, 0, kLast);
  const y = upward(sheet, 0, 1);
  const curve = (shares: readonly number[]) => path(shares.map((_, at) => x(at * found.every_min)), shares.map(y));
  const marks: Mark[] = [
    ...[0, 0.5, 1].map((share): Mark => ({ kind: "line", look: share === 0 ? "zero" : "grid", d: `M${x(0)} ${y(share)}H${x(kLast)}` })),
    ...[0, 0.5, 1].map((share): Mark => ({ kind: "word", look: "left", x: x(0) - 6, y: y(share) + 4, text: `${100 * share} %` })),
    ...[0, 30, 60, 90].map((minutes): Mark => ({ kind: "word", look: "", x: x(minutes), y: y(0) + 18, text: String(minutes) })),
    { kind: "line", look: "published thin", d: curve(found.published_by) },
    { kind: "line", look: "own dashed", d: curve(found.own_by) },
  ];
  const seen = found.seen.filter((each) => each.minutes <= kLast);
  if (seen.length === 0) return marks;
  const clip = (share: number) => y(Math.max(0, Math.min(1, share)));
  const whiskers = seen.map((each) => `M${x(each.minutes).toFixed(1)} ${clip(each.crossed_by - 1.96 * each.crossed_sd).toFixed(1)}V${clip(each.crossed_by + 1.96 * each.crossed_sd).toFixed(1)}`).join("");
  const steps = seen.map((each) => `H${x(each.minutes).toFixed(1)}V${y(each.crossed_by).toFixed(1)}`).join("");
  marks.push({ kind: "line", look: "whisker", d: whiskers }, { kind: "line", look: "own", d: `M${x(0)} ${y(0)}${steps}` });
  return marks;
}
