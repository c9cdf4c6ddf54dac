// SPDX-License-Identifier: Apache-2.0
// The pullback laid along a vessel that was traced on an angiogram: which trace, the places that were named in both, and
// where each frame lies. The engine aligns; the pairs are kept with the other marks.
import { computed, effect, signal, untracked } from "@preact/signals";
import { open, sentence } from "../state/store";
import { measureTrace } from "../wire/engine";
import type { CaseImage, Image, TraceAnswer } from "../wire/shapes";
import * as ask from "./ask";
import * as desk from "./desk";
import { change, marks } from "./kept";
import type { Aligned } from "./shapes";

export interface Traced {
  readonly entry: string;
  readonly words: string;
  readonly image: string;
  readonly frame: number;
  readonly points: readonly { readonly x: number; readonly y: number }[];
  readonly strokes: readonly (readonly { readonly x: number; readonly y: number }[])[];
}

// Facts that rest on a trace; two facts of one trace are one vessel.
export const traces = computed<readonly Traced[]>(() => {
  const found: Traced[] = [];
  for (const fact of open.value?.facts ?? []) {
    const from = fact.origin;
    if (!from?.method.startsWith("trace ") || from.points.length < 2 || fact.entry === null) continue;
    const same = (each: Traced) => each.image === from.image && JSON.stringify(each.points) === JSON.stringify(from.points);
    const run = open.value?.images.find((each) => each.hash === from.image);
    if (!found.some(same)) found.push({ entry: fact.entry, words: `${run?.label ?? "a run"}, frame ${(from.frame ?? 0) + 1}`, image: from.image, frame: from.frame ?? 0, points: from.points, strokes: from.strokes });
  }
  return found;
});
export const chosen = computed<Traced | null>(() => traces.value.find((each) => each.entry === marks.value.vessel) ?? null);
export const run = computed<CaseImage | null>(() => open.value?.images.find((each) => each.hash === chosen.value?.image) ?? null);
export const image = computed<Image | null>(() => run.value?.image ?? null);
export const trace = signal<TraceAnswer | null>(null);
export const aligned = signal<Aligned | null>(null);
export const trouble = signal("");
export const spot = signal<number | null>(null); // mm along the vessel that was clicked
export const length = computed(() => trace.value?.along_mm?.at(-1) ?? 0);
export const here = computed(() => aligned.value?.places[desk.beside.value] ?? null);

export function choose(entry: string): void {
  change((now) => ({ ...now, vessel: entry === "" ? null : entry, pairs: [] }));
}
// The frame that lies nearest to a place; null where the pullback does not reach.
export function frameNear(places: Aligned["places"], along_mm: number): number | null {
  let best: number | null = null;
  let least = Number.POSITIVE_INFINITY;
  places.forEach((place, index) => {
    const off = Math.abs(place.along_mm - along_mm);
    if (off < least) { least = off; best = index; }
  });
  const step = Math.abs((places[1]?.along_mm ?? 0) - (places[0]?.along_mm ?? 0));
  return best !== null && least <= Math.max(step, 0.1) ? best : null;
}
export function goTo(along_mm: number): void {
  spot.value = Math.min(length.value, Math.max(0, along_mm));
  const at = aligned.value === null ? null : frameNear(aligned.value.places, spot.value);
  if (at !== null) desk.jump(at);
}
export function pairHere(name: string): void {
  const along = spot.value;
  if (along === null) return;
  const frame = desk.frame.value;
  const words = name.trim();
  const pair: ask.Pair = { frame, along_mm: Math.round(along * 100) / 100, ...(words === "" ? {} : { name: words }) };
  change((now) => ({ ...now, pairs: [...now.pairs.filter((each) => each.frame !== frame), pair] }));
  spot.value = null;
}
export function takeBack(pair: ask.Pair): void {
  change((now) => ({ ...now, pairs: now.pairs.filter((each) => each.frame !== pair.frame) }));
}

let asking: AbortController | null = null;
async function fetchTrace(of: Traced, signal: AbortSignal): Promise<void> {
  trace.value = null;
  const scale = run.value?.calibration ?? image.value?.pixel_size ?? null;
  const size = scale === null ? {} : { pixel_size: { mm_per_px: scale.mm_per_px, sd_mm_per_px: scale.sd_mm_per_px, method: scale.method } };
  try {
    const found = await measureTrace({ image: of.image, frame: of.frame, points: of.points, ...size, ...(of.strokes.length > 0 ? { strokes: of.strokes } : {}) }, signal);
    if (signal.aborted) return;
    trace.value = found;
    trouble.value = found.along_mm === null ? "That run has no scale: measure its catheter on the angiogram first" : "";
  } catch (error) {
    if (!signal.aborted) trouble.value = sentence(error);
  }
}

let aligning: AbortController | null = null;
async function align(pairs: readonly ask.Pair[], vessel_mm: number, frames: number, mm_per_frame: number | null): Promise<void> {
  aligning?.abort();
  const mine = new AbortController();
  aligning = mine;
  if (pairs.length === 0 || vessel_mm === 0) { aligned.value = null; return; }
  try {
    const found = await ask.alignPullback({ frames, vessel_mm, pairs, ...(mm_per_frame === null ? {} : { mm_per_frame }) }, mine.signal);
    if (mine.signal.aborted) return;
    aligned.value = found;
    trouble.value = "";
  } catch (error) {
    if (mine.signal.aborted) return;
    aligned.value = null;
    trouble.value = sentence(error);
  }
}

export function attend(): () => void {
  const stops = [
    effect(() => {
      const of = chosen.value;
      untracked(() => {
        asking?.abort();
        spot.value = null;
        trouble.value = "";
        if (of === null) { trace.value = null; return; }
        asking = new AbortController();
        void fetchTrace(of, asking.signal);
      });
    }),
    effect(() => {
      const { pairs } = marks.value;
      const vessel = length.value;
      const sections = desk.reading.value?.sections ?? [];
      const z = [sections[0]?.z_mm, sections[1]?.z_mm];
      const each = typeof z[0] === "number" && typeof z[1] === "number" ? z[1] - z[0] : null;
      const frames = sections.length;
      untracked(() => { if (frames > 0) void align(pairs, vessel, frames, each); });
    }),
  ];
  return () => {
    for (const stop of stops) stop();
    asking?.abort();
    aligning?.abort();
    trace.value = null;
    aligned.value = null;
  };
}
