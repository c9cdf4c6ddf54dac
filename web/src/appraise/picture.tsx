// SPDX-License-Identifier: Apache-2.0
// The picture with its controls. The view itself is a plain module (image/view.ts); this panel feeds it.
import { effect } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { kSpeeds } from "../image/cine";
import type { Overlay } from "../image/drawing";
import { mountImageView } from "../image/view";
import { angiograms, begin as beginPair, whyNoPair } from "../pair/hand";
import { open, say } from "../state/store";
import { imagePoint } from "../wire/units";
import { figure, reading } from "../words/number";
import { chooseFiles } from "../cases/import";
import * as desk from "./desk";
import * as gap from "./gap/marks";
import * as measuring from "./measuring";
import { MomentStrip } from "./moments/strip";
import { traceLines } from "./trace/lines";
import * as tracing from "./trace/tracing";

function overlay(): Overlay {
  const task = measuring.task.value;
  const onFrame = measuring.pointsFrame.value === desk.frame.value || measuring.points.value.length === 0;
  const found = measuring.lengthFound.value;
  const hash = desk.picture.value?.hash ?? "";
  const shownFact = task === "none" ? open.value?.facts.find((fact) =>
    fact.origin?.image === hash && fact.origin.frame === desk.frame.value && fact.origin.points.length > 1) : undefined;
  return {
    ink: task === "catheter" ? "catheter" : "ruler",
    points: task === "gap" ? gap.here.value.map((mark) => mark.at) : onFrame && !tracing.brushing.value ? measuring.points.value : [],
    crosshair: task === "none" ? null : desk.crosshair.value,
    ghost: shownFact?.origin?.points.map((point) => imagePoint(point.x, point.y)) ?? [],
    lines: [...traceLines(onFrame), ...gap.lines()],
    joined: task !== "trace" && task !== "gap",
    label: found && onFrame ? reading(found.length_mm.value, found.length_mm.sd, "mm") : "",
  };
}

function handleKey(index: number, event: KeyboardEvent): void {
  const by = event.shiftKey ? 10 : 1;
  const steps: Record<string, readonly [number, number]> = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] };
  const move = steps[event.key];
  if (move) measuring.nudge(index, move[0], move[1], measuring.task.value === "gap" ? gap.here.value[index]?.at : measuring.points.value[index]);
  else if (event.key === "Delete" || event.key === "Backspace") measuring.removePoint(index);
  else return;
  event.preventDefault();
  event.stopPropagation();
}

function View() {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!host.current) return undefined;
    const view = mountImageView(host.current, {
      resized: desk.resized,
      wheel: desk.step,
      zoom: (at, factor) => desk.zoom(factor, at),
      pan: desk.pan,
      window: desk.dragWindow,
      place: measuring.addPoint,
      movePoint: measuring.movePoint,
      handleKey,
      hover: (at) => { if (measuring.task.value === "trace") tracing.cursor.value = at; },
      brush: tracing.brushTo,
    });
    const stop = effect(() => {
      const image = desk.picture.value;
      view.update({
        pixels: image ? desk.pixels.value : null,
        size: image ?? { rows: 1, columns: 1, samples: 1, bits: 8 },
        inverse: image?.inverse ?? false,
        window: desk.greyWindow.value,
        placement: desk.placement.value,
        overlay: overlay(),
        hand: measuring.task.value === "trace" && tracing.brushing.value ? "brush" : desk.hand.value,
      });
    });
    return () => {
      stop();
      view.dispose();
    };
  }, []);
  return <div id="picture" class={`view hand-${desk.hand.value}`} ref={host} tabIndex={0} role="application" data-shown={desk.framesShown.value}
    aria-label="Picture of the run. Space plays, arrows step; press question mark for all keys." aria-describedby="picture-words" />;
}

function Corner() {
  const image = desk.picture.value;
  if (!image) return null;
  const scale = measuring.scaleInForce.value;
  const window = desk.greyWindow.value;
  return (
    <div class="corner" id="picture-words">
      <b>{image.view?.text ?? "angle not given"}</b>
      <span>{image.kind}, {image.columns} × {image.rows}, {image.bits_stored} bit</span>
      <span>window {figure(window.center, 0)} / {figure(window.width, 0)}</span>
      {scale === null ? <span class="warn">pixels only: no millimetres until calibrated</span>
        : <span class={scale.from === "catheter" ? "geo" : ""}>{reading(scale.size.mm_per_px, scale.size.sd_mm_per_px, "mm")} a pixel, {scale.size.method}</span>}
    </div>
  );
}

