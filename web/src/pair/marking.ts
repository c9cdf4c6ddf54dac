// SPDX-License-Identifier: Apache-2.0
// What was marked in two pictures, as values: points added, moved, taken away; and the same as the engine wants it.
import type { InSides, PairPoints, Pixel, Side } from "../wire/pair";
import { imagePoint, type ImagePoint } from "../wire/units";

// What the next click means. A point is one place in each picture, a line is a course with the same ends in both.
export type Tool = "mark" | "near" | "far" | "before" | "inside" | "after" | "vessel" | "channel";
export const kPointTools: readonly Tool[] = ["mark", "near", "far"];
export const isPoint = (tool: Tool): boolean => kPointTools.includes(tool);

export interface Marking {
  readonly points: Readonly<Record<"mark" | "near" | "far", readonly InSides<ImagePoint>[]>>;
  readonly lines: Readonly<Record<"before" | "inside" | "after" | "vessel" | "channel", InSides<readonly ImagePoint[]>>>;
}
export const kNothing: Marking = {
  points: { mark: [], near: [], far: [] },
  lines: { before: {}, inside: {}, after: {}, vessel: {}, channel: {} },
};

const other = (side: Side): Side => (side === "a" ? "b" : "a");
type PointTool = keyof Marking["points"];
type LineTool = keyof Marking["lines"];

// The points of one tool in one picture, in the order of their handles.
export function pointsOf(marking: Marking, tool: Tool, side: Side): readonly ImagePoint[] {
  if (!isPoint(tool)) return marking.lines[tool as LineTool][side] ?? [];
  return marking.points[tool as PointTool].flatMap((each) => each[side] ?? []);
}

function withPoints(marking: Marking, tool: PointTool, list: readonly InSides<ImagePoint>[]): Marking {
  return { ...marking, points: { ...marking.points, [tool]: list.filter((each) => each.a !== undefined || each.b !== undefined) } };
}
function withLine(marking: Marking, tool: LineTool, side: Side, line: readonly ImagePoint[]): Marking {
  return { ...marking, lines: { ...marking.lines, [tool]: { ...marking.lines[tool], [side]: line } } };
}

// A whole course of one picture, traced there; nothing changes where the tool marks points. Beside the occlusion it runs
// towards the near cap, or away from the far one, whichever way it was traced.
export function withTrace(marking: Marking, tool: Tool, side: Side, course: readonly ImagePoint[]): Marking {
  if (isPoint(tool)) return marking;
  const cap = tool === "before" ? marking.points.near[0]?.[side] : tool === "after" ? marking.points.far[0]?.[side] : undefined;
  const [first, last] = [course[0], course.at(-1)];
  const far = (at: ImagePoint) => (cap ? Math.hypot(at.x - cap.x, at.y - cap.y) : 0);
  const turned = first && last && cap && (tool === "before" ? far(first) < far(last) : far(last) < far(first));
  return withLine(marking, tool as LineTool, side, turned ? [...course].reverse() : course);
}

// A click on a picture: the first point that lacks this picture takes it; a cap is one point, so a new click moves it.
export function added(marking: Marking, tool: Tool, side: Side, at: ImagePoint): Marking {
  if (!isPoint(tool)) return withLine(marking, tool as LineTool, side, [...pointsOf(marking, tool, side), at]);
  const name = tool as PointTool;
  const list = marking.points[name];
  const open = name === "mark" ? list.findIndex((each) => each[side] === undefined) : list.length - 1;
  if (open < 0) return withPoints(marking, name, [...list, { [side]: at }]);
  return withPoints(marking, name, list.map((each, index) => (index === open ? { ...each, [side]: at } : each)));
}

// The place in the list of the nth handle of one picture.
function placeOf(list: readonly InSides<ImagePoint>[], side: Side, handle: number): number {
  let seen = -1;
  return list.findIndex((each) => each[side] !== undefined && ++seen === handle);
}

export function moved(marking: Marking, tool: Tool, side: Side, handle: number, to: ImagePoint | null): Marking {
  if (!isPoint(tool)) {
    const line = pointsOf(marking, tool, side);
    const at = handle < 0 ? line.length - 1 : handle;
    return withLine(marking, tool as LineTool, side, line.flatMap((each, index) => (index !== at ? each : to ?? [])));
  }
  const name = tool as PointTool;
  const list = marking.points[name];
  const at = placeOf(list, side, handle < 0 ? pointsOf(marking, tool, side).length - 1 : handle);
  return withPoints(marking, name, list.map((each, index) => {
    if (index !== at) return each;
    const rest: InSides<ImagePoint> = each[other(side)] === undefined ? {} : { [other(side)]: each[other(side)] };
    return to === null ? rest : { ...rest, [side]: to };
  }));
}

