// SPDX-License-Identifier: Apache-2.0
// Where the picture lies in its window: one scale and one offset. Pure; no browser.
import { imagePoint, screenPoint, type ImagePoint, type ScreenPoint } from "../wire/units";

export interface Size {
  readonly width: number;
  readonly height: number;
}
// screen = offset + scale x (image + 0.5): pixel centres stand at whole numbers in the image frame.
export interface Placement {
  readonly scale: number; // CSS pixels for one image pixel
  readonly left: number;
  readonly top: number;
}

export const kSmallestScale = 0.05;
export const kLargestScale = 40;

export function fit(image: Size, pane: Size): Placement {
  const scale = Math.min(pane.width / image.width, pane.height / image.height);
  return { scale, left: (pane.width - image.width * scale) / 2, top: (pane.height - image.height * scale) / 2 };
}

export function toScreen(at: ImagePoint, placement: Placement): ScreenPoint {
  return screenPoint(placement.left + (at.x + 0.5) * placement.scale, placement.top + (at.y + 0.5) * placement.scale);
}

export function toImage(at: ScreenPoint, placement: Placement): ImagePoint {
  return imagePoint((at.x - placement.left) / placement.scale - 0.5, (at.y - placement.top) / placement.scale - 0.5);
}

// Zooms so that the picture's point under `at` stays there.
export function zoomAt(placement: Placement, at: ScreenPoint, factor: number): Placement {
  const scale = Math.min(kLargestScale, Math.max(kSmallestScale, placement.scale * factor));
  const grown = scale / placement.scale;
  return { scale, left: at.x - (at.x - placement.left) * grown, top: at.y - (at.y - placement.top) * grown };
}

// Keeps at least a third of the pane's shorter side covered, so that the picture is never lost.
export function keepInSight(placement: Placement, image: Size, pane: Size): Placement {
  const rim = Math.min(pane.width, pane.height) / 3;
  const clamp = (value: number, extent: number, room: number) =>
    Math.min(room - rim, Math.max(rim - extent, value));
  return {
    scale: placement.scale,
    left: clamp(placement.left, image.width * placement.scale, pane.width),
    top: clamp(placement.top, image.height * placement.scale, pane.height),
  };
}

export function pan(placement: Placement, dx: number, dy: number): Placement {
  return { scale: placement.scale, left: placement.left + dx, top: placement.top + dy };
}

export function insideImage(at: ImagePoint, image: Size): ImagePoint {
  return imagePoint(Math.min(image.width - 1, Math.max(0, at.x)), Math.min(image.height - 1, Math.max(0, at.y)));
}

export function distance(a: ScreenPoint, b: ScreenPoint): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}
