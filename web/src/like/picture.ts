// SPDX-License-Identifier: Apache-2.0
// The past cases on a line of distance: near ones left. Shape tells the outcome, never colour alone. Cases at one place
// are stacked, so that none hides another.
import type { LikeAnswer, PastCase } from "./like-shape";

export const kLikeWidth = 640;
const kLeft = 16;
const kRight = 16;
const kStep = 24;
const kLine = 30; // below the lowest row: the scale

export interface LikeDot {
  readonly x: number;
  readonly y: number;
  readonly shape: "success" | "failed" | "unknown";
  readonly trouble: boolean;
  readonly said: string;
}
export interface LikePicture {
  readonly height: number;
  readonly dots: readonly LikeDot[];
  readonly near: number; // x of the limit of what is called near
  readonly ticks: readonly { readonly x: number; readonly text: string }[];
}

export const outcomeOf = (each: PastCase): LikeDot["shape"] => (each.success === null ? "unknown" : each.success ? "success" : "failed");
const kWords = { success: "success", failed: "failed", unknown: "outcome not known" } as const;

export function likePicture(answer: LikeAnswer): LikePicture {
  const reach = Math.max(answer.near_within * 1.25, ...answer.cases.map((each) => each.distance)) * 1.02;
  const x = (distance: number): number => kLeft + (distance / reach) * (kLikeWidth - kLeft - kRight);
  const rows: number[] = []; // the x of the last dot in each row, from below
  const placed = answer.cases.map((each) => {
    const at = x(each.distance);
    let row = rows.findIndex((last) => at - last >= kStep);
    if (row < 0) row = rows.length;
    rows[row] = at;
    return { each, at, row };
  });
  const foot = rows.length * kStep;
  const step = reach > 0.5 ? 0.2 : 0.1;
  const ticks = Array.from({ length: Math.floor(reach / step) + 1 }, (_, i) => ({ x: x(i * step), text: (i * step).toFixed(1) }));
  return {
    height: foot + kLine,
    near: x(answer.near_within),
    ticks,
    dots: placed.map(({ each, at, row }) => ({
      x: at, y: foot - kStep / 2 - row * kStep, shape: outcomeOf(each), trouble: each.complication === true,
      said: `${each.case}: distance ${each.distance.toFixed(2)}, ${kWords[outcomeOf(each)]}${each.complication === true ? ", major complication" : ""}`,
    })),
  };
}
