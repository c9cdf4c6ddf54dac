// SPDX-License-Identifier: Apache-2.0
// The picture of one frame with what lies over it: paints, listens, and reports; it owns no state of the case.
import type { ImagePoint, ScreenPoint } from "../wire/units";
import { screenPoint } from "../wire/units";
import { strokes, type Overlay } from "./drawing";
import type { FrameSize, Pixels } from "./frames";
import { distance, insideImage, toImage, toScreen, type Placement, type Size } from "./geometry";
import { openOverlay } from "./overlay";
import { openPlain, openWebGl } from "./painter";
import type { Window } from "./window";

export type Hand = "look" | "window" | "point" | "brush";
export interface ViewState {
  readonly pixels: Pixels | null;
  readonly size: FrameSize;
  readonly inverse: boolean;
  readonly window: Window;
  readonly placement: Placement;
  readonly overlay: Overlay;
  readonly hand: Hand; // what the first mouse button or one finger does
}
export interface ViewEars {
  resized(pane: Size): void;
  wheel(steps: number): void;
  zoom(at: ScreenPoint, factor: number): void;
  pan(dx: number, dy: number): void;
  window(dx: number, dy: number): void;
  place(at: ImagePoint): void;
  movePoint(index: number, to: ImagePoint, done: boolean): void;
  handleKey(index: number, event: KeyboardEvent): void;
  hover?(at: ImagePoint | null): void;            // where the cursor is, with nothing held
  brush?(at: ImagePoint, done: boolean): void;
}
export interface ImageView {
  update(state: ViewState): void;
  dispose(): void;
}

type Grip =
  | { readonly kind: "none" }
  | { readonly kind: "drag"; readonly hand: "look" | "window"; last: ScreenPoint }
  | { readonly kind: "tap"; readonly start: ScreenPoint; last: ScreenPoint; moved: boolean }
  | { readonly kind: "handle"; readonly index: number; readonly start: ScreenPoint; readonly held: ScreenPoint; moved: boolean }
  | { readonly kind: "brush" }
  | { readonly kind: "pinch"; last: readonly [ScreenPoint, ScreenPoint] };

const changed = (now: ViewState, before: ViewState | null): boolean =>
  now.pixels !== before?.pixels || now.window !== before.window || now.inverse !== before.inverse;

const kTapPx = 5; // a finger or mouse that moved less than this has tapped

// A handle takes a finger within 22 px, but a catheter's other edge may lie nearer: a tap beside the drawn mark sets a
// new point, a drag moves the handle.
const kOnMarkPx = 6;

// Where the handle is when the hand that took it beside its centre has gone to `at`.
const carried = (grip: { readonly start: ScreenPoint; readonly held: ScreenPoint }, at: ScreenPoint): ScreenPoint =>
  screenPoint(grip.held.x + at.x - grip.start.x, grip.held.y + at.y - grip.start.y);

