// SPDX-License-Identifier: Apache-2.0
// The hands that turn the scene: a drag or one finger turns, two fingers or the wheel bring it nearer, keys do both.
import type { Signal } from "@preact/signals";
import { nearer, turned, type Turn } from "./turn";

const kStepDeg = 10;
const kKeys: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-kStepDeg, 0], ArrowRight: [kStepDeg, 0], ArrowUp: [0, kStepDeg], ArrowDown: [0, -kStepDeg],
};

export function turnByKey(turn: Signal<Turn>, event: KeyboardEvent): void {
  const by = kKeys[event.key];
  if (by) turn.value = turned(turn.value, by[0], by[1]);
  else if (event.key === "+" || event.key === "=") turn.value = nearer(turn.value, 1.2);
  else if (event.key === "-") turn.value = nearer(turn.value, 1 / 1.2);
  else return;
  event.preventDefault();
  event.stopPropagation();
}

interface Touch { readonly x: number; readonly y: number }
const between = ([a, b]: readonly Touch[]): number => (a && b ? Math.hypot(a.x - b.x, a.y - b.y) : 0);

export function turnByHand(host: HTMLElement, turn: Signal<Turn>, signal: AbortSignal): void {
  const down = new Map<number, Touch>();
  host.addEventListener("pointerdown", (event) => {
    down.set(event.pointerId, { x: event.clientX, y: event.clientY });
    host.setPointerCapture(event.pointerId);
  }, { signal });
  host.addEventListener("pointermove", (event) => {
    const last = down.get(event.pointerId);
    if (!last) return;
    const apart = between([...down.values()]);
    down.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (down.size === 1) turn.value = turned(turn.value, -(event.clientX - last.x) / 2, (event.clientY - last.y) / 2);
    else if (down.size === 2 && apart > 0) turn.value = nearer(turn.value, between([...down.values()]) / apart);
  }, { signal });
  for (const name of ["pointerup", "pointercancel"] as const) host.addEventListener(name, (event) => { down.delete(event.pointerId); }, { signal });
  host.addEventListener("wheel", (event) => {
    event.preventDefault();
    turn.value = nearer(turn.value, Math.exp(-event.deltaY / 400));
  }, { signal, passive: false });
}
