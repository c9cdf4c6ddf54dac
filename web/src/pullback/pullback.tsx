// SPDX-License-Identifier: Apache-2.0
// A pullback in Appraise: the cross-section, the pullback lengthwise, the tools.
import { effect } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import * as view from "../appraise/desk";
import { mountImageView } from "../image/view";
import { theme } from "../state/store";
import { figure, reading as readingWords } from "../words/number";
import { mountAlong } from "./along";
import * as desk from "./desk";
import { openLayer } from "./layer";
import { marks } from "./marks";
import { sectionWords, toImage } from "./round";
import "./pullback.css";

const kNudgeMm = 0.02;

function handleKey(index: number, event: KeyboardEvent): void {
  const far = event.shiftKey ? 5 : 1;
  const measuring = desk.points.value.length > 0;
  const out: Record<string, number> = { ArrowUp: kNudgeMm, ArrowRight: kNudgeMm, ArrowDown: -kNudgeMm, ArrowLeft: -kNudgeMm };
  const move: Record<string, readonly [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  const by = out[event.key];
  const step = move[event.key];
  if (measuring && step) desk.nudgePoint(index, step[0] * far, step[1] * far);
  else if (!measuring && by !== undefined) desk.nudge(index, by * far);
  else if (measuring && (event.key === "Delete" || event.key === "Backspace")) desk.removePoint(index);
  else return;
  event.preventDefault();
  event.stopPropagation();
}

function label(): string {
  const found = desk.byHand.value;
  if (found === null) return "";
  return readingWords(found.value, found.sd, found.unit === "mm2" ? "mm²" : found.unit);
}

function CrossSection() {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!host.current) return undefined;
    const image = mountImageView(host.current, {
      resized: view.resized, wheel: view.step, zoom: (at, factor) => view.zoom(factor, at), pan: view.pan, window: view.dragWindow,
      place: desk.place, movePoint: desk.movePoint, handleKey,
    });
    const layer = openLayer(host.current);
    const stop = effect(() => {
      const run = view.picture.value;
      const round = desk.round.value;
      const onFrame = desk.pointsFrame.value === view.frame.value;
      const hand = onFrame ? desk.points.value : [];
      const held = round === null ? [] : desk.handles.value.map((at) => toImage(round, at));
      const shown = desk.borders.value;
      image.update({
        pixels: run ? view.pixels.value : null, size: run ?? { rows: 1, columns: 1, samples: 1, bits: 8 }, inverse: run?.inverse ?? false,
        window: view.greyWindow.value, placement: view.placement.value, hand: view.hand.value,
        overlay: { ink: "held", points: hand.length > 0 ? hand : held, crosshair: null, ghost: [], label: "" },
      });
      layer.update(marks({
        round, section: desk.section.value, lumen: shown.lumen, media: shown.media, stent: shown.stent, preview: shown.preview, cut: desk.cut.value,
        blind_mm: desk.reading.value?.blind_to_mm ?? desk.early.value?.blind_to_mm ?? 0, reach_mm: round === null ? 0 : Math.min(round.x, round.y) * round.column_mm,
        hand, closed: desk.tool.value === "area", label: onFrame ? label() : "", placement: view.placement.value,
      }));
    });
    return () => {
      stop();
      layer.dispose();
      image.dispose();
    };
  }, []);
  const section = desk.section.value;
  return <div id="picture" class={`view hand-${view.hand.value}`} ref={host} tabIndex={0} role="application" data-shown={view.framesShown.value}
    aria-label={`Cross-section. Space plays, arrows step. ${section === null ? "" : sectionWords(section)}`} aria-describedby="picture-words" />;
}

function Corner() {
  const image = view.picture.value;
  if (!image) return null;
  const found = desk.reading.value;
  const round = desk.round.value;
  return (
    <div class="corner" id="picture-words">
      <b>{desk.placeWords(view.frame.value)}</b>
      <span>{image.kind}, {image.columns} × {image.rows}</span>
      {round === null ? <span class="warn">pixels only: the file does not say how large a pixel is</span>
        : <span class="geo">{figure(round.column_mm, 4)} mm a pixel, {desk.typedPixel.value === null ? image.ultrasound?.from ?? "" : "typed"}</span>}
      {found && <span class={found.speed_mm_s === null ? "warn" : "geo"}>{found.speed_mm_s === null ? "speed not known: no distances along the vessel" : `${figure(found.speed_mm_s, 2)} mm/s, ${found.speed_from}`}</span>}
    </div>
  );
}

function Legend() {
  if (desk.reading.value === null && desk.early.value === null) return null;
  return (
    <ul class="round-legend" aria-label="Lines in the picture">
      <li class="media">vessel (media)</li><li class="lumen">lumen or channel</li>{desk.reading.value?.stent != null && <li class="stent">stent</li>}<li class="dim">gaps: not seen</li>{desk.reading.value === null && <li class="dim">near this frame only; the whole is not read yet</li>}
    </ul>
  );
}

