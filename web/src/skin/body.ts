// SPDX-License-Identifier: Apache-2.0
// The body in space with its dose, and the beam of one event, as plain paths: seen from far away, so that straight stays
// straight. Places are the engine's; nothing is worked out here but where they fall on the picture.
import { eyeOf, type Turn } from "../pair/turn";
import type { SkinBeam, SkinPart } from "./shapes";

export const kBody = { width: 360, height: 300 };
export const kSteps = [0.1, 1, 2, 5, 10] as const; // Gy: where a shade begins; from 2 on the published bands

type Triple = readonly [number, number, number];
const minus = (a: Triple, b: Triple): Triple => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const dot = (a: Triple, b: Triple): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Triple, b: Triple): Triple => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a: Triple): Triple => { const n = Math.hypot(...a) || 1; return [a[0] / n, a[1] / n, a[2] / n]; };

export interface Eye {
  readonly towards: Triple; // from the body to the eye
  readonly right: Triple;
  readonly up: Triple;
}
export function eyeFrom(turn: Turn): Eye {
  const towards = unit(eyeOf({ ...turn, far: 1 }, [0, 0, 0], 1) as Triple);
  const right = unit(cross([0, 0, 1], towards));
  return { towards, right, up: cross(towards, right) };
}

export interface BodyPicture {
  readonly shades: readonly { readonly step: number; readonly path: string }[]; // step: -1 for skin with next to none
  readonly rays: string; // of the beam, from the tube to the detector
  readonly fan: string; // its far end
  readonly tube: { readonly x: number; readonly y: number } | null;
  readonly behind: boolean; // the tube stands on the far side of the body
}

interface Placed { readonly x: number; readonly y: number }

// Every other place is enough for a picture: cells of some 20 mm.
function cellsOf(part: SkinPart): { readonly corners: readonly Triple[]; readonly gray: number }[] {
  const cells: { corners: Triple[]; gray: number }[] = [];
  const at = (column: number, row: number): Triple => [part.x_mm[column % part.round] ?? 0, part.y_mm[column % part.round] ?? 0, part.z0_mm + row * part.step_z_mm];
  for (let row = 0; row + 1 < part.along; row++) {
    for (let column = 0; column < part.round; column++) {
      const gray = (part.dose_cgy[row * part.round + column] ?? 0) / 100;
      cells.push({ corners: [at(column, row), at(column + 1, row), at(column + 1, row + 1), at(column, row + 1)], gray });
    }
  }
  return cells;
}

const stepOf = (gray: number): number => kSteps.reduce((step, least, index) => (gray >= least ? index : step), -1);

export function bodyPicture(parts: readonly SkinPart[], beam: SkinBeam | null, turn: Turn): BodyPicture {
  const eye = eyeFrom(turn);
  const trunk = parts[0];
  const middle: Triple = trunk ? [trunk.x_mm.reduce((sum, x) => sum + x, 0) / trunk.round, trunk.y_mm.reduce((sum, y) => sum + y, 0) / trunk.round, trunk.z0_mm + (trunk.along * trunk.step_z_mm) / 2] : [0, 0, 0];
  const reach = 560; // mm that half of the picture's height shows: the body with the tube beside it
  const scale = (kBody.height / 2 / reach) * (turn.far > 0 ? 4 / turn.far : 1);
  const place = (at: Triple): Placed => {
    const from = minus(at, middle);
    return { x: kBody.width / 2 + scale * dot(from, eye.right), y: kBody.height / 2 - scale * dot(from, eye.up) };
  };
  const pieces = new Map<number, string[]>();
  for (const part of parts) {
    for (const cell of cellsOf(part)) {
      const [a, b, , d] = cell.corners as [Triple, Triple, Triple, Triple];
      const outwards = cross(minus(d, a), minus(b, a)); // places go from the back by the patient's left, rows towards the head
      if (dot(outwards, eye.towards) <= 0) continue;
      const path = cell.corners.map((corner, index) => { const p = place(corner); return `${index === 0 ? "M" : "L"}${p.x.toFixed(1)} ${p.y.toFixed(1)}`; }).join("");
      const step = stepOf(cell.gray);
      const held = pieces.get(step);
      if (held) held.push(`${path}Z`);
      else pieces.set(step, [`${path}Z`]);
    }
  }
  const shades = [...pieces.entries()].sort((a, b) => a[0] - b[0]).map(([step, paths]) => ({ step, path: paths.join("") }));
  if (!beam) return { shades, rays: "", fan: "", tube: null, behind: false };
  const source = beam.source_mm as unknown as Triple;
  const tube = place(source);
  const ends = beam.corners_mm.map((corner) => place(corner as unknown as Triple));
  return {
    shades, tube, behind: dot(minus(source, middle), eye.towards) < 0,
    rays: ends.map((end) => `M${tube.x.toFixed(1)} ${tube.y.toFixed(1)}L${end.x.toFixed(1)} ${end.y.toFixed(1)}`).join(""),
    fan: `${ends.map((end, index) => `${index === 0 ? "M" : "L"}${end.x.toFixed(1)} ${end.y.toFixed(1)}`).join("")}Z`,
  };
}
