// SPDX-License-Identifier: Apache-2.0
// The whole path from the valve on, to scale, and each device laid along it.
import type { Guide, Need, Stretch } from "./shapes";

export interface Span {
  readonly name: string;
  readonly from: number;   // cm along the path
  readonly to: number;
  readonly sd: number;
  readonly typical: boolean;
}
export interface LaidDevice {
  readonly name: string;
  readonly length: number;
  readonly reserve: number;
  readonly sd: number;
  readonly verdict: "ok" | "tight" | "short";
  readonly odds: number;
}
export interface RulerPicture {
  readonly side: "antegrade" | "retrograde";
  readonly spans: readonly Span[];
  readonly end: number;     // where the tip must stand
  readonly whole: number;   // right edge of the picture
  readonly devices: readonly LaidDevice[];
}

export function rulerPicture(side: Guide["side"], valve: readonly Stretch[], guide: Guide | undefined, segments: readonly Stretch[], needs: readonly Need[]): RulerPicture | null {
  const long = guide?.guide?.usable_cm ?? null;
  if (long === null || segments.length === 0) return null;
  const inside = side === "retrograde" ? [{ name: "inside the other guide", length_cm: { value: 3, sd: 0 }, typical: false }] : [];
  let at = 0;
  const spans = [...valve, { name: guide?.guide?.name ?? "guide", length_cm: { value: long, sd: 0 }, typical: false }, ...segments, ...inside].map((each) => {
    const from = at;
    at += each.length_cm.value;
    return { name: each.name, from, to: at, sd: each.length_cm.sd, typical: each.typical };
  });
  const devices = needs.flatMap((need): LaidDevice[] => {
    const piece = need.pieces[0] ?? need.candidates[0];
    if (need.side !== side || need.reach === null || piece?.usable_cm == null) return [];
    return [{ name: piece.name, length: piece.usable_cm, reserve: need.reach.reserve_cm, sd: need.reach.sd_cm, verdict: need.reach.verdict, odds: need.reach.odds_reaches }];
  });
  return { side, spans, end: at, whole: Math.max(at, ...devices.map((each) => each.length)) + 4, devices };
}
