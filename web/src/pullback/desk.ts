// SPDX-License-Identifier: Apache-2.0
// The pullback on the desk: what the engine read, how far it has come, a person's points, the cut, the tool in the hand.
// Frames, window and placement are those of the reading desk.
import { computed, effect, signal, untracked } from "@preact/signals";
import { frame, hand, jump, pause, picture } from "../appraise/desk";
import { open, sentence } from "../state/store";
import type { ImagePoint } from "../wire/units";
import * as ask from "./ask";
import { addPoint, clearPoints, dragPoint, points } from "./by-hand";
import { attendEarly, early, earlySection } from "./early";
import { attendMarks, change, closeMarks, corrections, openMarks, ready, typedSpeed, wires } from "./kept";
import { together } from "./laid";
import { hash, isBorder, isMeasure, pixelKnown, round, tool, trouble, typedPixel, type Border, type Tool } from "./on-desk";
import { fetchRays, type Rays } from "./rays";
import { holds, nearness, pulled, toImage, toPolar, turnBetween, type Polar } from "./round";
import type { JoiningAnswer, Pullback, Range, Section } from "./shapes";

const kByItself = 600;  // frames up to which reading begins without being asked for; chosen: some two seconds
const kGatherMs = 250;  // points set in one go are read together
const kShareMs = 250;
const kSettleMs = 150;  // a frame that stands so long is asked about

export const reading = signal<Pullback | null>(null);
export const busy = signal(false);
export const share = signal<number | null>(null);
export const cut = signal(90);           // degrees of the lower half of the cut
export const rays = signal<Rays | null>(null);
export const draft = signal<ask.Correction | null>(null); // of a point that is in the hand
export const joining = signal<JoiningAnswer | null>(null);

export const section = computed<Section | null>(() => reading.value?.sections[frame.value] ?? (reading.value === null ? earlySection(frame.value) : null));
// The frame for words and tables beside the picture: while frames run past it follows ten times a second, not at each one.
const kBesideMs = 100;
export const beside = signal(0);
let besideAt = 0;
let besideTimer = 0;
function followBeside(at: number): void {
  clearTimeout(besideTimer);
  const set = () => { besideAt = performance.now(); beside.value = at; };
  const left = besideAt + kBesideMs - performance.now();
  if (left <= 0) set();
  else besideTimer = window.setTimeout(set, left);
}
export const sectionBeside = computed<Section | null>(() => reading.value?.sections[beside.value] ?? (reading.value === null ? earlySection(beside.value) : null));
export const range = computed<Range | null>(() => reading.value?.ranges.find((each) => beside.value >= each.first && beside.value <= each.last) ?? null);
export const ownSpeed = computed<number | null>(() => reading.value?.speed_mm_s ?? null);

// The borders of the frame that stands, pulled to the point in the hand until the engine has read again.
export const borders = computed<Readonly<Record<Border, readonly number[]>> & { readonly preview: boolean }>(() => {
  const found = section.value;
  const held = draft.value;
  const lumen = found?.lumen_mm ?? [];
  // A stent that nobody has seen yet is begun from the lumen's border.
  const stent = found === null || found.stent_mm.length > 0 || tool.value !== "stent" ? found?.stent_mm ?? [] : lumen;
  const now = { lumen, media: found?.eem_mm ?? [], stent, preview: false };
  if (held === null) return now;
  const near = nearness(held.frame - frame.value);
  return { ...now, [held.border]: pulled(now[held.border], held, near), preview: near > 0 };
});
export const handles = computed<readonly Polar[]>(() => {
  const now = tool.value;
  if (!isBorder(now) || section.value === null) return [];
  const set = corrections.value.filter((each) => each.border === now && each.frame === frame.value);
  const held = draft.value;
  const others = held === null ? set : set.filter((each) => each.angle_deg !== held.angle_deg);
  return holds(borders.value[now], held !== null && held.border === now && held.frame === frame.value ? [held, ...others] : others);
});

// What is read without being asked for; a case that is read anew changes nothing here.
const scaled = computed(() => (hash.value !== "" && round.value !== null ? `${hash.value} ${round.value.row_mm}` : ""));
const byItself = computed(() => (ready.value !== "" && ready.value === scaled.value && (picture.value?.frames ?? 0) <= kByItself ? ready.value : ""));

let going: AbortController | null = null;
let joiningNow: AbortController | null = null;
let raysNow: AbortController | null = null;
let timer = 0;
let later = 0;
let askedFor = ""; // the run whose reading was last shown first at its place of interest

