// SPDX-License-Identifier: Apache-2.0
// The line in the hand: a ruler along the occlusion or two marks on a catheter. Every figure comes from the engine.
import { computed, effect, signal } from "@preact/signals";
import { insideImage } from "../image/geometry";
import { addedChannels, open, say, sentence, write } from "../state/store";
import * as engine from "../wire/engine";
import type { FactName } from "../wire/facts.gen";
import type { LengthAnswer, PixelSize, PixelSizeAnswer } from "../wire/shapes";
import { imagePoint, type ImagePoint } from "../wire/units";
import { chosen, crosshair, frame, hand, pause, picture, touch } from "./desk";

export type Task = "none" | "ruler" | "catheter" | "trace" | "gap";
export const kFrenches: readonly number[] = [4, 5, 6, 7, 8];
const kLeastGapMs = 100; // at most ten measurements a second while a point is dragged

export const task = signal<Task>("none");
export const points = signal<readonly ImagePoint[]>([]);
export const pointsFrame = signal(0);
export const french = signal(6);
export const how = signal<"across" | "along">("along");
export const kOcclusionLength: FactName = "length_angio_mm";
export const target = signal<string>(kOcclusionLength); // the fact that an accepted length fills, "name" or "name/c1"
export const lengthFound = signal<LengthAnswer | null>(null);
export const scaleFound = signal<PixelSizeAnswer | null>(null);
export const trouble = signal("");
export const busy = signal(false);

// The scale in force for the open run: accepted on a catheter, else by geometry, else none.
export const scaleInForce = computed<{ size: PixelSize; from: "catheter" | "geometry" } | null>(() => {
  const set = chosen.value?.calibration;
  if (set) return { size: { mm_per_px: set.mm_per_px, sd_mm_per_px: set.sd_mm_per_px, method: set.method }, from: "catheter" };
  const by = picture.value?.pixel_size;
  return by ? { size: by, from: "geometry" } : null;
});

let asking: AbortController | null = null;
let timer = 0;
let lastAsked = 0;

function clearAnswers(): void {
  asking?.abort();
  clearTimeout(timer);
  lengthFound.value = null;
  scaleFound.value = null;
  trouble.value = "";
  busy.value = false;
}
export function clearPoints(): void {
  points.value = [];
  clearAnswers();
}
export function begin(next: Task): void {
  clearPoints();
  task.value = next;
  hand.value = next === "none" ? "look" : "point";
  if (next === "none") crosshair.value = null;
  else {
    touch();
    pause();
  }
}
export function beginFor(fact: string, of: string): void {
  target.value = of === "" ? fact : `${fact}/${of}`;
  begin("ruler");
}

async function ask(): Promise<void> {
  const image = picture.value;
  if (!image) return;
  asking?.abort();
  const mine = new AbortController();
  asking = mine;
  lastAsked = performance.now();
  busy.value = true;
  const where = { image: image.hash, frame: pointsFrame.value, points: points.value };
  try {
    if (task.value === "ruler" && scaleInForce.value) {
      const found = await engine.measureLength({ ...where, pixel_size: scaleInForce.value.size }, mine.signal);
      if (!mine.signal.aborted) lengthFound.value = found;
    } else if (task.value === "catheter") {
      const found = await engine.measureCatheter({ ...where, french: french.value, how: how.value }, mine.signal);
      if (!mine.signal.aborted) scaleFound.value = found;
    }
    if (!mine.signal.aborted) trouble.value = "";
  } catch (error) {
    if (mine.signal.aborted) return;
    lengthFound.value = null;
    scaleFound.value = null;
    trouble.value = sentence(error);
  }
  if (!mine.signal.aborted) busy.value = false;
}
// The trace's own questions: set by trace/tracing.ts, which knows this module.
export const traceHooks = {
  ask: (): void => {}, dragging: (_index: number, _to: ImagePoint | null): void => {},
  placeOf: (_at: ImagePoint): number => points.value.length, // where a new click belongs among the points
};

// The marks of the caps, which may lie in several runs: set by gap/marks.ts, which knows this module.
export const gapHooks = {
  put: (_at: ImagePoint): void => {}, move: (_index: number, _to: ImagePoint, _done: boolean): void => {}, remove: (_index: number): void => {},
};

