// SPDX-License-Identifier: Apache-2.0
// The contrast-filling line of a run: how dark each frame is on the whole, as a path in a box.
export function sparkPath(filling: readonly number[], width: number, height: number): string {
  if (filling.length < 2) return "";
  const least = Math.min(...filling);
  const span = Math.max(...filling) - least;
  return filling.map((value, index) => {
    const x = (index / (filling.length - 1)) * width;
    const y = span === 0 ? height / 2 : height - 1 - ((value - least) / span) * (height - 2);
    return `${index === 0 ? "M" : "L"}${x.toFixed(1)} ${y.toFixed(1)}`;
  }).join("");
}
