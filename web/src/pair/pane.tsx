// SPDX-License-Identifier: Apache-2.0
// One of the two pictures: its run, its frame, the handles of what is being marked and the lines that help.
import { effect } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { insideImage } from "../image/geometry";
import { mountImageView } from "../image/view";
import type { Side } from "../wire/pair";
import { imagePoint } from "../wire/units";
import { countOf } from "../words/number";
import { pairStrokes, type PairStroke } from "./drawing";
import { isPoint, pointsOf } from "./marking";
import * as pairing from "./pairing";
import { panes } from "./sides";

const kSvg = "http://www.w3.org/2000/svg";

function element(stroke: PairStroke): SVGElement[] {
  if (stroke.kind === "line") {
    const d = stroke.points.map((point, index) => `${index === 0 ? "M" : "L"}${point.x.toFixed(1)} ${point.y.toFixed(1)}`).join("");
    return ["under", "over"].map((layer) => {
      const path = document.createElementNS(kSvg, "path");
      path.setAttribute("d", d);
      path.setAttribute("class", `${layer} pair-${stroke.ink}`);
      return path;
    });
  }
  const dot = document.createElementNS(kSvg, "circle");
  dot.setAttribute("cx", stroke.at.x.toFixed(1));
  dot.setAttribute("cy", stroke.at.y.toFixed(1));
  dot.setAttribute("r", "5");
  dot.setAttribute("class", "pair-dot");
  const word = document.createElementNS(kSvg, "text");
  word.setAttribute("x", (stroke.at.x + 9).toFixed(1));
  word.setAttribute("y", (stroke.at.y + 4).toFixed(1));
  word.setAttribute("class", "pair-word");
  word.textContent = stroke.word;
  return [dot, word];
}

function handleKey(side: Side, index: number, event: KeyboardEvent): void {
  const by = event.shiftKey ? 10 : 1;
  const steps: Record<string, readonly [number, number]> = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] };
  const step = steps[event.key];
  if (step) pairing.nudge(side, index, step[0], step[1]);
  else if (event.key === "Delete" || event.key === "Backspace") pairing.take(side, index);
  else return;
  event.preventDefault();
  event.stopPropagation();
}

// A hand without a mouse: arrows move a crosshair, Enter marks there, comma and full stop change the frame.
function crossKey(side: Side, event: KeyboardEvent): void {
  const pane = panes[side];
  const image = pane.image();
  if (!image || event.target !== event.currentTarget || event.ctrlKey || event.metaKey || event.altKey) return;
  const by = event.shiftKey ? 10 : 1;
  const steps: Record<string, readonly [number, number]> = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] };
  const at = pane.cross.value ?? imagePoint(Math.floor(image.columns / 2), Math.floor(image.rows / 2));
  const step = steps[event.key];
  if (step) pane.cross.value = insideImage(imagePoint(at.x + step[0], at.y + step[1]), { width: image.columns, height: image.rows });
  else if (event.key === "Enter" && pane.cross.value) pairing.add(side, at);
  else if (event.key === "Enter") pane.cross.value = at;
  else if (event.key === "Backspace") pairing.take(side, -1);
  else if (event.key === "," || event.key === ".") pane.step(event.key === "," ? -1 : 1);
  else if (event.key === "+" || event.key === "=" || event.key === "-") pane.zoom(event.key === "-" ? 0.8 : 1.25);
  else if (event.key === "f") pane.fit();
  else return;
  event.preventDefault();
  event.stopPropagation();
}

// Over the picture: strokes in screen pixels, redrawn when anything under them moves.
function openLayer(host: HTMLElement): { update(list: readonly PairStroke[]): void; dispose(): void } {
  const svg = document.createElementNS(kSvg, "svg");
  svg.setAttribute("class", "overlay pair-overlay");
  svg.setAttribute("aria-hidden", "true");
  host.append(svg);
  return { update: (list) => svg.replaceChildren(...list.flatMap(element)), dispose: () => svg.remove() };
}

function View({ side }: { readonly side: Side }) {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!host.current) return undefined;
    const pane = panes[side];
    const view = mountImageView(host.current, {
      resized: pane.resized, wheel: pane.step, zoom: (at, factor) => pane.zoom(factor, at), pan: pane.pan,
      window: () => undefined, place: (at) => pairing.add(side, at),
      movePoint: (index, to) => pairing.move(side, index, to),
      handleKey: (index, event) => handleKey(side, index, event),
    });
    const layer = openLayer(host.current);
    const stop = effect(() => {
      const image = pane.image();
      const marking = pairing.marking.value;
      const tool = pairing.tool.value;
      const placement = pane.placement.value;
      const guide = pairing.guide.value;
      view.update({
        pixels: image ? pane.pixels.value : null, size: image ?? { rows: 1, columns: 1, samples: 1, bits: 8 },
        inverse: image?.inverse ?? false, window: pane.window.value, placement, hand: "point",
        overlay: { ink: "ruler", points: pointsOf(marking, tool, side), crosshair: pane.cross.value, ghost: [], joined: !isPoint(tool), label: "" },
      });
      layer.update(pairStrokes({ marking, tool, side, found: pairing.found.value, guide: guide?.side === side ? guide.line : null }, placement));
    });
    return () => {
      stop();
      layer.dispose();
      view.dispose();
    };
  }, []);
  return <div class="view hand-point" ref={host} id={`pair-${side}`} role="application" tabIndex={0} onKeyDown={(event) => crossKey(side, event)}
    aria-label={`Picture ${side.toUpperCase()}. A click marks a point, the wheel changes the frame. By keys: arrows move a crosshair, Enter marks there, comma and full stop change the frame; a mark in focus takes the arrows.`} />;
}

export function PairPane({ side }: { readonly side: Side }) {
  const pane = panes[side];
  const image = pane.image();
  const name = side.toUpperCase();
  return (
    <section class="pair-pane" aria-label={`View ${name}`}>
      <div class="pair-head">
        <b aria-hidden="true">{name}</b>
        <label class="select"><span class="unseen">Run of view {name}</span>
          <select value={pane.hash.value} onChange={(event) => { pane.hash.value = event.currentTarget.value; }}>
            {pairing.runs.value.map((each) => <option key={each.hash} value={each.hash}>{each.image?.view?.text ?? ""} · {each.label}</option>)}
          </select>
        </label>
      </div>
      <div class="view-frame"><View side={side} /></div>
      <div class="pair-frames" role="group" aria-label={`Frame of view ${name}`}>
        <button type="button" onClick={() => pane.step(-1)} aria-label="One frame back">‹</button>
        <input type="range" aria-label="Frame" min={1} max={image?.frames ?? 1} value={pane.frame.value + 1} onInput={(event) => pane.show(Number(event.currentTarget.value) - 1)} />
        <button type="button" onClick={() => pane.step(1)} aria-label="One frame on">›</button>
        <span class="cine-words">{pane.frame.value + 1} of {countOf(image?.frames ?? 0, "frame", "frames")}</span>
        <button type="button" onClick={() => pane.zoom(0.8)} aria-label="Farther">−</button>
        <button type="button" onClick={() => pane.fit()}>Fit</button>
        <button type="button" onClick={() => pane.zoom(1.25)} aria-label="Nearer">+</button>
      </div>
    </section>
  );
}
