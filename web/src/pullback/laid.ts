// SPDX-License-Identifier: Apache-2.0
// Marks laid over what is kept, and what came of a reading laid over the one that stands. Pure.
import type { Correction, Pair, WireMark } from "./ask";
import type { KeptMarks, Pullback } from "./shapes";

export interface Marks {
  readonly corrections: readonly Correction[];
  readonly wires: readonly WireMark[];
  readonly speed_mm_s: number | null;
  readonly pairs: readonly Pair[];
  readonly vessel: string | null; // the entry of the fact that holds the trace
}
// Distances that were set at another size of a pixel lie at the same place of the picture.
export function rescaled(kept: KeptMarks["marks"], pixel_mm: number): Marks {
  const factor = kept.pixel_mm === null || kept.pixel_mm === 0 ? 1 : pixel_mm / kept.pixel_mm;
  return {
    corrections: kept.corrections.map((each) => ({ ...each, distance_mm: each.distance_mm * factor })), wires: kept.wires, speed_mm_s: kept.speed_mm_s,
    pairs: kept.pairs.map(({ frame, along_mm, name }) => ({ frame, along_mm, ...(name === "" ? {} : { name }) })), vessel: kept.vessel,
  };
}

// Only the frames that differ came: the others stand.
export function together(before: Pullback, found: Pullback): Pullback {
  if (found.after === null || found.after !== before.number) return found;
  const sections = [...before.sections];
  for (const each of found.sections) sections[each.frame] = each;
  return { ...found, sections };
}
