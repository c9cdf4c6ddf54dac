// SPDX-License-Identifier: Apache-2.0
// Two numbers by one touch: where it lands says both, coarsely; sliding without lifting makes them exact, one step each few px.
export interface Axis {
  readonly says: string;
  readonly from: number;
  readonly to: number;
  readonly coarse: number; // where a touch lands
  readonly step: number; // what a slide changes
}
export interface Plane {
  readonly says: string;
  readonly x: Axis; // to the right
  readonly y: Axis; // upward
  readonly line: (x: number, y: number) => string;
  readonly holds: (x: number, y: number) => readonly [number, number]; // what cannot be is brought to what can
}

const kPxPerStep = 10;
const kDead = 6;
const digits = (step: number): number => (step < 1 ? 1 : 0);
const within = (axis: Axis, value: number): number => Number(Math.min(axis.to, Math.max(axis.from, value)).toFixed(digits(axis.step)));

// `share` is where on the plane, 0 to 1, from the left and from below.
export const landed = (axis: Axis, share: number): number => within(axis, axis.from + Math.round((share * (axis.to - axis.from)) / axis.coarse) * axis.coarse);
export function moved(axis: Axis, value: number, px: number): number {
  const beyond = Math.max(0, Math.abs(px) - kDead);
  return within(axis, value + Math.sign(px) * Math.round(beyond / kPxPerStep) * axis.step);
}

const turned = (value: number, plus: string, minus: string): string => `${value < 0 ? minus : plus}${Math.abs(value)}`;
const kFree = (x: number, y: number): readonly [number, number] => [x, y];

export function planeOf(verb: string, segment: string): Plane | null {
  switch (verb) {
    case "bp": return {
      says: "systolic to the right, diastolic upward", x: { says: "systolic", from: 50, to: 220, coarse: 5, step: 1 }, y: { says: "diastolic", from: 20, to: 120, coarse: 5, step: 1 },
      line: (x, y) => `bp ${x}/${y}`, holds: (x, y) => [x, Math.min(y, x)],
    };
    case "eem": return {
      says: "least diameter to the right, greatest upward, mm", x: { says: "least", from: 1.5, to: 6, coarse: 0.2, step: 0.1 }, y: { says: "greatest", from: 1.5, to: 6.5, coarse: 0.2, step: 0.1 },
      line: (x, y) => `eem a ${x.toFixed(1)}x${y.toFixed(1)}${segment === "" ? "" : ` seg:${segment}`}`, holds: (x, y) => [x, Math.max(x, y)],
    };
    case "view": return {
      says: "RAO to LAO to the right, CAU to CRA upward, degrees", x: { says: "LAO", from: -90, to: 100, coarse: 5, step: 1 }, y: { says: "CRA", from: -45, to: 45, coarse: 5, step: 1 },
      line: (x, y) => `view ${turned(x, "LAO", "RAO")} ${turned(y, "CRA", "CAU")}`, holds: kFree,
    };
    default: return null;
  }
}
