// SPDX-License-Identifier: Apache-2.0
// What lies over one of the two pictures beside the handles of the tool in the hand: the other points and lines, the
// course as the fit sees it here, and the line on which the point of the other picture must lie. Pure, in screen pixels.
import { toScreen, type Placement } from "../image/geometry";
import type { GuideAnswer, PairAnswer, Side } from "../wire/pair";
import { imagePoint, type ImagePoint, type ScreenPoint } from "../wire/units";
import { kPointTools, pointsOf, type Marking, type Tool } from "./marking";

export type PairInk = "clicked" | "fitted" | "guide" | "guide-edge";
export type PairStroke =
  | { readonly kind: "line"; readonly ink: PairInk; readonly points: readonly ScreenPoint[] }
  | { readonly kind: "dot"; readonly at: ScreenPoint; readonly word: string };

const kLines: readonly Tool[] = ["before", "inside", "after", "vessel", "channel"];
const kWords: Readonly<Partial<Record<Tool, string>>> = { near: "near cap", far: "far cap" };

// A guide line with its two edges at twice its spread.
function guideStrokes(line: GuideAnswer, placement: Placement): PairStroke[] {
  const [x0 = 0, y0 = 0] = line.from;
  const [x1 = 0, y1 = 0] = line.to;
  const long = Math.hypot(x1 - x0, y1 - y0) || 1;
  const [nx, ny] = [-(y1 - y0) / long, (x1 - x0) / long];
  return [0, -2, 2].map((times): PairStroke => ({
    kind: "line", ink: times === 0 ? "guide" : "guide-edge",
    points: [imagePoint(x0 + times * line.sd_px * nx, y0 + times * line.sd_px * ny), imagePoint(x1 + times * line.sd_px * nx, y1 + times * line.sd_px * ny)]
      .map((each) => toScreen(each, placement)),
  }));
}

export function pairStrokes(
  given: { readonly marking: Marking; readonly tool: Tool; readonly side: Side; readonly found: PairAnswer | null; readonly guide: GuideAnswer | null },
  placement: Placement,
): PairStroke[] {
  const { marking, tool, side, found, guide } = given;
  const list: PairStroke[] = [];
  const screen = (points: readonly ImagePoint[]) => points.map((each) => toScreen(each, placement));
  for (const each of kLines) {
    const points = pointsOf(marking, each, side);
    if (each !== tool && points.length > 1) list.push({ kind: "line", ink: "clicked", points: screen(points) });
  }
  const courses = [...(found?.paths ?? []), ...(found?.occlusion?.course ? [found.occlusion.course] : [])];
  for (const course of courses) {
    const seen = (course.seen_px.get(side) ?? []).map(([x = 0, y = 0]) => imagePoint(x, y));
    if (seen.length > 1) list.push({ kind: "line", ink: "fitted", points: screen(seen) });
  }
  if (guide) list.push(...guideStrokes(guide, placement));
  for (const each of kPointTools) {
    if (each === tool) continue;
    screen(pointsOf(marking, each, side)).forEach((at, index) => list.push({ kind: "dot", at, word: kWords[each] ?? String(index + 1) }));
  }
  return list;
}
