// SPDX-License-Identifier: Apache-2.0
// A cross-section as a list of circles, to scale: the lumen, the shafts in it, each with the number of its device.
import type { Paired, Place } from "./shapes";

export const kPerMm = 44;  // the same in every picture, so that pictures can be compared

export interface Circle {
  readonly x: number;
  readonly y: number;
  readonly r: number;
  readonly mark: string;    // the device's number in the order; empty: a loose wire
  readonly device: number;  // place in `worst`; colours and patterns follow it
}
export interface DiscPicture {
  readonly size: number;    // width and height of the field
  readonly lumen: number;   // radius
  readonly held: number;    // radius of the least lumen that holds them; 0: it passes
  readonly circles: readonly Circle[];
  readonly bar: number;     // one millimetre
}

// Which device each circle belongs to: a section with a loose wire has two.
export function ownersOf(worst: readonly Paired[]): readonly { device: number; wire: boolean }[] {
  return worst.flatMap(({ section }, device) =>
    section.endsWith("loose wire") ? [{ device, wire: false }, { device, wire: true }] : [{ device, wire: false }]);
}

export function discPicture(lumenMm: number, smallestMm: number, places: readonly Place[], worst: readonly Paired[]): DiscPicture {
  const passes = smallestMm <= lumenMm;
  const widest = Math.max(lumenMm, passes ? 0 : smallestMm);
  const size = widest * kPerMm + 8;
  const middle = size / 2;
  const owners = ownersOf(worst);
  return {
    size, lumen: (lumenMm / 2) * kPerMm, held: passes ? 0 : (smallestMm / 2) * kPerMm, bar: kPerMm,
    circles: places.map((place, index) => {
      const owner = owners[index] ?? { device: index, wire: false };
      // The engine's y points up.
      return { x: middle + place.x_mm * kPerMm, y: middle - place.y_mm * kPerMm, r: (place.diameter_mm / 2) * kPerMm, mark: owner.wire ? "" : String(owner.device + 1), device: owner.device };
    }),
  };
}
