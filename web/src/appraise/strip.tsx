// SPDX-License-Identifier: Apache-2.0
// The film strip: one picture, the gantry angles and the filling line of each run.
import { useEffect, useRef } from "preact/hooks";
import { chooseFiles } from "../cases/import";
import { toRgba } from "../image/painter";
import { drawer, open, say, sentence } from "../state/store";
import { readFrames } from "../wire/engine";
import type { CaseImage, Image } from "../wire/shapes";
import { countOf } from "../words/number";
import { chosen, chosenHash, frame } from "./desk";
import { sparkPath } from "./spark";

const kept = new Map<string, HTMLCanvasElement>(); // thumbnails by hash: immutable, a few kilobytes each
const kThumb = 168;

async function thumbnail(image: Image, signal: AbortSignal): Promise<HTMLCanvasElement> {
  const known = kept.get(image.hash);
  if (known) return known;
  const at = Math.max(0, image.filling.indexOf(Math.max(...image.filling)));
  const body = await readFrames(image.hash, at, at, signal);
  const pixels = image.bits === 16 ? new Uint16Array(body) : new Uint8Array(body);
  const whole = new OffscreenCanvas(image.columns, image.rows);
  whole.getContext("2d")?.putImageData(toRgba(pixels, image, image.window, image.inverse), 0, 0);
  const small = document.createElement("canvas");
  small.width = kThumb;
  small.height = Math.round((kThumb * image.rows) / image.columns);
  const pen = small.getContext("2d");
  if (pen) {
    pen.imageSmoothingQuality = "high";
    pen.drawImage(whole, 0, 0, small.width, small.height);
  }
  kept.set(image.hash, small);
  return small;
}

function Thumb({ image }: { readonly image: Image }) {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const stop = new AbortController();
    thumbnail(image, stop.signal).then(
      (canvas) => { if (!stop.signal.aborted) host.current?.replaceChildren(canvas); },
      (error: unknown) => { if (!stop.signal.aborted) say("trouble", sentence(error)); },
    );
    return () => stop.abort();
  }, [image.hash]);
  return <div class="thumb" ref={host} aria-hidden="true" />;
}

function Spark({ image, here }: { readonly image: Image; readonly here: boolean }) {
  const path = sparkPath(image.filling, 100, 20);
  if (path === "") return null;
  const at = here ? (frame.value / Math.max(1, image.frames - 1)) * 100 : null;
  return (
    <svg class="spark" viewBox="0 0 100 20" preserveAspectRatio="none" aria-hidden="true">
      <path d={path} vector-effect="non-scaling-stroke" />
      {at !== null && <path class="now" d={`M${at} 0V20`} vector-effect="non-scaling-stroke" />}
    </svg>
  );
}

function Run({ each }: { readonly each: CaseImage }) {
  const image = each.image;
  const here = chosen.value?.hash === each.hash;
  const warnings = image?.remarks.filter((remark) => remark.level === "warning").length ?? 0;
  return (
    <li>
      <button type="button" class="run" aria-pressed={here} onClick={() => { chosenHash.value = each.hash; }}>
        {image ? <Thumb image={image} /> : <div class="thumb gone" aria-hidden="true">✕</div>}
        <span class="run-words">
          <b>{image?.view?.text ?? "angle not given"}</b>
          <span>{each.label}{image ? ` · ${image.frames === 1 ? "still" : countOf(image.frames, "frame", "frames")}` : " · not stored here"}</span>
          {warnings > 0 && <span class="warn"><span aria-hidden="true">▲</span> {countOf(warnings, "warning", "warnings")}</span>}
        </span>
        {image && <Spark image={image} here={here} />}
      </button>
    </li>
  );
}

export function Strip() {
  const images = open.value?.images ?? [];
  return (
    <section class="strip" aria-label="Runs">
      <h2 class="strip-head">Runs</h2>
      <ul>{images.map((each) => <Run key={each.hash} each={each} />)}</ul>
      <div class="strip-add">
        <button type="button" onClick={() => chooseFiles(false)}>Add files</button>
        <button type="button" onClick={() => chooseFiles(true)}>Add folder</button>
        <button type="button" class="quiet" onClick={() => { drawer.value = { kind: "skin" }; }}>Dose and skin</button>
      </div>
    </section>
  );
}
