// SPDX-License-Identifier: Apache-2.0
// Which pullback lies on the desk, how large its pixels are, the tool in the hand, and what went wrong last.
import { computed, signal } from "@preact/signals";
import { chosen, picture } from "../appraise/desk";
import { axisOf, type Round } from "./round";

export type Tool = "look" | "window" | "lumen" | "media" | "stent" | "second" | "catheter" | "distance" | "area" | "angle";
export type Border = "lumen" | "media" | "stent";
export const tool = signal<Tool>("look");
export const trouble = signal("");
export const isBorder = (now: Tool): now is Border => now === "lumen" || now === "media" || now === "stent";
export const isMeasure = (now: Tool): now is "distance" | "area" | "angle" => now === "distance" || now === "area" || now === "angle";

export const hash = computed(() => picture.value?.hash ?? "");
// Typed, and kept in the journal as this run's scale; else the file's own.
export const typedPixel = computed<number | null>(() => chosen.value?.calibration?.mm_per_px ?? null);
export const pixelKnown = computed(() => typedPixel.value !== null || (picture.value?.ultrasound ?? null) !== null);
export const round = computed<Round | null>(() => {
  const image = picture.value;
  if (!image || !pixelKnown.value) return null;
  const size = typedPixel.value;
  const own = image.ultrasound?.spacing_mm;
  return { ...axisOf(image), row_mm: size ?? own?.[0] ?? 0, column_mm: size ?? own?.[1] ?? 0 };
});
