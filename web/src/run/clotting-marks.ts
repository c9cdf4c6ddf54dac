// SPDX-License-Identifier: Apache-2.0
// ACT over time as paths in a box of 220 by 120: the target's band, the last sample, the forecast with its spread.
import type { Clotting } from "./board";

export interface ClottingPicture {
  readonly band: { readonly y: number; readonly height: number } | null;
  readonly borders: readonly { readonly y: number; readonly says: string }[];
  readonly spread: string;
  readonly line: string;
  readonly sample: { readonly x: number; readonly y: number } | null;
}

export function clottingPicture(clotting: Clotting, now: number): ClottingPicture | null {
  const values = [clotting.low, clotting.high, clotting.act, ...clotting.course.flatMap((each) => [each.low, each.high])].filter((each): each is number => each !== null);
  if (values.length === 0) return null;
  const [least, most] = [Math.min(...values) - 15, Math.max(...values) + 15];
  const times = [clotting.at, ...clotting.course.map((each) => each.at)].filter((each): each is string => each !== null).map((each) => Date.parse(each));
  const [first, last] = [Math.min(...times, now), Math.max(...times, now)];
  const round = (value: number): number => Math.round(value * 10) / 10;
  const y = (value: number): number => round(114 - ((value - least) / (most - least)) * 108);
  const x = (time: number): number => round(last === first ? 110 : 6 + ((time - first) / (last - first)) * 208);
  const points = clotting.course.map((each) => ({ x: x(Date.parse(each.at)), low: y(each.low), mid: y(each.mid), high: y(each.high) }));
  const path = (list: readonly string[]): string => (list.length < 2 ? "" : `M${list.join("L")}`);
  const borders = [clotting.low, clotting.high].filter((each): each is number => each !== null).map((each) => ({ y: y(each), says: String(each) }));
  return {
    band: clotting.low !== null && clotting.high !== null ? { y: y(clotting.high), height: round(y(clotting.low) - y(clotting.high)) } : null,
    borders,
    spread: points.length < 2 ? "" : `${path([...points.map((p) => `${p.x} ${p.high}`), ...[...points].reverse().map((p) => `${p.x} ${p.low}`)])}Z`,
    line: path(points.map((p) => `${p.x} ${p.mid}`)),
    sample: clotting.act !== null && clotting.at !== null ? { x: x(Date.parse(clotting.at)), y: y(clotting.act) } : null,
  };
}
