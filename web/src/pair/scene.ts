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
  readonly spread: readonly Spread[];    // one a point
}
// The lower triangle whose square is a place's covariance: a ball of radius 1 becomes its ellipsoid of one sd. mm.
export type Spread = readonly [xx: number, yx: number, yy: number, zx: number, zy: number, zz: number];
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

export function rootOf(covariance: readonly number[]): Spread {
  const [xx = 0, xy = 0, xz = 0, yy = 0, yz = 0, zz = 0] = covariance;
  const a = Math.sqrt(Math.max(xx, 1e-9));
  const [b, d] = [xy / a, xz / a];
  const c = Math.sqrt(Math.max(yy - b * b, 1e-9));
  const e = (yz - b * d) / c;
  return [a, b, c, d, e, Math.sqrt(Math.max(zz - d * d - e * e, 1e-9))];
}

function drawn(course: Course, kind: Kind, dashed: boolean): DrawnCourse {
  return { kind, dashed, points: course.places_mm.map(triple), spread: course.covariance_mm2.map(rootOf) };
}

const difference = (a: Triple, b: Triple): Triple => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const dot = (a: Triple, b: Triple): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

// The picture brought along its rays from the detector to just before the scene as its source sees it, smaller in the same
// measure: every ray still meets it in the same pixel, and from where the detector stood it lies behind the scene.
export function behind(plane: DrawnPlane, centre: Triple, reach: number): DrawnPlane {
  const { source, corners } = plane;
  const [a, , c] = corners;
  if (!a || !c) return plane;
  const beam = difference([(a[0] + c[0]) / 2, (a[1] + c[1]) / 2, (a[2] + c[2]) / 2], source);
  const long = Math.sqrt(dot(beam, beam));
  const share = Math.max(0.05, (dot(difference(centre, source), beam) / long - 1.25 * reach) / long);
  const nearer = (corner: Triple): Triple => {
    const [x, y, z] = difference(corner, source);
    return [source[0] + share * x, source[1] + share * y, source[2] + share * z];
  };
  return { ...plane, corners: corners.map(nearer) };
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
  const planes = [...found.frames].map(([key, frame]) => behind({ key, corners: frame.corners_mm.map(triple), source: triple(frame.source_mm) }, triple(centre), reach));
  return { courses, marks, planes, centre: triple(centre), reach };
}
