// SPDX-License-Identifier: Apache-2.0
// The skin unrolled: cut open along the breastbone, the back in the middle, seen from behind; head up. Lines of equal dose
// at the published bands; below the first band at shares of the peak, thin.
import { contour } from "../views/contour";
import type { Skin, SkinPart } from "./shapes";

export const kSkin = { width: 360, height: 200, left: 8, right: 352, top: 8, bottom: 172 };
const kBands = [2, 5, 10, 15]; // Gy; where the bands of skin effects begin (skin-effects-2011)

export interface SkinLine {
  readonly words: string;
  readonly path: string;
  readonly band: boolean;
}
export interface SkinPicture {
  readonly lines: readonly SkinLine[];
  readonly peak: { readonly x: number; readonly y: number } | null;
  readonly sides: readonly { readonly x: number; readonly text: string }[];
  readonly isocentre: number;
}

// Only the stretch of the body that was exposed, at least 30 cm, so that the spot is not a speck.
function rowsShown(part: SkinPart): { readonly from: number; readonly to: number } {
  let from = part.along;
  let to = -1;
  part.dose_cgy.forEach((dose, index) => {
    if (dose <= 0) return;
    const row = Math.floor(index / part.round);
    from = Math.min(from, row);
    to = Math.max(to, row);
  });
  if (to < 0) return { from: 0, to: part.along - 1 };
  const least = Math.ceil(300 / Math.max(1, part.step_z_mm));
  const more = Math.max(2, Math.ceil((least - (to - from)) / 2));
  return { from: Math.max(0, from - more), to: Math.min(part.along - 1, to + more) };
}

// Columns go from the back by the patient's left round to the right; turned so that the back lies in the middle.
function turned(part: SkinPart, from: number, to: number): number[] {
  const half = Math.floor(part.round / 2);
  const values: number[] = [];
  for (let row = from; row <= to; row++) {
    for (let column = 0; column < part.round; column++) {
      const place = (((half - column) % part.round) + part.round) % part.round; // the patient's left on the left
      values.push((part.dose_cgy[row * part.round + place] ?? 0) / 100);
    }
  }
  return values;
}

export function skinPicture(skin: Skin): SkinPicture | null {
  const part = skin.map[0];
  if (!part || !skin.peak || part.round < 4) return null;
  const { from, to } = rowsShown(part);
  const rows = to - from + 1;
  const x = (column: number) => kSkin.left + (column / (part.round - 1)) * (kSkin.right - kSkin.left);
  const y = (row: number) => kSkin.bottom - (row / Math.max(1, rows - 1)) * (kSkin.bottom - kSkin.top);
  const field = { columns: part.round, rows, values: turned(part, from, to) };
  const most = Math.max(...field.values);
  const shares = most < 2 ? [0.25, 0.5, 0.75] : [0.25];
  const lines = [
    ...shares.map((share) => ({ words: `${Math.round(100 * share)} % of the peak`, path: contour(field, share * most, x, y), band: false })),
    ...kBands.filter((band) => band <= most).map((band) => ({ words: `${band} Gy`, path: contour(field, band, x, y), band: true })),
  ];
  const round = skin.peak.round;
  const peak = round === null || skin.peak.z_mm === null || skin.peak.part !== 0 ? null
    : { x: kSkin.left + ((((0.5 - round) % 1) + 1) % 1) * (kSkin.right - kSkin.left), y: y((skin.peak.z_mm - part.z0_mm) / part.step_z_mm - from) };
  const width = kSkin.right - kSkin.left;
  return {
    lines, peak, isocentre: y(-part.z0_mm / part.step_z_mm - from),
    sides: [{ x: kSkin.left + 0.25 * width, text: "left side" }, { x: kSkin.left + 0.5 * width, text: "back" }, { x: kSkin.left + 0.75 * width, text: "right side" }],
  };
}
