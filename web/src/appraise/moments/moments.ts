// SPDX-License-Identifier: Apache-2.0
// Contrast and motion over the frames of the open run, from the engine. A run that nobody has touched since it was opened
// goes to the frame suggested; later the reader goes there or does not.
import { computed, effect, signal } from "@preact/signals";
import { get } from "../../wire/engine";
import { picture, settleOn } from "../desk";
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
      (answer) => {
        if (stop.signal.aborted) return;
        moments.value = answer;
        if (answer.suggested !== null) settleOn(answer.suggested);
      },
      () => { /* the cine works without; the next opening asks again */ },
    );
  }, 100);
  return () => {
    clearTimeout(timer);
    stop.abort();
  };
});
