// SPDX-License-Identifier: Apache-2.0
// Numbers that carry their unit or their frame in the type, so that a pixel never meets a millimetre unseen.
export type Millimetres = number & { readonly unit: "mm" };
export type MmPerPixel = number & { readonly unit: "mm/px" };

// Column and row of the stored picture, pixel centres at whole numbers.
export interface ImagePoint {
  readonly frame: "image";
  readonly x: number;
  readonly y: number;
}
// CSS pixels from the view's upper left corner.
export interface ScreenPoint {
  readonly frame: "screen";
  readonly x: number;
  readonly y: number;
}

export const imagePoint = (x: number, y: number): ImagePoint => ({ frame: "image", x, y });
export const screenPoint = (x: number, y: number): ScreenPoint => ({ frame: "screen", x, y });
