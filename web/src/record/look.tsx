// SPDX-License-Identifier: Apache-2.0
// Before a picture leaves, somebody looks whether something is written in it, and draws boxes over what is. Boxes that the engine
// suspects are shown, never taken by themselves. What was seen is a note: "mask: HASH 0,0,200,40; …" or "mask: HASH none".
import { useEffect, useRef, useState } from "preact/hooks";
import { say, sentence, write } from "../state/store";
import { getJson, readFrames } from "../wire/engine";
import { arrayOf, number, object, text, truth, type Parsed } from "../wire/parse";
import { image as imageAnswer } from "../wire/shapes";
import { countOf } from "../words/number";

const box = object({ left: number, top: number, width: number, height: number });
type Box = Parsed<typeof box>;
const looked = object({ hash: text, label: text, frames: number, rows: number, columns: number, looked: truth, boxes: arrayOf(box), suspect: arrayOf(box), why: text });
type Looked = Parsed<typeof looked>;
const lookAnswer = object({ images: arrayOf(looked) });
const pathOf = (id: string): string => `/api/cases/${encodeURIComponent(id)}/look`;
const textOf = (boxes: readonly Box[]): string => (boxes.length === 0 ? "none" : boxes.map((one) => `${one.left},${one.top},${one.width},${one.height}`).join("; "));

// A frame in greys, without a window of anybody's: what is written in it must be seen.
export async function paint(canvas: HTMLCanvasElement, hash: string, frame: number, signal: AbortSignal): Promise<void> {
  const image = await getJson(`/api/images/${hash}`, imageAnswer, signal);
  const bytes = await readFrames(hash, frame, frame, signal);
  const pixels = canvas.getContext("2d")?.createImageData(image.columns, image.rows);
  if (signal.aborted || !pixels) return;
  const values = image.bits === 16 ? new Uint16Array(bytes) : new Uint8Array(bytes);
  const low = image.window.center - image.window.width / 2;
  for (let at = 0; at < image.rows * image.columns; at += 1) {
    for (let part = 0; part < 3; part += 1) {
      const value = values[at * image.samples + (image.samples === 3 ? part : 0)] ?? 0;
      const grey = Math.max(0, Math.min(255, ((value - low) / Math.max(1, image.window.width)) * 255));
      pixels.data[at * 4 + part] = image.inverse ? 255 - grey : grey;
    }
    pixels.data[at * 4 + 3] = 255;
  }
  canvas.width = image.columns;
  canvas.height = image.rows;
  canvas.getContext("2d")?.putImageData(pixels, 0, 0);
}

