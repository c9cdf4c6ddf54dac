// SPDX-License-Identifier: Apache-2.0
// What is told of a wire's space, in words. Pure.
import { chance } from "../words/number";
import type { Chances, Told } from "./shapes";

export const kSpaceWords: Readonly<Record<Told, string>> = { lumen: "true lumen", plaque: "within plaque", inside: "inside the media", outside: "outside the media", unknown: "unknown" };

// Odds are of what is told; below 8 in 10 nothing is.
export function toldChance(told: Told, odds: Chances): string {
  const inside = odds.lumen + odds.plaque;
  if (told === "lumen") return chance(odds.lumen);
  if (told === "plaque") return chance(odds.plaque);
  if (told === "outside") return chance(odds.outside);
  return told === "inside" ? `${chance(inside)}, true lumen or plaque` : `inside ${chance(inside)}: too little to go by`;
}
