// SPDX-License-Identifier: Apache-2.0
// What lies over the cross-section, as a pure list of lines, marks and words in screen pixels; layer.ts puts it on the page.
import { toScreen, type Placement } from "../image/geometry";
import type { ImagePoint, ScreenPoint } from "../wire/units";
import { reading as readingWords } from "../words/number";
import { distanceAt, pieces, toImage, type Round } from "./round";
import type { Section } from "./shapes";

export type Ink = "lumen" | "media" | "stent" | "cut" | "tissue" | "riding" | "second" | "blind" | "hand";
export type Mark =
  | { readonly kind: "line"; readonly ink: Ink; readonly points: readonly ScreenPoint[]; readonly preview: boolean }
  | { readonly kind: "cross"; readonly ink: Ink; readonly at: ScreenPoint }
  | { readonly kind: "ring"; readonly ink: Ink; readonly at: ScreenPoint; readonly r: number }
  | { readonly kind: "words"; readonly ink: Ink; readonly at: ScreenPoint; readonly text: string };

export interface Shown {
  readonly round: Round | null;
  readonly section: Section | null;
  readonly lumen: readonly number[];
  readonly media: readonly number[];
  readonly stent?: readonly number[];
  readonly preview: boolean;
  readonly cut: number;
  readonly blind_mm: number;
  readonly reach_mm: number;     // how far the cut's line is drawn
  readonly hand: readonly ImagePoint[];
  readonly closed: boolean;      // of the hand's points: an area
  readonly label: string;        // at the last of them
  readonly placement: Placement;
}

export function marks(shown: Shown): Mark[] {
  const list: Mark[] = [];
  const { round, section, placement } = shown;
  const screen = (at: ImagePoint) => toScreen(at, placement);
  if (round !== null) {
    const at = (angle_deg: number, distance_mm: number) => screen(toImage(round, { angle_deg, distance_mm }));
    list.push({ kind: "line", ink: "cut", preview: false, points: [at(shown.cut + 180, shown.reach_mm), at(shown.cut + 180, shown.reach_mm * 0.82)] });
    list.push({ kind: "line", ink: "cut", preview: false, points: [at(shown.cut, shown.reach_mm * 0.82), at(shown.cut, shown.reach_mm)] });
    if (section !== null) {
      const line = (ink: Ink, border: readonly number[], arcs: Section["not_seen"]) => {
        for (const piece of pieces(round, border, arcs)) list.push({ kind: "line", ink, preview: shown.preview, points: piece.map(screen) });
      };
      line("media", shown.media, section.not_seen);
      line("lumen", shown.lumen, section.lumen_not_seen);
      line("stent", shown.stent ?? [], []);
      const px = placement.scale / round.column_mm;
      if (shown.blind_mm > 0) list.push({ kind: "ring", ink: "blind", at: at(0, 0), r: shown.blind_mm * px });
      const { riding_wire: riding, second_wire: second, tissue_mm: tissue } = section;
      if (riding?.seen === true) list.push({ kind: "ring", ink: "riding", at: at(riding.angle_deg, riding.distance_mm), r: 7 });
      if (second?.seen === true) {
        const place = at(second.angle_deg, second.distance_mm);
        if (tissue !== null) {
          const from = at(second.angle_deg, distanceAt(shown.lumen, second.angle_deg));
          list.push({ kind: "line", ink: "tissue", preview: false, points: [from, place] });
        }
        list.push({ kind: "cross", ink: "second", at: place });
        list.push({ kind: "words", ink: "second", at: place, text: tissue === null ? "second wire" : `tissue ${readingWords(tissue.value, tissue.sd, "mm")}` });
      }
    }
  }
  if (shown.hand.length > 1) {
    const line = shown.hand.map(screen);
    const first = line[0];
    list.push({ kind: "line", ink: "hand", preview: false, points: shown.closed && first && line.length > 2 ? [...line, first] : line });
  }
  const last = shown.hand.at(-1);
  if (last && shown.label !== "") list.push({ kind: "words", ink: "hand", at: screen(last), text: shown.label });
  return list;
}
