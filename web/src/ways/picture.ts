// SPDX-License-Identifier: Apache-2.0
// The pictures of "Which way?" as pure lists of shapes in fields of kWidth: last starts, the flat region, chance curves,
// and the two bars of the patience strip. Every figure is the engine's; only places on the field are made here.
import type { Fit, LadderAnswer, Way } from "../wire/ladder";

export const kWidth = 320;
const kLabel = 84; // of a way's letters, left of its bar

// Strategies are told apart by letters and line pattern before colour.
const kDashes = ["", "8 4", "2 4", "8 4 2 4", "12 3", "1 5"];
export const dashOf = (index: number): string => kDashes[index % kDashes.length] ?? "";

export interface FitBar {
  readonly id: string;
  readonly y: number;
  readonly x: number;
  readonly width: number;
  readonly words: string;
}
export const kFitHeight = 22;
const kBudgetWords: Readonly<Record<string, string>> = { minutes: "time", contrast_ml: "contrast", kerma_mgy: "air kerma" };

// One bar a way: until when it can still be started.
export function fitBars(fits: readonly Fit[], leftMin: number | null): FitBar[] {
  const most = Math.max(leftMin ?? 0, ...fits.map((fit) => fit.fits_for_min ?? 0), 1);
  return fits.map((fit, index) => ({
    id: fit.id, y: index * kFitHeight, x: kLabel,
    width: fit.fits_now ? Math.max(2, ((fit.fits_for_min ?? most) / most) * (kWidth - kLabel - 76)) : 0,
    words: !fit.fits_now ? `does not fit: ${kBudgetWords[fit.binds] ?? fit.binds}` : fit.fits_for_min === null ? "fits" : `for ${fit.fits_for_min} min`,
  }));
}

// The engine's sentence of the way that is ruled out, or falls out first.
export function firstToGo(fits: readonly Fit[]): string | null {
  const until = (fit: Fit) => (fit.fits_now ? fit.fits_for_min ?? Infinity : -1);
  const soonest = [...fits].sort((a, b) => until(a) - until(b))[0];
  return soonest === undefined ? null : soonest.text.charAt(0).toUpperCase() + soonest.text.slice(1);
}

export interface FlatPicture {
  readonly path: string;
  readonly band: { readonly x: number; readonly width: number } | null;
  readonly now: number | null;
  readonly ticks: readonly { readonly x: number; readonly text: string }[];
}
export const kFlatHeight = 64;
const kFloor = 44;
const kLossTop = 0.05; // five points of utility fill the field; more is cut

// `flat` is the engine's: the minutes around the best ones.
export function flatPicture(answer: Pick<LadderAnswer, "losses">, flat: { readonly from: number; readonly to: number } | null, now: number | null): FlatPicture {
  const last = answer.losses[answer.losses.length - 1]?.minutes ?? 0;
  const x = (minutes: number) => 8 + (minutes / Math.max(1, last)) * (kWidth - 16);
  const y = (loss: number) => kFloor - 6 - (1 - Math.min(loss, kLossTop) / kLossTop) * (kFloor - 12);
  const every = last > 90 ? 30 : last > 30 ? 15 : 5;
  return {
    path: answer.losses.map((point, index) => `${index === 0 ? "M" : "L"}${x(point.minutes).toFixed(1)} ${y(point.loss).toFixed(1)}`).join(""),
    band: flat && answer.losses.length > 0 ? { x: x(flat.from), width: Math.max(3, x(flat.to) - x(flat.from)) } : null,
    now: now === null ? null : x(Math.min(now, last)),
    ticks: Array.from({ length: Math.floor(last / every) + 1 }, (_, index) => ({ x: x(index * every), text: String(index * every) })),
  };
}

// Where the present minute lies to the flat ones. Never a single minute alone, and no order.
export function flatWords(id: string, flat: { readonly from: number; readonly to: number }, now: number): string {
  const left = Math.floor(flat.to - now);
  if (now < flat.from) return `Leaving ${id} makes no odds from ${Math.ceil(flat.from - now)} to ${left} min from now`;
  if (now <= flat.to) return left < 1 ? `Leaving ${id} makes no odds now; the flat minutes end` : `Leaving ${id} makes no odds now, and for ${left} more min`;
  return `Past the minutes in which leaving ${id} makes no odds, by ${Math.ceil(now - flat.to)} min`;
}

export interface CurveLine {
  readonly id: string;
  readonly path: string;
  readonly dash: string;
  readonly retrograde: boolean;
  readonly end: { readonly x: number; readonly y: number };
}
export const kCurveHeight = 120;
const kCurveFloor = 98;

// Chance to be across by so many minutes of one who starts this way now.
export function curveLines(curves: LadderAnswer["curves"]): CurveLine[] {
  const lines = curves.map((curve, index) => {
    const points = curve.crossed_by.map((share, at) => ({ x: 28 + (at * curve.every_min / 90) * (kWidth - 100), y: kCurveFloor - share * (kCurveFloor - 8) }));
    const end = points[points.length - 1] ?? { x: 28, y: kCurveFloor };
    return {
      id: curve.id, dash: dashOf(index), retrograde: curve.side === "retrograde", end,
      path: points.map((point, at) => `${at === 0 ? "M" : "L"}${point.x.toFixed(1)} ${point.y.toFixed(1)}`).join(""),
    };
  });
  // Letters at the ends are pushed apart, the lowest first.
  const ends = [...lines].sort((a, b) => b.end.y - a.end.y);
  let free = kCurveFloor;
  const moved = new Map(ends.map((line) => {
    const y = Math.min(line.end.y, free);
    free = y - 15;
    return [line.id, y] as const;
  }));
  return lines.map((line) => ({ ...line, end: { x: line.end.x, y: moved.get(line.id) ?? line.end.y } }));
}

export interface WayBar {
  readonly from: number; // of the band
  readonly to: number;
  readonly value: number;
}
// 0 to 1 of the strip's width, for CSS.
export const wayBar = (way: Way): WayBar => ({ from: way.p_cross.low, to: way.p_cross.high, value: way.p_cross.value });