// The point whose line in the other picture helps to find it there: a mark or cap that one picture lacks, or the last
// click of a line that is shorter in the other.
export function unmatched(marking: Marking, tool: Tool): { readonly side: Side; readonly at: ImagePoint } | null {
  if (isPoint(tool)) {
    const open = marking.points[tool as PointTool].find((each) => (each.a === undefined) !== (each.b === undefined));
    if (!open) return null;
    const side: Side = open.a === undefined ? "b" : "a";
    const at = open[side];
    return at === undefined ? null : { side, at };
  }
  const a = pointsOf(marking, tool, "a");
  const b = pointsOf(marking, tool, "b");
  const side: Side = a.length > b.length ? "a" : "b";
  const at = (side === "a" ? a : b).at(Math.min(a.length, b.length));
  return a.length === b.length || at === undefined ? null : { side, at };
}

const pixel = (point: ImagePoint): Pixel => [Math.round(point.x * 100) / 100, Math.round(point.y * 100) / 100];
const pixels = (line: readonly ImagePoint[]): readonly Pixel[] => line.map(pixel);
const clicks = (each: InSides<ImagePoint> | undefined): InSides<Pixel> =>
  ({ ...(each?.a ? { a: pixel(each.a) } : {}), ...(each?.b ? { b: pixel(each.b) } : {}) });
const courses = (line: InSides<readonly ImagePoint[]>): InSides<readonly Pixel[]> =>
  ({ ...(line.a?.length ? { a: pixels(line.a) } : {}), ...(line.b?.length ? { b: pixels(line.b) } : {}) });
const inBoth = (line: InSides<readonly ImagePoint[]>): boolean => (line.a?.length ?? 0) >= 2 && (line.b?.length ?? 0) >= 2;

export function bodyOf(marking: Marking, frames: PairPoints["frames"], table: PairPoints["table"]): PairPoints {
  const { near, far, mark } = marking.points;
  const caps = near[0] !== undefined && far[0] !== undefined;
  const beside = (name: "before" | "inside" | "after", key: string) =>
    ((marking.lines[name].a?.length ?? 0) > 0 && (marking.lines[name].b?.length ?? 0) > 0 ? { [key]: courses(marking.lines[name]) } : {});
  return {
    frames, table,
    marks: mark.map((each, index) => ({ name: `point ${index + 1}`, at: clicks(each) })),
    paths: [
      ...(inBoth(marking.lines.vessel) ? [{ name: "vessel", kind: "vessel" as const, at: courses(marking.lines.vessel) }] : []),
      ...(inBoth(marking.lines.channel) ? [{ name: "channel", kind: "collateral" as const, at: courses(marking.lines.channel) }] : []),
    ],
    ...(caps ? { occlusion: { near_cap: clicks(near[0]), far_cap: clicks(far[0]), ...beside("before", "before"), ...beside("inside", "course"), ...beside("after", "after") } } : {}),
  };
}

// The same backwards: an accepted measurement is opened again with what was clicked.
export function markingOf(body: PairPoints): Marking {
  const point = (at: Pixel | undefined): ImagePoint | undefined => (at === undefined ? undefined : imagePoint(at[0], at[1]));
  const points = (each: InSides<Pixel> | undefined): InSides<ImagePoint> =>
    ({ ...(each?.a ? { a: point(each.a) } : {}), ...(each?.b ? { b: point(each.b) } : {}) }) as InSides<ImagePoint>;
  const line = (each: InSides<readonly Pixel[]> | undefined): InSides<readonly ImagePoint[]> =>
    ({ ...(each?.a ? { a: each.a.map((p) => imagePoint(p[0], p[1])) } : {}), ...(each?.b ? { b: each.b.map((p) => imagePoint(p[0], p[1])) } : {}) });
  const path = (kind: string) => line(body.paths.find((each) => each.kind === kind)?.at);
  const o = body.occlusion;
  return {
    points: { mark: body.marks.map((each) => points(each.at)), near: o ? [points(o.near_cap)] : [], far: o ? [points(o.far_cap)] : [] },
    lines: { before: line(o?.before), inside: line(o?.course), after: line(o?.after), vessel: path("vessel"), channel: path("collateral") },
  };
}
