// SPDX-License-Identifier: Apache-2.0
// What stands in the 3D view, as a pure list in millimetres of the patient's axes: courses, marks, caps, and the plane
// of each picture with the rays that its source sends through the caps.
import type { Course, PairAnswer } from "../wire/pair";

export type Triple = readonly [number, number, number];
export type Kind = "occlusion" | "vessel" | "collateral";
export interface DrawnCourse {
  readonly kind: Kind;
  readonly dashed: boolean;              // nobody saw it
  readonly points: readonly Triple[];
}
export interface DrawnPlane {
  readonly key: string;
  readonly corners: readonly Triple[];   // upper left, upper right, lower right, lower left of the picture
  readonly source: Triple;
}
export interface Scene {
  readonly courses: readonly DrawnCourse[];
  readonly marks: readonly { readonly at: Triple; readonly cap: boolean; readonly doubtful: boolean }[];
  readonly planes: readonly DrawnPlane[];
  readonly centre: Triple;
  readonly reach: number;                // half of what should be in sight, mm
}

const triple = (values: readonly number[]): Triple => [values[0] ?? 0, values[1] ?? 0, values[2] ?? 0];

function drawn(course: Course, kind: Kind, dashed: boolean): DrawnCourse {
  return { kind, dashed, points: course.places_mm.map(triple) };
}

export function sceneOf(found: PairAnswer): Scene {
  const courses: DrawnCourse[] = found.paths.map((path) => drawn(path, path.kind, false));
  const inside = found.occlusion?.course;
  if (inside) courses.push(drawn(inside, "occlusion", found.occlusion?.course_seen !== true));
  const marks = found.marks.filter((mark) => !mark.left_out).map((mark) =>
    ({ at: triple(mark.at_mm), cap: mark.name.endsWith("cap"), doubtful: mark.doubtful }));
  const all = [...courses.flatMap((each) => each.points), ...marks.map((mark) => mark.at)];
  const centre = [0, 1, 2].map((axis) => {
    const values = all.map((point) => point[axis] ?? 0);
    return values.length === 0 ? 0 : (Math.min(...values) + Math.max(...values)) / 2;
  });
  const reach = Math.max(12, ...all.map((point) => Math.hypot(point[0] - (centre[0] ?? 0), point[1] - (centre[1] ?? 0), point[2] - (centre[2] ?? 0))));
  const planes = [...found.frames].map(([key, frame]) => ({ key, corners: frame.corners_mm.map(triple), source: triple(frame.source_mm) }));
  return { courses, marks, planes, centre: triple(centre), reach };
}
