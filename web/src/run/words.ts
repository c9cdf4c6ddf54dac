// SPDX-License-Identifier: Apache-2.0
// The trade's words for what the log keeps as short ones.
import { plain } from "../words/number";

export const strategyNames: ReadonlyMap<string, string> = new Map([
  ["AW", "antegrade wiring"], ["ADR", "dissection and re-entry"], ["RW", "retrograde wiring"], ["RDR", "retrograde dissection and re-entry"],
]);
export const phaseWords: ReadonlyMap<string, string> = new Map([
  ["cap", "cap"], ["body", "body"], ["lumen", "distal lumen"], ["entry", "entry"], ["tracking", "tracking"], ["reentry", "re-entry"],
  ["channel", "channel"], ["catheter", "catheter through"], ["farcap", "far cap"], ["joining", "joining"], ["home", "wire home"],
]);
const kSpaces: ReadonlyMap<string, string> = new Map([
  ["true", "in the true lumen"], ["intraplaque", "in the plaque"], ["extraplaque", "outside plaque"], ["branch", "in a branch"], ["outside", "outside the vessel"], ["unknown", "space not known"],
]);
export const spaceWords = (space: string): string => kSpaces.get(space) ?? space;

interface Sizes {
  readonly kind: string;
  readonly length_cm: number | null;
  readonly size_f: number | null;
  readonly tip_g: number | null;
  readonly depth_cm: number | null;
  readonly diameter_mm: number | null;
  readonly class: string;
  readonly lumens: string;
  readonly kit: string;
  readonly site: string;
}
export function deviceWords(device: Sizes): string {
  const of = (value: number | null, unit: string): string => (value === null ? "" : `${plain(value)} ${unit}`);
  const deep = device.depth_cm === null ? "" : `${plain(device.depth_cm)} cm deep`;
  return [device.kind, device.site, device.class, device.lumens, of(device.size_f, "F"), of(device.diameter_mm, "mm"), of(device.length_cm, "cm"), of(device.tip_g, "g"), deep, device.kit].filter((each) => each !== "").join(" ");
}
