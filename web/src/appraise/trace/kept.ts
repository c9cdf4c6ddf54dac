// SPDX-License-Identifier: Apache-2.0
// The courses traced since the case was opened, one a frame, so that two views can take them up instead of clicks.
import { computed, effect, signal } from "@preact/signals";
import { open } from "../../state/store";
import type { ImagePoint } from "../../wire/units";
import { everyTenth } from "./thin";

export interface KeptTrace {
  readonly image: string;
  readonly frame: number;
  readonly course: readonly ImagePoint[];
  readonly method: string; // "trace 5"
}
const kMost = 20;

export const keptTraces = signal<readonly KeptTrace[]>([]);

export function keepTrace(image: string, frame: number, course: readonly (readonly [number, number])[], method: string): void {
  if (course.length < 2) return;
  keptTraces.value = [{ image, frame, course: everyTenth(course), method }, ...keptTraces.value.filter((each) => each.image !== image || each.frame !== frame)].slice(0, kMost);
}

const caseId = computed(() => open.value?.case.id ?? "");
effect(() => {
  caseId.value;
  keptTraces.value = [];
});
