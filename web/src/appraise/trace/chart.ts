// SPDX-License-Identifier: Apache-2.0
// The diameter along a traced vessel as paths of an SVG: the band of one sd, the line, the reference, the narrowest
// place. A pure list; profile.tsx puts it on the page.
import type { TraceAnswer } from "../../wire/shapes";

export interface Chart {
  readonly band: string;
  readonly line: string;
  readonly reference: string;  // empty where there is none
  readonly gaps: readonly { readonly from: number; readonly to: number; readonly why: string }[]; // shares of the width
  readonly least: { readonly x: number; readonly y: number } | null;
  readonly ticks: readonly { readonly y: number; readonly text: string }[];
  readonly ends: string;       // length at the right end
}

export const kWide = 320;
export const kHigh = 120;

const counts = (kind: string | undefined): boolean => kind === "measured" || kind === "by hand";

export function chartOf(trace: TraceAnswer): Chart | null {
  const along = trace.along_mm ?? trace.along_px;
  const wide = trace.diameter_mm ?? trace.diameter_px;
  const sds = trace.diameter_sd_mm ?? trace.diameter_sd_px;
  const unit = trace.along_mm ? "mm" : "px";
  const length = along.at(-1);
  if (length === undefined || length <= 0 || wide.length !== along.length) return null;
  const seen = wide.filter((_, index) => counts(trace.kind[index]));
  const most = Math.max(...(seen.length > 0 ? seen : wide), trace.narrowing?.reference_mm.value ?? 0);
  const step = [0.5, 1, 2, 5, 10, 20].find((each) => most / each <= 4) ?? 50;
  const top = Math.ceil((most * 1.15) / step) * step;
  const x = (at: number) => (at / length) * kWide;
  const y = (value: number) => kHigh - (Math.min(Math.max(0, value), top) / top) * kHigh;
  const at = (index: number, off: number) => `${x(along[index] ?? 0).toFixed(1)} ${y((wide[index] ?? 0) + off * (sds[index] ?? 0)).toFixed(1)}`;

  let line = "";
  let band = "";
  const gaps: { from: number; to: number; why: string }[] = [];
  for (let first = 0; first < along.length;) {
    let last = first;
    const good = counts(trace.kind[first]);
    while (last + 1 < along.length && counts(trace.kind[last + 1]) === good) last++;
    const indices = Array.from({ length: last - first + 1 }, (_, each) => first + each);
    if (good) {
      line += indices.map((each, place) => `${place === 0 ? "M" : "L"}${at(each, 0)}`).join("");
      band += `M${indices.map((each) => at(each, 1)).join("L")}L${[...indices].reverse().map((each) => at(each, -1)).join("L")}Z`;
    } else {
      gaps.push({ from: (along[first] ?? 0) / length, to: (along[last] ?? 0) / length, why: trace.kind[first] === "interpolated" ? "another shadow" : "not seen" });
    }
    first = last + 1;
  }
  const narrowing = trace.narrowing;
  const reference = narrowing && unit === "mm"
    ? `M0 ${y(narrowing.reference_line.start_mm).toFixed(1)}L${kWide} ${y(narrowing.reference_line.start_mm + narrowing.reference_line.taper * length).toFixed(1)}` : "";
  const ticks = Array.from({ length: Math.round(top / step) + 1 }, (_, each) => ({ y: y(each * step), text: `${Number((each * step).toFixed(1))}` }));
  return {
    band, line, reference, gaps, ticks,
    least: narrowing && unit === "mm" ? { x: x(narrowing.at_mm), y: y(narrowing.least_mm.value) } : null,
    ends: `${length.toFixed(unit === "mm" ? 1 : 0)} ${unit}`,
  };
}
