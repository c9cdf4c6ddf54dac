// SPDX-License-Identifier: Apache-2.0
// The two pictures: which run, which frame, how it lies in its pane. Frames are fetched as the reading desk does.
import { effect, signal, untracked, type Signal } from "@preact/signals";
import { openFrames, type FrameStore, type Pixels } from "../image/frames";
import * as geometry from "../image/geometry";
import type { Window } from "../image/window";
import { open, say, sentence } from "../state/store";
import * as engine from "../wire/engine";
import type { Side } from "../wire/pair";
import type { Image } from "../wire/shapes";
import { screenPoint, type ImagePoint, type ScreenPoint } from "../wire/units";

const kCacheBytes = 64 * 2 ** 20;

export interface Pane {
  readonly hash: Signal<string>;
  readonly frame: Signal<number>;
  readonly pixels: Signal<Pixels | null>;
  readonly placement: Signal<geometry.Placement>;
  readonly window: Signal<Window>;
  readonly size: Signal<geometry.Size>;
  readonly cross: Signal<ImagePoint | null>;
  image(): Image | null;
  show(frame: number): void;
  step(by: number): void;
  zoom(factor: number, at?: ScreenPoint): void;
  pan(dx: number, dy: number): void;
  fit(): void;
  resized(next: geometry.Size): void;
}

function makePane(): Pane {
  const hash = signal("");
  const frame = signal(0);
  const pixels = signal<Pixels | null>(null);
  const placement = signal<geometry.Placement>({ scale: 1, left: 0, top: 0 });
  const window = signal<Window>({ center: 128, width: 256 });
  const size = signal<geometry.Size>({ width: 0, height: 0 });
  const cross = signal<ImagePoint | null>(null);
  let store: FrameStore | null = null;
  let fitted = true;
  const image = (): Image | null => open.value?.images.find((each) => each.hash === hash.value)?.image ?? null;
  const extent = (of: Image): geometry.Size => ({ width: of.columns, height: of.rows });
  const fit = () => {
    const now = image();
    fitted = true;
    if (now && size.value.width > 0) placement.value = geometry.fit(extent(now), size.value);
  };
  const place = (next: geometry.Placement) => {
    const now = image();
    if (!now) return;
    fitted = false;
    placement.value = geometry.keepInSight(next, extent(now), size.value);
  };
  const show = (next: number) => {
    const now = image();
    if (!now) return;
    frame.value = Math.min(now.frames - 1, Math.max(0, next));
    const found = store?.get(frame.value) ?? null;
    store?.want(frame.value, 1);
    if (found) pixels.value = found;
  };
  const openRun = () => {
    store?.dispose();
    store = null;
    pixels.value = null;
    cross.value = null;
    const now = image();
    if (!now) return;
    store = openFrames(now, now.frames, kCacheBytes, (first, last, stop) => engine.readFrames(now.hash, first, last, stop), {
      arrived: () => show(frame.peek()),
      failed: (error) => say("trouble", sentence(error)),
    });
    window.value = { center: now.window.center, width: now.window.width };
    fit();
    show(frame.peek());
  };
  // A run is opened when its hash changes, not when the case is read anew.
  effect(() => {
    hash.value;
    untracked(openRun);
  });
  return {
    hash, frame, pixels, placement, window, size, cross, image, show, fit,
    step: (by) => show(frame.value + by),
    zoom: (factor, at) => place(geometry.zoomAt(placement.value, at ?? screenPoint(size.value.width / 2, size.value.height / 2), factor)),
    pan: (dx, dy) => place(geometry.pan(placement.value, dx, dy)),
    resized: (next) => {
      size.value = next;
      if (fitted) fit();
      else place(placement.value);
    },
  };
}

export const panes: Readonly<Record<Side, Pane>> = { a: makePane(), b: makePane() };