export function cancel(): void {
  going?.abort();
  going = null;
  busy.value = false;
  share.value = null;
}

async function watch(of: string, signal: AbortSignal): Promise<void> {
  while (!signal.aborted) {
    await new Promise((done) => { setTimeout(done, kShareMs); });
    if (signal.aborted) return;
    const told = await ask.readShare(of, signal).catch(() => null);
    if (!signal.aborted && told !== null) share.value = told.share;
  }
}

export async function read(): Promise<void> {
  const image = picture.value;
  if (!image || !pixelKnown.value) return;
  cancel();
  const mine = new AbortController();
  const ended = new AbortController();
  going = mine;
  busy.value = true;
  trouble.value = "";
  void watch(image.hash, ended.signal);
  try {
    const asked = {
      image: image.hash, corrections: corrections.value, wires: wires.value,
      ...(typedPixel.value === null ? {} : { pixel_mm: typedPixel.value }), ...(typedSpeed.value === null ? {} : { speed_mm_s: typedSpeed.value }),
    };
    const before = reading.value;
    const found = await ask.readPullback(before === null ? asked : { ...asked, after: before.number }, mine.signal);
    if (mine.signal.aborted) return;
    reading.value = before === null ? found : together(before, found);
    draft.value = null;
    if (askedFor !== image.hash) {
      askedFor = image.hash;
      jump(found.thinnest ?? found.smallest_lumen ?? 0);
    }
  } catch (error) {
    if (!mine.signal.aborted) trouble.value = sentence(error);
  } finally {
    ended.abort();
    if (going === mine) cancel();
  }
}
function readSoon(): void {
  clearTimeout(timer);
  timer = window.setTimeout(() => void read(), kGatherMs);
}

export function take(next: Tool): void {
  tool.value = next;
  hand.value = next === "look" || next === "window" ? next : "point";
  draft.value = null;
  if (!isMeasure(next)) clearPoints();
  else if (points.value.length > 0) clearPoints();
  if (hand.value === "point") pause();
}

// --- A person's points
function setBorder(border: Border, at: Polar): void {
  const mine: ask.Correction = { border, frame: frame.value, angle_deg: Math.round(at.angle_deg * 10) / 10, distance_mm: Math.round(at.distance_mm * 1000) / 1000 };
  draft.value = mine;
  change((now) => ({ ...now, corrections: [...now.corrections.filter((each) => !(each.border === border && each.frame === mine.frame && Math.abs(turnBetween(each.angle_deg, mine.angle_deg)) < 8)), mine] }));
  readSoon();
}
export function undoLast(): void {
  const last = corrections.value.at(-1);
  const mark = wires.value.at(-1);
  const same = (a: object, b: object | undefined) => JSON.stringify(a) === JSON.stringify(b);
  // Named, not counted: another screen may have set some meanwhile.
  if (last !== undefined) change((now) => ({ ...now, corrections: now.corrections.filter((each) => !same(each, last)) }));
  else change((now) => ({ ...now, wires: now.wires.filter((each) => !same(each, mark)) }));
  draft.value = null;
  readSoon();
}
export function clearMarks(): void {
  change((now) => ({ ...now, corrections: [], wires: [] }));
  draft.value = null;
  readSoon();
}

export function place(at: ImagePoint): void {
  const now = tool.value;
  if (isMeasure(now)) return addPoint(at);
  const here = round.value;
  if (here === null || section.value === null) return;
  const polar = toPolar(here, at);
  if (isBorder(now)) setBorder(now, polar);
  else if (now === "second" || now === "catheter") {
    const mine: ask.WireMark = { wire: now, frame: frame.value, angle_deg: Math.round(polar.angle_deg * 10) / 10 };
    change((before) => ({ ...before, wires: [...before.wires.filter((each) => !(each.wire === mine.wire && each.frame === mine.frame)), mine] }));
    readSoon();
  }
}
export function movePoint(index: number, to: ImagePoint, done: boolean): void {
  const now = tool.value;
  if (isMeasure(now)) {
    dragPoint(index, to, done);
    return;
  }
  const here = round.value;
  if (here === null || !isBorder(now)) return;
  const held = index < 0 ? draft.value : handles.value[index];
  if (!held) return;
  // A border moves along its ray: the angle stays.
  const distance_mm = Math.max(0.1, toPolar(here, to).distance_mm);
  if (done) setBorder(now, { angle_deg: held.angle_deg, distance_mm });
  else draft.value = { border: now, frame: frame.value, angle_deg: held.angle_deg, distance_mm };
}
export function nudge(index: number, outwards: number): void {
  const now = tool.value;
  const held = handles.value[index];
  if (isBorder(now) && held) setBorder(now, { angle_deg: held.angle_deg, distance_mm: Math.max(0.1, held.distance_mm + outwards) });
}

