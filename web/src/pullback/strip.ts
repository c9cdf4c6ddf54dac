// SPDX-License-Identifier: Apache-2.0
// The traced vessel as a strip, and places on it. Pure.

// The last point whose place is not beyond `mm`; `along` ascends.
export function indexAt(along: readonly number[], mm: number): number {
  let low = 0;
  let high = along.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((along[middle] ?? 0) <= mm) low = middle;
    else high = middle - 1;
  }
  return Math.max(0, low);
}

export function nearestOn(course: readonly (readonly [number, number])[], x: number, y: number): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  course.forEach((point, index) => {
    const off = (point[0] - x) ** 2 + (point[1] - y) ** 2;
    if (off < least) { least = off; best = index; }
  });
  return best;
}

// The vessel drawn open: its diameter up and down of the middle, the widest filling the height.
export function stripPath(along: readonly number[], across: readonly number[], width: number, height: number): string {
  const total = along.at(-1) ?? 0;
  const widest = Math.max(0.1, ...across);
  if (total <= 0) return "";
  const half = (mm: number) => (mm / widest) * (height / 2 - 2);
  const round = (value: number) => Math.round(value * 10) / 10;
  const up = along.map((mm, index) => `${round((mm / total) * width)},${round(height / 2 - half(across[index] ?? 0))}`);
  const down = along.map((mm, index) => `${round((mm / total) * width)},${round(height / 2 + half(across[index] ?? 0))}`).reverse();
  return `M${[...up, ...down].join("L")}Z`;
}
