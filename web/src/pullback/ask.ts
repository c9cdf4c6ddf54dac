// SPDX-License-Identifier: Apache-2.0
// What is asked of the engine about a pullback.
import { getJson, postJson } from "../wire/engine";
import type { ImagePoint } from "../wire/units";
import * as shapes from "./shapes";

export interface Correction {
  readonly border: "lumen" | "media";
  readonly frame: number;
  readonly angle_deg: number;
  readonly distance_mm: number;
}
export interface WireMark {
  readonly wire: "catheter" | "second";
  readonly frame: number;
  readonly angle_deg: number;
}
export interface Ask {
  readonly image: string;
  readonly pixel_mm?: number;
  readonly speed_mm_s?: number;
  readonly corrections: readonly Correction[];
  readonly wires: readonly WireMark[];
}

export const readPullback = (ask: Ask, signal: AbortSignal) => postJson("/api/pullback", shapes.pullback, ask, signal);
export const readShare = (hash: string, signal: AbortSignal) => getJson(`/api/pullback/${hash}/share`, shapes.shareAnswer, signal);
export const askJoining = (ask: Readonly<Record<string, unknown>>, signal: AbortSignal) =>
  postJson("/api/pullback/joining", shapes.joiningAnswer, ask, signal);
export const measureByHand = (ask: { image: string; kind: "distance" | "area" | "angle"; points: readonly ImagePoint[]; pixel_mm?: number }, signal: AbortSignal) =>
  postJson("/api/pullback/measure", shapes.measured, { ...ask, points: ask.points.map(({ x, y }) => ({ x, y })) }, signal);