function Remarks() {
  // Of the file's own remarks the warnings: the note that only X-ray runs are measured by geometry is no news here.
  const remarks = [...(view.picture.value?.remarks ?? []).filter((each) => each.level === "warning").map((each) => each.text), ...(desk.reading.value?.remarks ?? [])];
  if (remarks.length === 0) return null;
  return (
    <ul class="remarks" aria-label="Remarks on this pullback">
      {remarks.map((text) => <li key={text} class="warning"><span aria-hidden="true">▲</span> {text}</li>)}
    </ul>
  );
}

function AlongView() {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!host.current) return undefined;
    const along = mountAlong(host.current, (frame) => view.jump(frame));
    const stop = effect(() => along.update({
      frames: view.picture.value?.frames ?? 1, frame: view.frame.value, angle: desk.cut.value, rays: desk.rays.value, reading: desk.reading.value,
      column_mm: desk.round.value?.column_mm ?? null, nearMark: desk.nearMark.value, farMark: desk.farMark.value, theme: theme.value,
    }));
    return () => {
      stop();
      along.dispose();
    };
  }, []);
  const frames = view.picture.value?.frames ?? 1;
  const key = (event: KeyboardEvent) => {
    const by: Record<string, number> = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageUp: 10, PageDown: -10 };
    const step = by[event.key];
    if (step !== undefined) view.jump(Math.min(frames - 1, Math.max(0, view.frame.value + step * (event.shiftKey ? 10 : 1))));
    else if (event.key === "Home") view.jump(0);
    else if (event.key === "End") view.jump(frames - 1);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return <div class="along" ref={host} tabIndex={0} role="slider" aria-label="Along the pullback" aria-valuemin={1} aria-valuemax={frames} aria-valuenow={view.frame.value + 1}
    aria-valuetext={desk.placeWords(view.frame.value)} onKeyDown={key} />;
}

function AlongBar() {
  const heart = desk.reading.value?.heart ?? null;
  const next = () => {
    const at = heart?.at_rest.find((each) => each > view.frame.value) ?? heart?.at_rest[0];
    if (at !== undefined) view.jump(at);
  };
  return (
    <div class="along-bar">
      <button type="button" class="play" onClick={() => view.toggle()} aria-label={view.playing.value ? "Pause" : "Play"}>{view.playing.value ? "❚❚" : "▶"}</button>
      <button type="button" onClick={() => view.step(-1)} aria-label="One frame back">‹</button>
      <button type="button" onClick={() => view.step(1)} aria-label="One frame on">›</button>
      <label class="cut-angle">Cut at <input type="range" min={0} max={179} value={desk.cut.value % 180} aria-label="Angle of the cut, degrees" onInput={(event) => { desk.cut.value = Number(event.currentTarget.value); }} /> <span class="figures">{desk.cut.value % 180}°</span></label>
      {heart && <button type="button" onClick={next} aria-label="Next frame with the heart at rest">At rest ›</button>}
      <span class="dim small">{heart ? `heart about ${figure(heart.beats_per_min, 0)} a minute, from the pictures; white ticks: at rest` : ""}</span>
    </div>
  );
}

function Tools() {
  const now = desk.tool.value;
  const tool = (word: string, to: desk.Tool, needs: boolean) =>
    <button type="button" aria-pressed={now === to} disabled={needs && desk.reading.value === null} onClick={() => { desk.take(to); document.getElementById("picture")?.focus(); }}>{word}</button>;
  return (
    <div class="tools" role="toolbar" aria-label="Tools">
      {tool("Hand", "look", false)}{tool("Window", "window", false)}
      {tool("Lumen", "lumen", true)}{tool("Vessel", "media", true)}{tool("Stent", "stent", true)}{tool("Second wire", "second", true)}{tool("Own wire", "catheter", true)}
      {tool("Distance", "distance", false)}{tool("Area", "area", false)}{tool("Angle", "angle", false)}
      <span class="gap" />
      <button type="button" onClick={() => view.zoom(0.8)} aria-label="Farther">−</button>
      <button type="button" onClick={() => view.fit()}>Fit</button>
      <button type="button" onClick={() => view.zoom(1.25)} aria-label="Nearer">+</button>
    </div>
  );
}

export function Pullback() {
  useEffect(() => desk.attend(), []);
  return (
    <>
      <div class="view-frame">
        <CrossSection />
        <Corner />
        <Legend />
        <Remarks />
        {view.waiting.value && <p class="view-wait" role="status">loading frames</p>}
      </div>
      <AlongView />
      <AlongBar />
      <Tools />
    </>
  );
}
