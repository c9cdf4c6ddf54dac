// SPDX-License-Identifier: Apache-2.0
// What is asked of the engine about a pullback.
import { getJson, postJson } from "../wire/engine";
import type { ImagePoint } from "../wire/units";
import * as shapes from "./shapes";

export interface Correction {
  readonly border: "lumen" | "media" | "stent";
  readonly frame: number;
  readonly angle_deg: number;
  readonly distance_mm: number;
}
export interface WireMark {
  readonly wire: "catheter" | "second";
  readonly frame: number;
  readonly angle_deg: number;
}
// A place that shows in the pullback and on a traced vessel.
export interface Pair {
  readonly frame: number;
  readonly along_mm: number;
  readonly name?: string;
}
export interface AlignAsk {
  readonly frames: number;
  readonly vessel_mm: number;
  readonly mm_per_frame?: number;
  readonly pairs: readonly Pair[];
}
export interface Ask {
  readonly image: string;
  readonly pixel_mm?: number;
  readonly speed_mm_s?: number;
  readonly corrections: readonly Correction[];
  readonly wires: readonly WireMark[];
  readonly after?: number; // a reading that is here: only what differs from it comes
}
export interface MarksOut {
  readonly after: number;  // the version that these rest on
  readonly by: string;
  readonly marks: {
    readonly pixel_mm: number; readonly speed_mm_s?: number; readonly corrections: readonly Correction[]; readonly wires: readonly WireMark[];
    readonly pairs: readonly Pair[]; readonly vessel?: string;
  };
}

export const readPullback = (ask: Ask, signal: AbortSignal) => postJson("/api/pullback", shapes.pullback, ask, signal);
export const readNear = (asked: { readonly image: string; readonly frame: number; readonly pixel_mm?: number }, signal: AbortSignal) => postJson("/api/pullback/near", shapes.near, asked, signal);
export const readMarks = (hash: string) => getJson(`/api/pullback/${hash}/marks`, shapes.keptMarks);
export const keepMarks = (hash: string, marks: MarksOut) => postJson(`/api/pullback/${hash}/marks`, shapes.keptMarks, marks);
export const alignPullback = (asked: AlignAsk, signal: AbortSignal) => postJson("/api/pullback/align", shapes.aligned, asked, signal);
export const readShare = (hash: string, signal: AbortSignal) => getJson(`/api/pullback/${hash}/share`, shapes.shareAnswer, signal);
export const askJoining = (ask: Readonly<Record<string, unknown>>, signal: AbortSignal) =>
  postJson("/api/pullback/joining", shapes.joiningAnswer, ask, signal);
export const measureByHand = (ask: { image: string; kind: "distance" | "area" | "angle"; points: readonly ImagePoint[]; pixel_mm?: number }, signal: AbortSignal) =>
  postJson("/api/pullback/measure", shapes.measured, { ...ask, points: ask.points.map(({ x, y }) => ({ x, y })) }, signal);
