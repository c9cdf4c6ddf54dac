// SPDX-License-Identifier: Apache-2.0
// Distance, area and angle that a person measures in the cross-section: points are set here, the engine works out the rest.
import { signal } from "@preact/signals";
import { frame, picture } from "../appraise/desk";
import { insideImage } from "../image/geometry";
import { sentence } from "../state/store";
import { imagePoint, type ImagePoint } from "../wire/units";
import * as ask from "./ask";
import { hash, isMeasure, pixelKnown, tool, trouble, typedPixel } from "./on-desk";
import type { Measured } from "./shapes";

export const points = signal<readonly ImagePoint[]>([]);  // of distance, area, angle
export const pointsFrame = signal(0);
export const byHand = signal<Measured | null>(null);

let measuring: AbortController | null = null;
export function clearPoints(): void {
  measuring?.abort();
  points.value = [];
  byHand.value = null;
}
export function addPoint(at: ImagePoint): void {
  if (points.value.length > 0 && pointsFrame.value !== frame.value) clearPoints();
  const most = tool.value === "angle" ? 3 : tool.value === "distance" ? 2 : 100;
  if (points.value.length >= most) clearPoints();
  pointsFrame.value = frame.value;
  points.value = [...points.value, at];
  void measure();
}
export function dragPoint(index: number, to: ImagePoint, done: boolean): void {
  const at = index < 0 ? points.value.length - 1 : index;
  points.value = points.value.map((point, each) => (each === at ? to : point));
  if (done) void measure();
}
export function removePoint(index: number): void {
  points.value = points.value.filter((_, each) => each !== index);
  void measure();
}
export function nudgePoint(index: number, dx: number, dy: number): void {
  const image = picture.value;
  if (!image) return;
  points.value = points.value.map((point, each) => (each === index ? insideImage(imagePoint(point.x + dx, point.y + dy), { width: image.columns, height: image.rows }) : point));
  void measure();
}
async function measure(): Promise<void> {
  measuring?.abort();
  byHand.value = null;
  const kind = tool.value;
  if (!isMeasure(kind) || !pixelKnown.value) return;
  if (points.value.length < (kind === "distance" ? 2 : 3)) return;
  const mine = new AbortController();
  measuring = mine;
  try {
    const found = await ask.measureByHand({ image: hash.value, kind, points: points.value, ...(typedPixel.value === null ? {} : { pixel_mm: typedPixel.value }) }, mine.signal);
    if (!mine.signal.aborted) byHand.value = found;
  } catch (error) {
    if (!mine.signal.aborted) trouble.value = sentence(error);
  }
}