export function mountImageView(host: HTMLElement, ears: ViewEars): ImageView {
  const stop = new AbortController();
  const listen = { signal: stop.signal };
  const sheet = () => {
    const made = document.createElement("canvas");
    made.className = "picture";
    made.setAttribute("aria-hidden", "true");
    return made;
  };
  let canvas = sheet();
  host.append(canvas);
  // For comparing the painters: `?painter=webgl2` in the address takes the shader even without a graphics card.
  const evenSlow = new URLSearchParams(location.search).get("painter") === "webgl2";
  let painter = openWebGl(canvas, evenSlow) ?? openPlain(canvas);
  canvas.dataset["painter"] = painter?.kind ?? "none";
  let state: ViewState | null = null;
  let painted: ViewState | null = null; // what the canvas holds; moving and zooming paint nothing anew
  let grip: Grip = { kind: "none" };
  let scheduled = 0;
  const fingers = new Map<number, ScreenPoint>();

  const where = (event: MouseEvent): ScreenPoint => {
    const box = host.getBoundingClientRect();
    return screenPoint(event.clientX - box.left, event.clientY - box.top);
  };
  const overlay = openOverlay(host, {
    handleKey: (index, event) => ears.handleKey(index, event),
    handleDown(index, event) {
      event.stopPropagation();
      host.setPointerCapture(event.pointerId);
      const point = state?.overlay.points[index];
      if (state === null || point === undefined) return;
      grip = { kind: "handle", index, start: where(event), held: toScreen(point, state.placement), moved: false };
    },
  });
  const paint = () => {
    scheduled = 0;
    if (state === null || painter === null) return;
    canvas.hidden = state.pixels === null;
    if (state.pixels !== null && changed(state, painted)) {
      painter.paint({ ...state, pixels: state.pixels });
      painted = state;
    }
    const { scale, left, top } = state.placement;
    canvas.style.transform = `translate(${left}px, ${top}px) scale(${scale})`;
    overlay.update(strokes(state.overlay, state.placement));
  };
  const schedule = () => {
    if (scheduled === 0) scheduled = requestAnimationFrame(paint);
  };
  const resize = new ResizeObserver(() => {
    const box = host.getBoundingClientRect();
    ears.resized({ width: box.width, height: box.height });
    paint();
  });
  resize.observe(host);

  // A graphics card that goes away may never come back: the processor paints from then on, on a canvas of its own, since
  // one that has given a WebGL context gives no other.
  canvas.addEventListener("webglcontextlost", () => {
    const lost = canvas;
    canvas = sheet();
    lost.replaceWith(canvas);
    painter = openPlain(canvas);
    canvas.dataset["painter"] = painter?.kind ?? "none";
    painted = null;
    schedule();
  }, listen);

  const pinch = (ears_: ViewEars, last: readonly [ScreenPoint, ScreenPoint], now: readonly [ScreenPoint, ScreenPoint]) => {
    const middle = (pair: readonly [ScreenPoint, ScreenPoint]) => screenPoint((pair[0].x + pair[1].x) / 2, (pair[0].y + pair[1].y) / 2);
    const before = middle(last);
    const after = middle(now);
    ears_.pan(after.x - before.x, after.y - before.y);
    ears_.zoom(after, distance(now[0], now[1]) / Math.max(1, distance(last[0], last[1])));
  };
  const pair = (): readonly [ScreenPoint, ScreenPoint] | null => {
    const [a, b] = [...fingers.values()];
    return a && b ? [a, b] : null;
  };

  host.addEventListener("pointerdown", (event) => {
    const at = where(event);
    fingers.set(event.pointerId, at);
    host.setPointerCapture(event.pointerId);
    const two = pair();
    if (two) grip = { kind: "pinch", last: two };
    else if (grip.kind === "handle") return;
    else if (event.button === 2) grip = { kind: "drag", hand: "window", last: at };
    else if (event.button === 1 || state?.hand === "look") grip = { kind: "drag", hand: "look", last: at };
    else if (state?.hand === "window") grip = { kind: "drag", hand: "window", last: at };
    else if (state?.hand === "brush") {
      grip = { kind: "brush" };
      ears.brush?.(insideImage(toImage(at, state.placement), { width: state.size.columns, height: state.size.rows }), false);
    } else grip = { kind: "tap", start: at, last: at, moved: false };
  }, listen);

  host.addEventListener("pointermove", (event) => {
    const at = where(event);
    if (fingers.has(event.pointerId)) fingers.set(event.pointerId, at);
    if (state === null) return;
    const image = { width: state.size.columns, height: state.size.rows };
    if (grip.kind === "pinch") {
      const two = pair();
      if (two) {
        pinch(ears, grip.last, two);
        grip.last = two;
      }
    } else if (grip.kind === "handle") {
      grip.moved ||= distance(grip.start, at) > kTapPx;
      if (grip.moved) ears.movePoint(grip.index, insideImage(toImage(carried(grip, at), state.placement), image), false);
    } else if (grip.kind === "drag") {
      if (grip.hand === "look") ears.pan(at.x - grip.last.x, at.y - grip.last.y);
      else ears.window(at.x - grip.last.x, at.y - grip.last.y);
      grip.last = at;
    } else if (grip.kind === "brush") {
      ears.brush?.(insideImage(toImage(at, state.placement), image), false);
    } else if (grip.kind === "none") {
      ears.hover?.(insideImage(toImage(at, state.placement), image));
    } else if (grip.kind === "tap") {
      if (!grip.moved && distance(grip.start, at) > kTapPx) {
        grip.moved = true; // a drag with the ruler sets both ends: across a catheter, or along it
        ears.place(insideImage(toImage(grip.start, state.placement), image));
        ears.place(insideImage(toImage(at, state.placement), image));
      } else if (grip.moved) ears.movePoint(-1, insideImage(toImage(at, state.placement), image), false);
      grip.last = at;
    }
  }, listen);

  const release = (event: PointerEvent) => {
    fingers.delete(event.pointerId);
    const at = where(event);
    const held = grip;
    grip = { kind: "none" };
    if (state === null || (event.type === "pointercancel" && held.kind !== "brush")) return;
    const image = { width: state.size.columns, height: state.size.rows };
    const here = insideImage(toImage(at, state.placement), image);
    if (held.kind === "handle") {
      if (held.moved) ears.movePoint(held.index, insideImage(toImage(carried(held, at), state.placement), image), true);
      else if (distance(held.start, held.held) > kOnMarkPx) ears.place(here);
    }
    if (held.kind === "brush") ears.brush?.(here, true);
    if (held.kind === "tap") {
      if (held.moved) ears.movePoint(-1, here, true);
      else ears.place(here);
    }
  };
  host.addEventListener("pointerup", release, listen);
  host.addEventListener("pointercancel", release, listen);
  host.addEventListener("contextmenu", (event) => event.preventDefault(), listen);
  host.addEventListener("wheel", (event) => {
    event.preventDefault();
    if (event.ctrlKey || event.metaKey) ears.zoom(where(event), Math.exp(-event.deltaY / 300));
    else ears.wheel(Math.sign(event.deltaY));
  }, { signal: stop.signal, passive: false });

  return {
    update(next) {
      state = next;
      schedule();
    },
    dispose() {
      stop.abort();
      resize.disconnect();
      cancelAnimationFrame(scheduled);
      overlay.dispose();
      painter?.dispose();
      canvas.remove();
    },
  };
}
