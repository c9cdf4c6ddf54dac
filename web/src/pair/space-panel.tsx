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
import { kFromTheFront, nearer, turnWords, type Turn } from "./turn";
import { turnByHand, turnByKey } from "./turning";

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

export function SpacePanel() {
  const host = useRef<HTMLDivElement>(null);
  const [drawn, setDrawn] = useState<"waits" | "here" | "not">("waits");
  useEffect(() => {
    const stop = new AbortController();
    let view: SpaceView | null = null;
    let end = () => undefined as void;
    void import("./space").catch(() => null).then((space) => {
      if (stop.signal.aborted || !host.current) return;
      view = space?.mountSpace(host.current) ?? null;
      setDrawn(view === null ? "not" : "here");
      if (view === null) return;
      turnByHand(host.current, turn, stop.signal);
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
  const shown = found.value?.in_space === true && drawn !== "not";
  return (
    <div class="space">
      <div class="space-view" ref={host} tabIndex={0} role="application" hidden={!shown} onKeyDown={(event) => turnByKey(turn, event)}
        aria-label={`The course in space, seen ${turnWords(turn.value)}. Arrow keys turn it, plus and minus bring it nearer.`} />
      {!shown && <p class="space-empty dim">{drawn === "not" ? "This browser draws no 3D; the figures below do not need it." : "The course in space appears here as soon as both pictures show it."}</p>}
      {shown && (
        <div class="space-tools">
          <span class="dim small"><span aria-live="polite">{turnWords(turn.value)}</span>; faint: where it may lie, ± 2 sd</span>
          <button type="button" class="quiet" aria-label="The scene farther" onClick={() => { turn.value = nearer(turn.value, 1 / 1.2); }}>−</button>
          <button type="button" class="quiet" aria-label="The scene nearer" onClick={() => { turn.value = nearer(turn.value, 1.2); }}>+</button>
          <button type="button" class="quiet" aria-pressed={planes.value} onClick={() => { planes.value = !planes.value; }}>Pictures</button>
          <button type="button" class="quiet" onClick={() => { turn.value = kFromTheFront; }}>From the front</button>
        </div>
      )}
    </div>
  );
}
