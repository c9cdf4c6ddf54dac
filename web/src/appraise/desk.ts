// SPDX-License-Identifier: Apache-2.0
// The reading desk: which run is open, which frame stands, how it is shown, and the line that is being measured.
import { computed, effect, signal, untracked } from "@preact/signals";
import * as cine from "../image/cine";
import { openFrames, type FrameStore, type Pixels } from "../image/frames";
import * as geometry from "../image/geometry";
import type { Hand } from "../image/view";
import * as grey from "../image/window";
import { open, say, sentence } from "../state/store";
import * as engine from "../wire/engine";
import type { CaseImage, Image } from "../wire/shapes";
import { imagePoint, screenPoint, type ImagePoint, type ScreenPoint } from "../wire/units";

const kCacheBytes = 256 * 2 ** 20;

export const chosenHash = signal("");
export const frame = signal(0);
export const playing = signal(false);
export const speed = signal(1);
export const loop = signal(true);
export const hand = signal<Hand>("look");
export const greyWindow = signal<grey.Window>({ center: 128, width: 256 });
export const placement = signal<geometry.Placement>({ scale: 1, left: 0, top: 0 });
export const pane = signal<geometry.Size>({ width: 0, height: 0 });
export const pixels = signal<Pixels | null>(null);
export const waiting = signal(false);   // the frame asked for has not come yet
export const crosshair = signal<ImagePoint | null>(null);
export const framesShown = signal(0);   // painted so far: the cine's own count, read by the speed check

export const chosen = computed<CaseImage | null>(() =>
  open.value?.images.find((each) => each.hash === chosenHash.value) ?? open.value?.images[0] ?? null);
export const picture = computed<Image | null>(() => chosen.value?.image ?? null);
const pictureHash = computed(() => picture.value?.hash ?? "");

let store: FrameStore | null = null;
let fitted = true;
let touched = false; // since the run was opened the reader has chosen a frame or begun to measure
let ms = 0;
let clock = 0;
let before = 0;

const size = (image: Image): geometry.Size => ({ width: image.columns, height: image.rows });

export function fit(): void {
  const image = picture.value;
  fitted = true;
  if (image && pane.value.width > 0) placement.value = geometry.fit(size(image), pane.value);
}
export function resetWindow(): void {
  const image = picture.value;
  if (image) greyWindow.value = { center: image.window.center, width: image.window.width };
}
function place(next: geometry.Placement): void {
  const image = picture.value;
  if (!image) return;
  fitted = false;
  placement.value = geometry.keepInSight(next, size(image), pane.value);
}
export function zoom(factor: number, at?: ScreenPoint): void {
  place(geometry.zoomAt(placement.value, at ?? screenPoint(pane.value.width / 2, pane.value.height / 2), factor));
}
export function pan(dx: number, dy: number): void {
  place(geometry.pan(placement.value, dx, dy));
}
export function dragWindow(dx: number, dy: number): void {
  const image = picture.value;
  if (image) greyWindow.value = grey.drag(greyWindow.value, dx, dy, 2 ** Math.min(image.bits, image.bits_stored), 600);
}
export function resized(next: geometry.Size): void {
  pane.value = next;
  if (fitted) fit();
  else place(placement.value);
}

export function show(next: number, direction: 1 | -1): void {
  frame.value = next;
  const found = store?.get(next) ?? null;
  store?.want(next, direction);
  waiting.value = found === null;
  if (found !== null && found !== pixels.value) {
    pixels.value = found;
    framesShown.value++;
  }
}
// The frame stands where the reader wants it.
export function touch(): void {
  touched = true;
}
// The frame that the engine suggests, unless the reader is at work already.
export function settleOn(to: number): void {
  if (!touched && !playing.value) show(to, 1);
}
export function step(by: number): void {
  const image = picture.value;
  if (!image) return;
  touch();
  pause();
  show(cine.step(frame.value, by, image.frames, loop.value), by < 0 ? -1 : 1);
}
export function jump(to: number): void {
  touch();
  pause();
  show(to, 1);
}
export function pause(): void {
  playing.value = false;
  cancelAnimationFrame(clock);
}
export function play(): void {
  const image = picture.value;
  if (!image || image.frames < 2) return;
  touch();
  const starts = cine.startsOf(image.frame_ms, image.frames);
  const atEnd = frame.value === image.frames - 1;
  ms = atEnd ? 0 : (starts[frame.value] ?? 0) - (starts[0] ?? 0);
  playing.value = true;
  before = performance.now();
  const turn = (now: number) => {
    if (!playing.value) return;
    const next = cine.advance(starts, ms, now - before, speed.value, loop.value);
    before = now;
    const wanted = cine.frameAt(starts, next.ms);
    if (wanted !== frame.value) show(wanted, 1);
    if (!waiting.value) ms = next.ms; // a frame that has not come holds the clock: none is skipped unseen
    if (next.ended) return pause();
    clock = requestAnimationFrame(turn);
  };
  clock = requestAnimationFrame(turn);
}
export function toggle(): void {
  if (playing.value) pause();
  else play();
}

function openRun(image: Image): void {
  store?.dispose();
  pause();
  pixels.value = null;
  frame.value = 0;
  touched = false;
  crosshair.value = null;
  store = openFrames(image, image.frames, kCacheBytes, (first, last, signal) => engine.readFrames(image.hash, first, last, signal), {
    arrived: () => show(frame.value, 1),
    failed: (error) => say("trouble", sentence(error)),
  });
  resetWindow();
  fit();
  const fullest = image.filling.indexOf(Math.max(...image.filling));
  show(Math.max(0, fullest), 1);
}

// A run is opened when its hash changes, not when the case is read anew.
effect(() => {
  if (pictureHash.value === "") {
    store?.dispose();
    store = null;
    return;
  }
  const image = picture.peek();
  if (image) untracked(() => openRun(image)); // what it looks at on the way, a pane's size or an entry, opens nothing anew
});

export function moveCrosshair(dx: number, dy: number): void {
  const image = picture.value;
  if (!image) return;
  const at = crosshair.value ?? imagePoint(Math.floor(image.columns / 2), Math.floor(image.rows / 2));
  crosshair.value = geometry.insideImage(imagePoint(at.x + dx, at.y + dy), size(image));
}