export function measure(atOnce: boolean): void {
  clearTimeout(timer);
  if (task.value === "trace") {
    if (atOnce) traceHooks.ask();
    return;
  }
  const enough = task.value === "catheter" ? points.value.length === 2 : points.value.length >= 2;
  if (!enough) return clearAnswers();
  busy.value = true; // what stands on screen belongs to the points before: it cannot be accepted
  const gap = performance.now() - lastAsked;
  if (atOnce || gap >= kLeastGapMs) void ask();
  else timer = window.setTimeout(() => void ask(), kLeastGapMs - gap);
}

export function addPoint(at: ImagePoint): void {
  if (task.value === "none") return;
  if (task.value === "gap") return gapHooks.put(at);
  if (points.value.length === 0) pointsFrame.value = frame.value;
  if (task.value === "catheter" && points.value.length === 2) {
    pointsFrame.value = frame.value;
    points.value = [at]; // a third click starts anew
  } else {
    const place = task.value === "trace" ? traceHooks.placeOf(at) : points.value.length;
    points.value = [...points.value.slice(0, place), at, ...points.value.slice(place)];
  }
  measure(true);
}
export function movePoint(index: number, to: ImagePoint, done: boolean): void {
  if (task.value === "gap") return gapHooks.move(index, to, done);
  const place = index < 0 ? points.value.length - 1 : index;
  if (task.value === "trace" && !done) return traceHooks.dragging(place, to); // re-routed from trees, asked when it is let go
  traceHooks.dragging(place, null);
  points.value = points.value.map((point, each) => (each === place ? to : point));
  measure(done);
}
export function nudge(index: number, dx: number, dy: number, at = points.value[index]): void {
  const image = picture.value;
  if (image && at) movePoint(index, insideImage(imagePoint(at.x + dx, at.y + dy), { width: image.columns, height: image.rows }), true);
}
export function removePoint(index: number): void {
  if (task.value === "gap") return gapHooks.remove(index);
  points.value = points.value.filter((_, each) => each !== index);
  measure(true);
}

export async function acceptLength(): Promise<void> {
  const found = lengthFound.value;
  const image = picture.value;
  if (!found || !image || busy.value) return;
  const { value, sd } = found.length_mm;
  const [name = "", of = ""] = target.value.split("/");
  const done = await write("fact", {
    fact: name, ...(of === "" ? {} : { of }), value: sd === null ? value : { value, sd }, mark: "measured",
    origin: { image: image.hash, frame: pointsFrame.value, method: found.method, points: points.value.map(({ x, y }) => ({ x, y })), parts: found.parts },
  });
  if (done) {
    say("done", "Length accepted: it stands in the journal");
    begin("none");
  }
}
export async function acceptScale(found: PixelSizeAnswer, fromPoints: boolean): Promise<void> {
  const image = picture.value;
  if (!image || busy.value) return;
  const done = await write("calibration", {
    image: image.hash, mm_per_px: found.mm_per_px, sd_mm_per_px: found.sd_mm_per_px, method: found.method,
    ...(fromPoints ? { frame: pointsFrame.value, points: points.value.map(({ x, y }) => ({ x, y })) } : {}),
  });
  if (done) {
    say("done", "Scale accepted for this run");
    begin("none");
  }
}
export async function byGeometry(): Promise<void> {
  const image = picture.value;
  if (!image) return;
  clearPoints();
  try {
    scaleFound.value = await engine.measureGeometry(image.hash);
  } catch (error) {
    trouble.value = sentence(error);
  }
}

// Another run: the line belongs to the one before. The caps may lie in two runs; another case ends them too.
const run = computed(() => `${open.value?.case.id ?? ""}/${picture.value?.hash ?? ""}`);
let lastCase = "";
effect(() => {
  const id = run.value.split("/")[0] ?? "";
  if (task.peek() !== "gap" || id !== lastCase) begin("none");
  lastCase = id;
});

export function addChannel(known: readonly string[]): void {
  let n = 1;
  while (known.includes(`c${n}`)) n++;
  addedChannels.value = [...addedChannels.value, `c${n}`];
}
