// SPDX-License-Identifier: Apache-2.0
// A vessel being traced: its points and their trees, the path under the cursor, the edges as brushed, the engine's
// answer. The points themselves are those of measuring.ts, as for the ruler.
import { computed, effect, signal } from "@preact/signals";
import { open, say, sentence, write } from "../../state/store";
import * as engine from "../../wire/engine";
import type { FactName } from "../../wire/facts.gen";
import type { TraceAnswer } from "../../wire/shapes";
import { imagePoint, type ImagePoint } from "../../wire/units";
import { frame, picture } from "../desk";
import * as measuring from "../measuring";
import { keepTrace } from "./kept";
import { placeAmong } from "./among";
import { readTree, reroute, thinned, walk, type PathTree } from "./tree";
import { readTurns, rerouteTurning, walkTurning, type TurningTree } from "./turning-tree";

export const found = signal<TraceAnswer | null>(null);
export const trees = signal<readonly (PathTree | null)[]>([]);
// The same with corners priced, as the trace that is shown prices them: it comes a little later and then counts.
export const turnings = signal<readonly (TurningTree | null)[]>([]);
export const cursor = signal<ImagePoint | null>(null);
export const dragged = signal(-1);                 // the point in the hand; -1 for none
export const brushing = signal(false);
export const strokes = signal<readonly (readonly ImagePoint[])[]>([]);
export const stroke = signal<readonly ImagePoint[]>([]); // being drawn
export const target = signal<string>("trace:length");
export const before = signal<{ readonly method: string; readonly words: string } | null>(null); // of a re-opened fact

// Which number of a trace may fill which fact.
export interface Offer {
  readonly key: string;
  readonly label: string;
  readonly fact: FactName;
  readonly value: number;
  readonly sd: number | null;
  readonly unit: string;
}
export const offers = computed<readonly Offer[]>(() => {
  const trace = found.value;
  if (!trace) return [];
  const list: Offer[] = [];
  const add = (fact: FactName, label: string, of: { readonly value: number; readonly sd: number | null } | null | undefined, unit = "mm") => {
    if (of) list.push({ key: `${fact}`, label, fact, value: of.value, sd: of.sd, unit });
  };
  add("length_angio_mm", "Length → occlusion length", trace.length_mm);
  add("dlz_diameter_mm", "Mean diameter → landing zone", trace.mean_diameter_mm);
  add("side_branch_diameter_mm", "Mean diameter → side branch at the cap", trace.mean_diameter_mm);
  add("distal_branch_diameter_mm", "Mean diameter → branch at the distal cap", trace.mean_diameter_mm);
  return list;
});

// The line under the cursor, or beside the point in the hand: read from trees, no request.
export const live = computed<readonly ImagePoint[]>(() => {
  const at = cursor.value;
  if (measuring.task.value !== "trace" || at === null || brushing.value || measuring.pointsFrame.value !== frame.value) return [];
  const known = turnings.value.length === trees.value.length;
  if (dragged.value >= 0) return thinned((known && rerouteTurning(turnings.value, dragged.value, at)) || reroute(trees.value, dragged.value, at));
  const last = trees.value.at(-1);
  if (!last || found.value !== null) return [];
  return thinned((known && walkTurning(turnings.value.at(-1), at)) || walk(last, at));
});

let asking: AbortController | null = null;

export function clear(): void {
  asking?.abort();
  found.value = null;
  trees.value = [];
  growing?.abort();
  turnings.value = [];
  strokes.value = [];
  stroke.value = [];
  cursor.value = null;
  dragged.value = -1;
  brushing.value = false;
  before.value = null;
  takenUp = false;
}

const samePlace = (tree: { readonly root: ImagePoint } | null | undefined, point: ImagePoint): boolean =>
  tree !== null && tree !== undefined && Math.hypot(tree.root.x - point.x, tree.root.y - point.y) < 0.5;

// The trees that price corners, for the places that the plain ones found: a second's work of the engine that nobody waits for.
let growing: AbortController | null = null;
async function growTurnings(grown: readonly (PathTree | null)[]): Promise<void> {
  growing?.abort();
  const mine = new AbortController();
  growing = mine;
  const image = picture.value;
  if (!image) return;
  const before = turnings.value;
  const at = measuring.pointsFrame.value;
  turnings.value = [];
  const growTo = async (tree: PathTree | null): Promise<TurningTree | null> => {
    const kept = tree === null ? null : before.find((each) => samePlace(each, tree.root));
    if (tree === null || kept) return kept ?? null;
    return readTurns(await engine.readTree({ image: image.hash, frame: at, from: { x: tree.root.x, y: tree.root.y }, turns: true }, mine.signal));
  };
  try {
    const all = await Promise.all(grown.map(growTo));
    if (!mine.signal.aborted) turnings.value = all;
  } catch {
    // the plain trees go on
  }
}

