// SPDX-License-Identifier: Apache-2.0
// What is visible first: the frames near the one that stands are read by themselves, in a fraction of a second, until the
// whole pullback has been read. Their lines are shown; nothing is derived from them, and nothing can be accepted.
import { effect, signal, untracked } from "@preact/signals";
import { frame, picture } from "../appraise/desk";
import * as ask from "./ask";
import { hash, round, typedPixel } from "./on-desk";
import type { Near, Section } from "./shapes";

const kSettleMs = 120;   // a frame that stands so long is asked about
const kEdge = 3;         // frames from the end of what was read: nearer, the next piece is asked for

export const early = signal<Near | null>(null);
export const earlySection = (at: number): Section | null => {
  const found = early.value;
  return found === null ? null : found.sections[at - found.first] ?? null;
};
const covers = (found: Near | null, at: number): boolean =>
  found !== null && at >= found.first && at <= found.last && (found.first === 0 || at >= found.first + kEdge) && (found.last === found.frames - 1 || at <= found.last - kEdge);

let going: AbortController | null = null;
let of = "";
async function readNear(image: string, at: number): Promise<void> {
  going?.abort();
  const mine = new AbortController();
  going = mine;
  const found = await ask.readNear({ image, frame: at, ...(typedPixel.value === null ? {} : { pixel_mm: typedPixel.value }) }, mine.signal).catch(() => null); // the whole reading says what is wrong
  if (!mine.signal.aborted && found !== null) early.value = found;
}

// While `wanted`: nothing of the whole pullback is read yet.
export function attendEarly(wanted: () => boolean): () => void {
  let timer = 0;
  const stop = effect(() => {
    const scaled = hash.value !== "" && round.value !== null && picture.value?.kind === "ultrasound" ? `${hash.value} ${round.value.row_mm}` : "";
    const at = frame.value;
    const now = wanted();
    untracked(() => {
      clearTimeout(timer);
      if (scaled !== of) { of = scaled; early.value = null; }
      if (!now || scaled === "") { going?.abort(); early.value = null; return; }
      if (!covers(early.value, at)) timer = window.setTimeout(() => void readNear(hash.peek(), at), early.value === null ? 0 : kSettleMs);
    });
  });
  return () => { stop(); clearTimeout(timer); going?.abort(); early.value = null; of = ""; };
}
