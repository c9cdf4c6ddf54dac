// SPDX-License-Identifier: Apache-2.0
// Whether two views are in the hand, and what was marked in an accepted measurement that is to be opened again. Small, since
// the first script holds it; the tool itself is fetched when it is looked at.
import { computed, signal } from "@preact/signals";
import { open } from "../state/store";
import type { PairPoints } from "../wire/pair";
import type { Fact, Image } from "../wire/shapes";
import { apartDeg, kRefusedBelow } from "./apart";
import { pointsFrom } from "./origin";

export const pairing = signal(false);
export const wanted = signal<PairPoints | null>(null);
// What was accepted then, and by which method, while the measurement behind a fact is open again.
export const before = signal<{ readonly method: string; readonly words: string } | null>(null);

// A run that can be measured in space states its angles, distances and detector spacing.
export const measurable = (image: Image | null): boolean =>
  image !== null && image.view !== null && image.sid_mm !== null && image.sod_mm !== null && image.detector_spacing_mm !== null;
export const runs = computed(() => (open.value?.images ?? []).filter((each) => measurable(each.image)));

// Two of them stand far enough apart for depth to be told.
export const canPair = computed(() => {
  const views = runs.value.flatMap((each) => each.image?.view ?? []);
  return views.some((a, i) => views.slice(i + 1).some((b) => apartDeg(a, b) >= kRefusedBelow));
});

export function begin(): void {
  pairing.value = true;
}

// The points behind a fact that two views gave, as its note holds them; null for any other fact.
export function pointsBehind(fact: Fact | null): PairPoints | null {
  return fact === null ? null : pointsFrom(fact.note);
}
export function reopen(points: PairPoints, was: { readonly method: string; readonly words: string } | null): void {
  before.value = was;
  wanted.value = points;
  pairing.value = true;
}
