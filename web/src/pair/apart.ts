// SPDX-License-Identifier: Apache-2.0
// How far two stated views stand apart, to choose the runs by; what is measured is told by the engine. Pure.
export interface Stated {
  readonly primary_deg: number;
  readonly secondary_deg: number;
}

export const kRefusedBelow = 15; // degrees; the engine refuses (docs/methods-pair.md)
export const kWarnedBelow = 30;

// Between the lines that the beams run along: 0 to 90 degrees, since a view from behind shows the same.
export function apartDeg(a: Stated, b: Stated): number {
  const beam = ({ primary_deg, secondary_deg }: Stated) => {
    const [p, s] = [(primary_deg * Math.PI) / 180, (secondary_deg * Math.PI) / 180];
    return [Math.sin(p) * Math.cos(s), -Math.cos(p) * Math.cos(s), Math.sin(s)] as const;
  };
  const [u, v] = [beam(a), beam(b)];
  const cosine = Math.abs(u[0] * v[0] + u[1] * v[1] + u[2] * v[2]);
  return (Math.acos(Math.min(1, cosine)) * 180) / Math.PI;
}

// How many times the error of views at right angles: root mean square in space (docs/methods-pair.md).
export function timesTheBest(apart: number): number {
  const error = (degrees: number) => Math.sqrt(0.5 + 2 / Math.sin((degrees * Math.PI) / 180) ** 2);
  return error(apart) / error(90);
}
