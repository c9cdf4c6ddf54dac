// SPDX-License-Identifier: Apache-2.0
// A score as a picture: the chance of each total as a bar; where facts are missing, the totals that can still occur as
// an open range. A pure list of boxes in a field of kWidth x kHeight.
import type { ScoreDefinition, ScoreResult } from "../wire/shapes";
import { total } from "../words/number";

export const kWidth = 320;
export const kHeight = 88;
const kFloor = 62;   // baseline of the bars
const kTop = 14;     // room above the highest bar for its figure
const kMostTicks = 13;
const kRoomForDot = 14;   // closer rings would run together: the two ends are drawn then
const kRoomForWords = 38; // a chance in words is that wide

export interface Bar {
  readonly x: number;
  readonly width: number;
  readonly height: number;
  readonly total: number;
  readonly share: number;
  readonly named: boolean; // there is room for its chance above it
}
export interface BarPicture {
  readonly floor: number;
  readonly bars: readonly Bar[];
  readonly open: { readonly from: number; readonly to: number } | null; // the reach of missing facts, x to x
  readonly dots: readonly number[];                                     // each reachable total
  readonly ticks: readonly { readonly x: number; readonly text: string }[];
  readonly groups: readonly { readonly from: number; readonly to: number; readonly name: string; readonly on: boolean }[];
}

export function barPicture(definition: ScoreDefinition, result: ScoreResult): BarPicture {
  const high = Math.max(definition.high, result.high ?? 0, ...(result.totals ? [...result.totals.keys()].map(Number) : []));
  const low = definition.low;
  const step = definition.step;
  const places = Math.round((high - low) / step) + 1;
  const slot = kWidth / places;
  const x = (value: number) => ((value - low) / step + 0.5) * slot;
  const bars = [...(result.totals ?? new Map<string, number>())].map(([text, share]) => ({
    x: x(Number(text)) - Math.min(22, slot * 0.36), width: Math.min(44, slot * 0.72), height: share * (kFloor - kTop), total: Number(text), share,
    named: share > 0.05 && share < 0.995 && slot >= kRoomForWords,
  }));
  const every = Math.ceil(places / kMostTicks);
  const whole = (value: number) => step >= 1 || Number.isInteger(value);
  const ticks = Array.from({ length: places }, (_, index) => low + index * step)
    .filter((value, index) => whole(value) && index % every === 0)
    .map((value) => ({ x: x(value), text: total(value) }));
  const named = new Set(result.group ? result.group.keys() : result.reachable_groups);
  return {
    floor: kFloor,
    bars,
    open: result.totals === null && result.low !== null && result.high !== null ? { from: x(result.low), to: x(result.high) } : null,
    dots: result.totals !== null ? [] : slot >= kRoomForDot ? result.reachable.map(x) : [result.low, result.high].flatMap((end) => (end === null ? [] : [x(end)])),
    ticks,
    groups: definition.groups.map((group) => ({
      from: x(group.low) - slot * 0.45, to: Math.min(kWidth, x(Math.min(group.high, high)) + slot * 0.45), name: group.name, on: named.has(group.name),
    })),
  };
}
