// SPDX-License-Identifier: Apache-2.0
// The grey window: which stored values become black and white. Linear function of DICOM PS3.3 C.11.2.1.2.
export interface Window {
  readonly center: number;
  readonly width: number;
}

// Brightness from 0 to 1 of a stored value; the shader does the same (painter.ts).
export function brightness(value: number, window: Window, inverse: boolean): number {
  const width = Math.max(window.width, 1.0001); // a width of 1 is a step: keep the division finite
  const grey = Math.min(1, Math.max(0, (value - (window.center - 0.5)) / (width - 1) + 0.5));
  return inverse ? 1 - grey : grey;
}

// A drag to the right widens, a drag down darkens; one pane's width or height is the whole range of stored values.
export function drag(window: Window, dx: number, dy: number, range: number, pane: number): Window {
  const step = range / Math.max(pane, 1);
  return { center: window.center + dy * step, width: Math.min(2 * range, Math.max(1, window.width + dx * step)) };
}
