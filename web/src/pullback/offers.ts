// SPDX-License-Identifier: Apache-2.0
// What a reading offers to the facts: each value with its place, its outline in the picture and its method. Pure.
import type { FactName } from "../wire/facts.gen";
import { outline, type Round } from "./round";
import type { Pullback, Section } from "./shapes";

export interface Offer {
  readonly fact: FactName;
  readonly words: string;
  readonly value: number;
  readonly sd: number | null;
  readonly unit: string;
  readonly frame: number;
  readonly where: "here" | "along"; // in the frame that stands, or found along the pullback
  readonly border: "lumen" | "media" | null;
}

export function offers(reading: Pullback, frame: number): Offer[] {
  const list: Offer[] = [];
  const here = reading.sections[frame];
  const at = (index: number | null): Section | null => (index === null ? null : reading.sections[index] ?? null);
  if (here?.eem_min_mm && here.eem_max_mm) {
    list.push({ fact: "media_min_ivus_mm", words: "Vessel, smallest diameter", ...here.eem_min_mm, unit: "mm", frame, where: "here", border: "media" });
    list.push({ fact: "media_max_ivus_mm", words: "Vessel, largest diameter", ...here.eem_max_mm, unit: "mm", frame, where: "here", border: "media" });
  }
  const smallest = at(reading.smallest_lumen);
  if (smallest) list.push({ fact: "lumen_min_ivus_mm2", words: "Smallest lumen", ...smallest.lumen_area_mm2, unit: "mm²", frame: smallest.frame, where: "along", border: "lumen" });
  const burdened = at(reading.largest_burden);
  if (burdened?.plaque_burden) list.push({ fact: "plaque_burden_max_ivus", words: "Largest plaque burden", ...burdened.plaque_burden, unit: "", frame: burdened.frame, where: "along", border: "media" });
  const calcified = reading.sections.reduce<Section | null>((most, each) => (most === null || each.calcium_deg > most.calcium_deg ? each : most), null);
  if (calcified) list.push({ fact: "calcium_arc_ivus_deg", words: "Calcium, largest arc", value: calcified.calcium_deg, sd: null, unit: "deg", frame: calcified.frame, where: "along", border: null });
  const thin = at(reading.thinnest);
  if (thin?.tissue_mm) list.push({ fact: "tissue_ivus_mm", words: "Tissue between the wires", ...thin.tissue_mm, unit: "mm", frame: thin.frame, where: "along", border: null });
  return list;
}

const kOutline = 64;
export function factOf(offer: Offer, reading: Pullback, round: Round, image: string, byHand: number): Record<string, unknown> {
  const section = reading.sections[offer.frame];
  const border = offer.border === null ? [] : (offer.border === "lumen" ? section?.lumen_mm : section?.eem_mm) ?? [];
  const z = section?.z_mm ?? null;
  const method = ["ultrasound pullback", z === null ? "no distances along it" : `${z.toFixed(1)} mm along it`, `pixel ${round.column_mm.toFixed(4)} mm (${reading.pixel_from})`,
    reading.speed_mm_s === null ? "" : `${reading.speed_mm_s} mm/s (${reading.speed_from})`, byHand > 0 ? `${byHand} points by hand` : "borders found by the program"].filter((each) => each !== "").join(", ");
  return {
    fact: offer.fact, value: offer.sd === null ? offer.value : { value: offer.value, sd: offer.sd }, mark: "measured",
    origin: { image, frame: offer.frame, method, points: border.length === 0 ? [] : outline(round, border, kOutline) },
  };
}
