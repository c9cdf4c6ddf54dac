// SPDX-License-Identifier: Apache-2.0
// The board's clock: now, a moment of one of the pasts, or a rehearsal that runs 1 to 60 times as fast as it happened.
import { signal } from "@preact/signals";
import { engineNow, past } from "../state/store";

export interface Rehearsal {
  readonly from: number; // the moment of the procedure at which it began
  readonly began: number; // here and now
  readonly rate: number; // 0: it stands
}
export const kRates = [1, 5, 20, 60] as const;
export const rehearsal = signal<Rehearsal | null>(null);

export const rehearsedAt = (each: Rehearsal, now: number): number => each.from + (now - each.began) * each.rate;

export function boardClock(): number {
  if (rehearsal.value !== null) return rehearsedAt(rehearsal.value, Date.now());
  return past.value !== null ? Date.parse(past.value.at) : engineNow().getTime();
}

export function rehearse(from: number, rate: number): void {
  rehearsal.value = { from, began: Date.now(), rate };
}
export function changeRate(rate: number): void {
  const now = rehearsal.value;
  if (now !== null) rehearse(rehearsedAt(now, Date.now()), rate);
}

// "from=…&began=…&rate=…", so that a second screen keeps step.
export function rehearsalQuery(each: Rehearsal): string {
  return `from=${each.from}&began=${each.began}&rate=${each.rate}`;
}
export function rehearsalIn(query: string): Rehearsal | null {
  const asked = new URLSearchParams(query);
  const [from, began, rate] = ["from", "began", "rate"].map((name) => Number(asked.get(name) ?? NaN));
  if (from === undefined || began === undefined || rate === undefined || ![from, began, rate].every(Number.isFinite)) return null;
  return { from, began, rate: Math.max(0, Math.min(60, rate)) };
}

// How long (real milliseconds) until the board must be asked for again: the engine's own instant, or the next entry.
export function waitFor(clock: number, rate: number, holdsUntil: number | null, entries: readonly number[], rehearsed: boolean): number | null {
  const next = rehearsed ? entries.filter((at) => at > clock) : [];
  const until = Math.min(holdsUntil ?? Infinity, ...next);
  if (!Number.isFinite(until) || rate <= 0) return null;
  return Math.max(250, Math.min(2 ** 31 - 1, (until - clock) / rate + 20));
}
