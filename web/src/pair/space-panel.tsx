// SPDX-License-Identifier: Apache-2.0
// The 3D view in the page: turned by a drag, a finger, the arrow keys; brought nearer by the wheel or + and −.
import { effect, signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { toRgba } from "../image/painter";
import { kSides, type PairAnswer } from "../wire/pair";
import { found } from "./pairing";
import { sceneOf, type Scene } from "./scene";
import { panes } from "./sides";
import type { SpaceView } from "./space";
import { kFromTheFront, nearer, turned, turnWords, type Turn } from "./turn";

const turn = signal<Turn>(kFromTheFront);
const planes = signal(true);

function picturesNow(): Map<string, HTMLCanvasElement> {
  const pictures = new Map<string, HTMLCanvasElement>();
  for (const side of kSides) {
    const image = panes[side].image();
    const pixels = panes[side].pixels.peek();
    if (!image || !pixels) continue;
    const canvas = document.createElement("canvas");
    canvas.width = image.columns;
    canvas.height = image.rows;
    canvas.getContext("2d")?.putImageData(toRgba(pixels, image, panes[side].window.peek(), image.inverse), 0, 0);
    pictures.set(side, canvas);
  }
  return pictures;
}

const kKeys: Readonly<Record<string, readonly [number, number]>> = { ArrowLeft: [-10, 0], ArrowRight: [10, 0], ArrowUp: [0, 10], ArrowDown: [0, -10] };
function handleKey(event: KeyboardEvent): void {
  const by = kKeys[event.key];
  if (by) turn.value = turned(turn.value, by[0], by[1]);
  else if (event.key === "+" || event.key === "=") turn.value = nearer(turn.value, 1.2);
  else if (event.key === "-") turn.value = nearer(turn.value, 1 / 1.2);
  else return;
  event.preventDefault();
  event.stopPropagation();
}

function listen(host: HTMLElement, stop: AbortSignal): void {
  let last: { readonly x: number; readonly y: number } | null = null;
  host.addEventListener("pointerdown", (event) => {
    last = { x: event.clientX, y: event.clientY };
    host.setPointerCapture(event.pointerId);
  }, { signal: stop });
  host.addEventListener("pointermove", (event) => {
    if (last === null) return;
    turn.value = turned(turn.value, -(event.clientX - last.x) / 2, (event.clientY - last.y) / 2);
    last = { x: event.clientX, y: event.clientY };
  }, { signal: stop });
  for (const name of ["pointerup", "pointercancel"]) host.addEventListener(name, () => { last = null; }, { signal: stop });
  host.addEventListener("wheel", (event) => {
    event.preventDefault();
    turn.value = nearer(turn.value, Math.exp(-event.deltaY / 400));
  }, { signal: stop, passive: false });
}

export function SpacePanel() {
  const host = useRef<HTMLDivElement>(null);
  const [without, setWithout] = useState(false);
  useEffect(() => {
    const stop = new AbortController();
    let view: SpaceView | null = null;
    let end = () => undefined as void;
    void import("./space").then(({ mountSpace }) => {
      if (stop.signal.aborted || !host.current) return;
      view = mountSpace(host.current);
      if (view === null) return setWithout(true);
      listen(host.current, stop.signal);
      let of: PairAnswer | null = null;
      let scene: Scene | null = null;
      let pictures = new Map<string, HTMLCanvasElement>();
      end = effect(() => {
        const answer = found.value;
        if (answer !== null && answer !== of) {
          of = answer;
          scene = sceneOf(answer);
          pictures = picturesNow();
        }
        if (answer !== null && scene) view?.update({ scene, turn: turn.value, pictures, planes: planes.value });
        else turn.value;
      });
    });
    return () => {
      stop.abort();
      end();
      view?.dispose();
    };
  }, []);
  const shown = found.value?.in_space === true;
  return (
    <div class="space">
      <div class="space-view" ref={host} tabIndex={0} role="img" hidden={!shown} onKeyDown={handleKey}
        aria-label={`The course in space, seen ${turnWords(turn.value)}. Arrow keys turn it, plus and minus bring it nearer.`} />
      {!shown && <p class="space-empty dim">{without ? "This browser draws no 3D." : "The course in space appears here as soon as both pictures show it."}</p>}
      {shown && (
        <div class="space-tools">
          <span class="dim small" aria-live="polite">{turnWords(turn.value)}</span>
          <button type="button" class="quiet" aria-pressed={planes.value} onClick={() => { planes.value = !planes.value; }}>Pictures</button>
          <button type="button" class="quiet" onClick={() => { turn.value = kFromTheFront; }}>From the front</button>
        </div>
      )}
    </div>
  );
}