// --- A reader's mark of a space: a fact that was read on this pullback; it wins over what was measured.
const markOf = (name: string) => computed<string | null>(() => {
  const fact = open.value?.facts.find((each) => each.name === name);
  if (!fact || fact.origin?.image !== hash.value || fact.value === null) return null;
  return typeof fact.value === "string" ? fact.value : null;
});
export const nearMark = markOf("near_wire_space_ivus");
export const farMark = markOf("far_wire_space_ivus");

// The vessel as a person measured it, near the frame where it was typed: from beside it the engine cannot.
const kTypedReach = 10; // frames
export const typedVessel = signal<{ readonly frame: number; readonly min_mm: number; readonly max_mm: number } | null>(null);

async function follow(of: string, at: number, near: string | null, far: string | null): Promise<void> {
  joiningNow?.abort();
  const mine = new AbortController();
  joiningNow = mine;
  try {
    const typed = typedVessel.value;
    const vessel = typed === null || Math.abs(typed.frame - at) > kTypedReach ? {} : { eem_min_mm: typed.min_mm, eem_max_mm: typed.max_mm };
    const found = await ask.askJoining({ image: of, frame: at, ...vessel, ...(near === null ? {} : { near }), ...(far === null ? {} : { far }) }, mine.signal);
    if (!mine.signal.aborted) joining.value = found;
  } catch (error) {
    if (!mine.signal.aborted) trouble.value = sentence(error);
  }
}

export const placeWords = (at: number): string => {
  const z = reading.value?.sections[at]?.z_mm ?? null;
  return z === null ? `frame ${at + 1}` : `frame ${at + 1}, ${z.toFixed(1)} mm`;
};

function openPullback(of: string): void {
  cancel();
  raysNow?.abort();
  reading.value = null;
  joining.value = null;
  typedVessel.value = null;
  rays.value = null;
  trouble.value = "";
  take("look");
  const image = picture.peek();
  if (!image || image.kind !== "ultrasound") return;
  const mine = new AbortController();
  raysNow = mine;
  fetchRays(of, image.frames, (come) => { if (!mine.signal.aborted) rays.value = come; }, mine.signal)
    .catch((error: unknown) => { if (!mine.signal.aborted) trouble.value = sentence(error); });
}

// While the pullback is on the page: opened when the run changes, read when its scale is known.
export function attend(): () => void {
  const stops = [
    effect(() => {
      const of = hash.value;
      if (of !== "") untracked(() => openPullback(of));
    }),
    effect(() => followBeside(frame.value)),
    attendEarly(() => reading.value === null),
    effect(() => {
      const now = hand.value; // also set by a key
      if ((now === "look" || now === "window") && tool.peek() !== now) untracked(() => take(now));
    }),
    effect(() => {
      const now = scaled.value;
      untracked(() => { if (now === "") closeMarks(); else void openMarks(hash.value, round.value?.row_mm ?? 0); });
    }),
    attendMarks(() => { if (reading.peek() !== null) void read(); }),
    effect(() => {
      if (byItself.value !== "") queueMicrotask(() => void read());
    }),
    effect(() => {
      const found = reading.value;
      const near = nearMark.value;
      const far = farMark.value;
      const at = frame.value;
      void typedVessel.value;
      clearTimeout(later);
      if (found !== null) later = window.setTimeout(() => void follow(hash.peek(), at, near, far), joining.peek() === null ? 0 : kSettleMs);
    }),
  ];
  return () => {
    for (const stop of stops) stop();
    cancel();
    raysNow?.abort();
    clearTimeout(later);
    clearTimeout(besideTimer);
    joiningNow?.abort();
    closeMarks();
    take("look");
  };
}
export function setSpeed(speed_mm_s: number): void {
  change((now) => ({ ...now, speed_mm_s }));
  void read();
}
export { byHand, clearPoints, nudgePoint, points, pointsFrame, removePoint } from "./by-hand";
export { hash, pixelKnown, round, tool, trouble, typedPixel, type Border, type Tool } from "./on-desk";
export { corrections, early, frame, jump, toImage, typedSpeed, wires };