function OnePicture({ one, id, done }: { readonly one: Looked; readonly id: string; readonly done: () => void }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [boxes, setBoxes] = useState<readonly Box[]>(one.boxes);
  const [frame, setFrame] = useState(0);
  const [from, setFrom] = useState<{ x: number; y: number } | null>(null);
  const [typed, setTyped] = useState("");
  useEffect(() => {
    const asking = new AbortController();
    if (canvas.current) paint(canvas.current, one.hash, frame, asking.signal).catch((error: unknown) => { if (!asking.signal.aborted) say("trouble", sentence(error)); });
    return () => asking.abort();
  }, [one.hash, frame]);
  const placeOf = (event: PointerEvent): { x: number; y: number } => {
    const rect = (event.currentTarget as HTMLElement).getBoundingClientRect();
    const clip = (value: number, most: number): number => Math.round(Math.max(0, Math.min(most, value)));
    return { x: clip(((event.clientX - rect.left) / rect.width) * one.columns, one.columns), y: clip(((event.clientY - rect.top) / rect.height) * one.rows, one.rows) };
  };
  const end = (event: PointerEvent): void => {
    if (from === null) return;
    const to = placeOf(event), width = Math.abs(to.x - from.x), height = Math.abs(to.y - from.y);
    setFrom(null);
    if (width > 1 && height > 1) setBoxes([...boxes, { left: Math.min(from.x, to.x), top: Math.min(from.y, to.y), width, height }]);
  };
  const addTyped = (): void => {
    const values = typed.split(",").map((part) => Number(part.trim()));
    const [left, top, width, height] = values;
    if (values.length !== 4 || left === undefined || top === undefined || width === undefined || height === undefined || values.some((value) => !Number.isInteger(value) || value < 0) || width === 0 || height === 0) {
      say("trouble", "A box is four whole numbers: column, row, width, height");
      return;
    }
    setBoxes([...boxes, { left, top, width, height }]);
    setTyped("");
  };
  const keep = async (): Promise<void> => {
    if (await write("note", { text: `mask: ${one.hash.slice(0, 16)} ${textOf(boxes)}` })) { say("done", `Kept for case ${id.slice(0, 6)}: ${boxes.length === 0 ? "nothing is written in it" : countOf(boxes.length, "box", "boxes")}`); done(); }
  };
  const style = (each: Box) => ({ left: `${(each.left / one.columns) * 100}%`, top: `${(each.top / one.rows) * 100}%`, width: `${(each.width / one.columns) * 100}%`, height: `${(each.height / one.rows) * 100}%` });
  return (
    <div class="look-one">
      <div class="look-picture" onPointerDown={(event) => { event.currentTarget.setPointerCapture(event.pointerId); setFrom(placeOf(event)); }} onPointerUp={end}>
        <canvas ref={canvas} role="img" aria-label={`${one.label}, frame ${frame + 1} of ${one.frames}`} />
        {one.suspect.map((each, at) => <span key={`s${at}`} class="look-suspect" style={style(each)} />)}
        {boxes.map((each, at) => <span key={`b${at}`} class="look-box" style={style(each)} />)}
      </div>
      {one.frames > 1 && <label class="record-file">Frame {frame + 1} of {one.frames}<input type="range" min={0} max={one.frames - 1} value={frame} onInput={(event) => setFrame(Number(event.currentTarget.value))} /></label>}
      <p class="dim small">{one.suspect.length > 0 ? `${countOf(one.suspect.length, "place looks", "places look")} like text (dashed). ` : "Nothing looks like text to the engine, which can be wrong. "}{one.why === "" ? "" : `To be looked at: ${one.why}.`}</p>
      <ul class="record-offer">{boxes.map((each, at) => (
        <li key={at}><span class="figures">{textOf([each])}</span> <button type="button" class="quiet" aria-label={`Remove box ${at + 1}`} onClick={() => setBoxes(boxes.filter((_, other) => other !== at))}>Remove</button></li>
      ))}</ul>
      <label class="record-file">A box by keyboard: column, row, width, height<input value={typed} inputMode="numeric" autocomplete="off" onInput={(event) => setTyped(event.currentTarget.value)} /></label>
      <div class="record-take">
        <button type="button" onClick={addTyped} disabled={typed === ""}>Add this box</button>
        {one.suspect.length > 0 && <button type="button" onClick={() => setBoxes([...boxes, ...one.suspect])}>Box what is suspected</button>}
        <button type="button" class="main" onClick={() => { void keep(); }}>{boxes.length === 0 ? "I looked: nothing is written in it" : `I looked: paint ${countOf(boxes.length, "box", "boxes")}`}</button>
      </div>
    </div>
  );
}

export function LookPane({ id, heard }: { readonly id: string; readonly heard: number }) {
  const [images, setImages] = useState<readonly Looked[] | null>(null);
  const [shown, setShown] = useState("");
  const [asked, setAsked] = useState(false);
  useEffect(() => {
    if (!asked) return undefined;
    const asking = new AbortController();
    getJson(pathOf(id), lookAnswer, asking.signal).then((answer) => setImages(answer.images)).catch((error: unknown) => { if (!asking.signal.aborted) say("trouble", sentence(error)); });
    return () => asking.abort();
  }, [id, heard, asked]);
  const current = images?.find((one) => one.hash === shown);
  const left = images?.filter((one) => !one.looked).length ?? 0;
  return (
    <section class="pane" aria-labelledby="look-head"><h2 id="look-head">Pictures, before they leave</h2>
      {!asked && <button type="button" onClick={() => setAsked(true)}>Look for writing in the pictures</button>}
      {asked && images === null && <p role="status">Looking…</p>}
      {images !== null && (
        <>
          <p role="status">{images.length === 0 ? "No picture belongs to this case." : left === 0 ? "All were looked at." : `${left} of ${images.length} not looked at yet: they stay here.`}</p>
          <div class="record-take">{images.map((one) => (
            <button key={one.hash} type="button" aria-pressed={shown === one.hash} onClick={() => setShown(shown === one.hash ? "" : one.hash)}>{one.label}{one.looked ? " ✓" : one.suspect.length > 0 ? " ▲" : ""}</button>
          ))}</div>
          {current !== undefined && <OnePicture key={current.hash} one={current} id={id} done={() => setShown("")} />}
        </>
      )}
    </section>
  );
}
