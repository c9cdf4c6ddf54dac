// SPDX-License-Identifier: Apache-2.0
// Contrast and motion over the frames of the open run, from the engine. The frame that it suggests is shown, never
// taken: the reader goes there or does not.
import { computed, effect, signal } from "@preact/signals";
import { get } from "../../wire/engine";
import { picture } from "../desk";
import { momentsAnswer, type Moments } from "./curves";

const kFewest = 8; // frames: shorter runs have nothing to compare
export const moments = signal<Moments | null>(null);
const wanted = computed(() => {
  const image = picture.value;
  return image && image.samples === 1 && image.frames >= kFewest && image.modality !== "US" ? image.hash : "";
});

// Asked a moment after a run is opened: its own frames come first.
effect(() => {
  const hash = wanted.value;
  moments.value = null;
  if (hash === "") return undefined;
  const stop = new AbortController();
  const timer = setTimeout(() => {
    get(`/api/images/${hash}/moments`, momentsAnswer, stop.signal).then(
      (answer) => { if (!stop.signal.aborted) moments.value = answer; },
      () => { /* the cine works without; the next opening asks again */ },
    );
  }, 400);
  return () => {
    clearTimeout(timer);
    stop.abort();
  };
});
