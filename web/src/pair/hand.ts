// SPDX-License-Identifier: Apache-2.0
// Whether two views are in the hand, and what was marked in an accepted measurement that is to be opened again. Small, since
// the first script holds it; the tool itself is fetched when it is looked at.
import { computed, signal } from "@preact/signals";
import { open } from "../state/store";
import { kSides, type PairPoints, type Side } from "../wire/pair";
import type { Fact, Image, ViewOrigin } from "../wire/shapes";
import { whyNot } from "./why-not";
import { pointsFrom } from "./origin";

export const pairing = signal(false);
export const wanted = signal<PairPoints | null>(null);
// What was accepted then, and by which method, while the measurement behind a fact is open again.
export const before = signal<{ readonly method: string; readonly words: string } | null>(null);

// Courses that a trace gave rather than clicks, and the method that traced them.
export const taken = signal<readonly { readonly key: string; readonly method: string }[]>([]);
export const takenKey = (side: Side, line: readonly { readonly x: number; readonly y: number }[]): string =>
  `${side} ${line.map(({ x, y }) => `${Math.round(x * 100)},${Math.round(y * 100)}`).sort().join(" ")}`;

// A run that can be measured in space states its angles, distances and detector spacing.
export const measurable = (image: Image | null): boolean =>
  image !== null && image.view !== null && image.sid_mm !== null && image.sod_mm !== null && image.detector_spacing_mm !== null;
export const runs = computed(() => (open.value?.images ?? []).filter((each) => measurable(each.image)));

// Runs among which a second view could be: angiograms, one a file.
export const angiograms = computed(() => (open.value?.images ?? []).filter((each) => ["XA", "RF"].includes(each.image?.modality ?? "")));

// What stands in the way of two views; empty where two runs can be measured together.
export const whyNoPair = computed(() => whyNot(angiograms.value));

export function begin(): void {
  pairing.value = true;
}

// The points behind a fact that two views gave; null for any other fact.
export const pointsBehind = (fact: Fact | null): PairPoints | null => (fact === null ? null : pointsFrom(fact.two_views));
// `views`: how the places of each side came to be is kept with them.
export function reopen(points: PairPoints, views: readonly ViewOrigin[], was: { readonly method: string; readonly words: string } | null): void {
  before.value = was;
  taken.value = kSides.flatMap((side, at) => {
    const view = views[at];
    return view === undefined || view.method === "" ? [] : view.marks.map((mark) => takenKey(side, mark.points)).map((key) => ({ key, method: view.method }));
  });
  wanted.value = points;
  pairing.value = true;
}
