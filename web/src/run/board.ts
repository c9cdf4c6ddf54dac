// SPDX-License-Identifier: Apache-2.0
// What the run's board shows, as the engine computed it. Times are instants: the page counts seconds from them, nothing
// else. Anything that is not there is not known, and is shown as such.
import type { Counted } from "./numbers";

export interface Attempt {
  readonly number: number;
  readonly strategy: string; // "AW"
  readonly name: string; // "antegrade wiring"
  readonly since: string;
}
export interface Limit {
  readonly at: number;
  readonly says: string;
  readonly grave: boolean;
}
export interface Gauge {
  readonly id: "time" | "contrast" | "kerma" | "area";
  readonly title: string;
  readonly used: number | null; // null: nothing logged
  readonly decimals: number;
  readonly unit: string;
  readonly typedAt: string | null; // when the total was logged last
  readonly runsSince: string | null; // a clock: minutes are counted from here
  readonly forecast: { readonly low: number; readonly mid: number; readonly high: number; readonly says: string } | null;
  readonly limits: readonly Limit[];
  readonly keptBack: number | null; // what finishing costs
  readonly says: string; // below the gauge
}
export interface Clotting {
  readonly act: number | null;
  readonly offScale: boolean;
  readonly at: string | null; // of the sample
  readonly waiting: string | null; // a sample was sent then
  readonly low: number | null;
  readonly high: number | null;
  readonly now: { readonly low: number; readonly mid: number; readonly high: number } | null;
  readonly course: readonly { readonly at: string; readonly low: number; readonly mid: number; readonly high: number }[];
  readonly dueAt: string | null;
  readonly says: string;
}
export interface Device {
  readonly tag: string;
  readonly words: string; // "microcatheter 135 cm"
  readonly space: string; // of a wire: "in the wall, outside plaque"
  readonly proof: string;
  readonly grave: boolean;
  readonly note: string; // "may not be externalised: 190 cm"
}
export interface Lane {
  readonly side: string; // "antegrade", "retrograde", "far lumen"
  readonly devices: readonly Device[];
}
export interface Caution {
  readonly id: string;
  readonly level: "stop" | "caution" | "info";
  readonly says: string;
  readonly short: string; // at most eight words, for the wall
  readonly why: string;
  readonly clears: string;
  readonly source: string;
  readonly since: string;
  readonly accepted: boolean;
  readonly canAccept: boolean;
}
export interface GateItem {
  readonly id: string;
  readonly says: string;
  readonly state: "open" | "done" | "not" | "na";
  readonly why: string;
  readonly known: string; // what entries and facts say of it; ticks nothing
}
export interface Gate {
  readonly id: string;
  readonly title: string;
  readonly items: readonly GateItem[];
}
export interface Drill {
  readonly id: string;
  readonly title: string;
  readonly since: string | null; // it was called then and is not over
  readonly steps: readonly { readonly id: string; readonly says: string; readonly at: string | null; readonly due: string | null; readonly tick: string }[];
  readonly kit: readonly { readonly id: string; readonly inRoom: "done" | "not" | "na" | "open" | null }[]; // as ticked before; null: no item of that list
  readonly says: string; // the caution that local protocol decides
}
export interface Board {
  readonly seq: number;
  readonly now: string;
  readonly begun: string | null;
  readonly ended: string | null;
  readonly attempt: Attempt | null;
  readonly phase: { readonly word: string; readonly since: string } | null;
  readonly gauges: readonly Gauge[];
  readonly counted: Counted; // of the console's counters, whether they have a gauge or not
  readonly clotting: Clotting | null;
  readonly lanes: readonly Lane[];
  readonly cautions: readonly Caution[];
  readonly notWatched: readonly { readonly lacks: string; readonly rules: readonly string[]; readonly since: string | null }[];
  readonly changed: readonly { readonly rule: string; readonly off: boolean; readonly severity: string | null; readonly why: string; readonly owner: string; readonly version: string; readonly at: string }[]; // by the lab
  readonly gates: readonly Gate[];
  readonly drills: readonly Drill[]; // of the troubles that are not over
}

const kDaysFrom = 2 * 1440; // minutes
export const minutesBetween = (from: string, now: number): number => Math.max(0, Math.floor((now - Date.parse(from)) / 60_000));

// "just now", "4 min ago", "1:24 h ago", "69 d ago".
export function age(from: string, now: number): string {
  const minutes = minutesBetween(from, now);
  if (minutes < 1) return "just now";
  if (minutes >= kDaysFrom) return `${Math.floor(minutes / 1440)} d ago`;
  return minutes < 60 ? `${minutes} min ago` : `${hours(minutes)} h ago`;
}
export const hours = (minutes: number): string => `${Math.floor(minutes / 60)}:${String(Math.floor(minutes % 60)).padStart(2, "0")}`;

const kRank = { stop: 0, caution: 1, info: 2 } as const;
// Gravest first, then the longest standing; accepted ones last.
export function inOrder(cautions: readonly Caution[]): readonly Caution[] {
  return [...cautions].sort((a, b) => Number(a.accepted) - Number(b.accepted) || kRank[a.level] - kRank[b.level] || a.since.localeCompare(b.since) || a.id.localeCompare(b.id));
}