let takenUp = false;
// A tree for every point that has none yet; each point goes where its tree's root is, on the vessel.
async function grow(signal: AbortSignal): Promise<void> {
  const image = picture.value;
  if (!image) return;
  const points = measuring.points.value;
  const grown = await Promise.all(points.map(async (point) => {
    const kept = trees.value.find((tree) => samePlace(tree, point));
    if (kept) return kept;
    return readTree(await engine.readTree({ image: image.hash, frame: measuring.pointsFrame.value, from: { x: point.x, y: point.y } }, signal));
  }));
  if (signal.aborted) return;
  trees.value = grown;
  void growTurnings(grown);
  if (takenUp) takenUp = false; // what was accepted is measured again from the very places that it was measured from
  else measuring.points.value = points.map((point, index) => grown[index]?.root ?? point);
}

export async function ask(): Promise<void> {
  const image = picture.value;
  asking?.abort();
  if (!image) return;
  const mine = new AbortController();
  asking = mine;
  measuring.busy.value = true;
  try {
    await grow(mine.signal);
    const points = measuring.points.value;
    if (points.length >= 2) {
      const scale = measuring.scaleInForce.value;
      const answer = await engine.measureTrace({
        image: image.hash, frame: measuring.pointsFrame.value, points: points.map(({ x, y }) => ({ x, y })),
        ...(scale ? { pixel_size: scale.size } : {}),
        ...(strokes.value.length > 0 ? { strokes: strokes.value.map((each) => each.map(({ x, y }) => ({ x, y }))) } : {}),
      }, mine.signal);
      if (!mine.signal.aborted) {
        found.value = answer;
        keepTrace(image.hash, measuring.pointsFrame.value, answer.centreline, answer.method);
      }
    } else found.value = null;
    if (!mine.signal.aborted) measuring.trouble.value = "";
  } catch (error) {
    if (mine.signal.aborted) return;
    found.value = null;
    measuring.trouble.value = sentence(error);
  }
  if (!mine.signal.aborted) measuring.busy.value = false;
}

export function brushTo(at: ImagePoint, done: boolean): void {
  stroke.value = [...stroke.value, at];
  if (!done) return;
  if (stroke.value.length > 1) {
    strokes.value = [...strokes.value, stroke.value];
    void ask();
  }
  stroke.value = [];
}
export function takeBackStroke(): void {
  strokes.value = strokes.value.slice(0, -1);
  void ask();
}

export async function accept(offer: Offer): Promise<void> {
  const trace = found.value;
  const image = picture.value;
  if (!trace || !image || measuring.busy.value) return;
  const parts = offer.fact === "length_angio_mm" ? trace.length_mm?.parts : trace.mean_diameter_mm?.parts;
  const done = await write("fact", {
    fact: offer.fact, value: offer.sd === null ? offer.value : { value: offer.value, sd: offer.sd }, mark: "measured",
    origin: {
      image: image.hash, frame: measuring.pointsFrame.value, method: (offer.fact === "length_angio_mm" ? trace.length_mm : trace.mean_diameter_mm)?.method ?? trace.method,
      points: measuring.points.value.map(({ x, y }) => ({ x, y })), parts: parts ?? [],
      ...(strokes.value.length > 0 ? { strokes: strokes.value.map((each) => each.map(({ x, y }) => ({ x, y }))) } : {}),
    },
  });
  if (done) {
    say("done", `${offer.label}: accepted, it stands in the journal`);
    measuring.begin("none");
  }
}

// Takes up the trace behind a fact again: same frame, points, strokes; the engine traces anew with today's method.
export function takeUp(points: readonly { readonly x: number; readonly y: number }[], at: number, drawn: readonly (readonly { readonly x: number; readonly y: number }[])[], was: { readonly method: string; readonly words: string }): void {
  measuring.begin("trace");
  measuring.pointsFrame.value = at;
  measuring.points.value = points.map(({ x, y }) => imagePoint(x, y));
  strokes.value = drawn.map((each) => each.map(({ x, y }) => imagePoint(x, y)));
  before.value = was;
  takenUp = true;
  void ask();
}

effect(() => {
  if (measuring.task.value !== "trace" || open.value === null) clear();
});

measuring.traceHooks.ask = () => void ask();
measuring.traceHooks.placeOf = (at) => placeAmong(found.value?.centreline ?? [], measuring.points.value, at);
measuring.traceHooks.dragging = (index, to) => {
  dragged.value = to === null ? -1 : index < 0 ? measuring.points.value.length - 1 : index;
  cursor.value = to;
};