function Remarks() {
  const remarks = desk.picture.value?.remarks ?? [];
  if (remarks.length === 0) return null;
  return (
    <ul class="remarks" aria-label="Remarks on this run">
      {remarks.map((remark) => (
        <li key={remark.text} class={remark.level}><span aria-hidden="true">{remark.level === "warning" ? "▲" : "·"}</span> {remark.level === "warning" && <span class="unseen">Warning: </span>}{remark.text}</li>
      ))}
    </ul>
  );
}

function toPicture(run: () => void): () => void {
  return () => {
    run();
    document.getElementById("picture")?.focus();
  };
}

function twoViews(): void {
  if (whyNoPair.value !== "") return say("trouble", whyNoPair.value);
  measuring.begin("none");
  beginPair();
}

function Tools() {
  const task = measuring.task.value;
  const hand = desk.hand.value;
  const tool = (word: string, on: boolean, run: () => void) =>
    <button type="button" aria-pressed={on} onClick={toPicture(run)}>{word}</button>;
  return (
    <div class="tools" role="toolbar" aria-label="Tools">
      {tool("Hand", task === "none" && hand === "look", () => measuring.begin("none"))}
      {tool("Window", task === "none" && hand === "window", () => { measuring.begin("none"); desk.hand.value = "window"; })}
      {tool("Scale", task === "catheter", () => measuring.begin("catheter"))}
      {tool("Trace", task === "trace", () => measuring.begin("trace"))}
      {tool("Caps", task === "gap", () => measuring.begin("gap"))}
      {tool("Ruler", task === "ruler", () => measuring.begin("ruler"))}
      {angiograms.value.length > 1 && <button type="button" class={whyNoPair.value === "" ? "" : "dim"} onClick={twoViews}>Two views</button>}
      <span class="gap" />
      <button type="button" onClick={() => desk.zoom(0.8)} aria-label="Farther">−</button>
      <button type="button" onClick={() => desk.fit()}>Fit</button>
      <button type="button" onClick={() => desk.zoom(1.25)} aria-label="Nearer">+</button>
      <button type="button" onClick={() => desk.resetWindow()} aria-label="Window as stored">Reset</button>
    </div>
  );
}

function Cine() {
  const image = desk.picture.value;
  if (!image || image.frames < 2) return null;
  const time = image.frame_ms[desk.frame.value];
  return (
    <div class="cine" role="group" aria-label="Cine">
      <button type="button" class="play" onClick={() => desk.toggle()} aria-label={desk.playing.value ? "Pause" : "Play"}>{desk.playing.value ? "❚❚" : "▶"}</button>
      <button type="button" onClick={() => desk.step(-1)} aria-label="One frame back">‹</button>
      <input type="range" aria-label="Frame" min={1} max={image.frames} value={desk.frame.value + 1}
        onInput={(event) => desk.jump(Number(event.currentTarget.value) - 1)} />
      <button type="button" onClick={() => desk.step(1)} aria-label="One frame on">›</button>
      <span class="cine-words">{desk.frame.value + 1} of {image.frames}{time === undefined ? "" : ` · ${figure(time / 1000, 2)} s`}</span>
      <label class="select"><span class="unseen">Speed</span>
        <select value={String(desk.speed.value)} onChange={(event) => { desk.speed.value = Number(event.currentTarget.value); }}>
          {kSpeeds.map((each) => <option key={each} value={String(each)}>{each === 1 ? "real speed" : `× ${each}`}</option>)}
        </select>
      </label>
      <button type="button" aria-pressed={desk.loop.value} onClick={() => { desk.loop.value = !desk.loop.value; }}>Loop</button>
    </div>
  );
}

export function Picture() {
  const image = desk.picture.value;
  return (
    <>
      <div class="view-frame">
        <View />
        <Corner />
        <Remarks />
        {desk.waiting.value && image !== null && <p class="view-wait" role="status">loading frames</p>}
        {image === null && (
          <div class="view-empty">
            <p>{desk.chosen.value ? "This run is in the journal, but its file is not stored here." : "No run in this case yet. Drop DICOM files or a folder here."}</p>
            <button type="button" onClick={() => chooseFiles(false)}>Choose files</button>
          </div>
        )}
      </div>
      <Cine />
      <MomentStrip />
      <Tools />
    </>
  );
}
