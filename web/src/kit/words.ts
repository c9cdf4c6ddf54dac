// SPDX-License-Identifier: Apache-2.0
// How fits and reaches are said.
import { chance, figure } from "../words/number";
import type { FitWord, Paired } from "./shapes";

export const fitSign: Record<FitWord, string> = { fits: "✓", tight: "▲", no: "✕", unknown: "?" };
export const reachSign = { ok: "✓", tight: "▲", short: "✕" } as const;
export const stateSign = { ready: "✓", doubtful: "▲", missing: "✕" } as const;

// Too close: the lumen lies between one that certainly holds them and one that certainly does not.
export function fitWords(verdict: FitWord, margin: number | null, tooClose: boolean, smallest: number | null = null, proved: number | null = null): string {
  if (verdict === "unknown" || margin === null) return "sizes not known";
  if (tooClose) return smallest === null || proved === null ? "too close to call" : `too close to call: ${figure(smallest, 2)} mm holds them, ${figure(proved, 2)} mm does not, between is not known`;
  if (verdict === "no") return `no, by ${figure(-margin, 2)} mm`;
  return `${verdict}, ${figure(margin, 2)} mm to spare`;
}

// Only where the labels' rounding can change the class.
export function roundingWords(sensitive: boolean, passes: number, fits: number): string {
  if (!sensitive) return "";
  const said = passes < 0.995 ? `passes in ${chance(passes)}` : `fits in ${chance(fits)}`;
  return `within the labels' rounding: ${said}`;
}

export const worstWords = (worst: readonly Paired[]): string => worst.map((each) => `${each.device}, ${each.section}`).join(" beside ");

export function reserveWords(reserve: number, sd: number): string {
  const value = `${reserve >= 0 ? "+" : ""}${figure(reserve, 0)}`;
  return sd > 0 ? `${value} ± ${figure(sd, sd < 1 ? 1 : 0)} cm` : `${value} cm`;
}
