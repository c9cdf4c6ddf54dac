// SPDX-License-Identifier: Apache-2.0
// A route as it is asked: one of the usual ways, each stretch measured or left as usual, and what goes along it.
import type { ReachAnswer, ShelfDevice } from "./shapes";
import type { RulerPicture } from "./ruler";

export interface Way {
  readonly words: string;
  readonly segments: readonly string[]; // the engine's names of usual stretches
  readonly other: boolean; // ends in the other guide
}
export const kWays: readonly Way[] = [
  { words: "right coronary, from the front", segments: ["RCA", "posterior descending"], other: false },
  { words: "left anterior descending, from the front", segments: ["left main", "LAD"], other: false },
  { words: "circumflex, from the front", segments: ["left main", "circumflex"], other: false },
  { words: "right coronary, by a septal channel", segments: ["left main", "LAD to septal", "septal channel", "posterior descending", "RCA"], other: true },
  { words: "right coronary, by an epicardial channel", segments: ["left main", "circumflex", "epicardial channel", "posterolateral", "RCA"], other: true },
  { words: "left anterior descending, by a septal channel", segments: ["RCA", "posterior descending", "septal channel", "LAD to septal", "left main"], other: true },
  { words: "left anterior descending, by a same-side channel", segments: ["left main", "LAD", "ipsilateral channel", "LAD", "left main"], other: true },
  { words: "right coronary, by a vein graft", segments: ["vein graft", "posterior descending", "RCA"], other: true },
  { words: "left anterior descending, by a mammary graft", segments: ["mammary graft", "LAD"], other: false },
];

export interface Typed {
  readonly cm: string; // empty: usual
  readonly oneView: boolean;
}

// A number as people type it; null where it is none.
export function typedCm(text: string): number | null {
  const value = Number(text.trim().replace(",", "."));
  return text.trim() !== "" && Number.isFinite(value) && value > 0 ? value : null;
}

const isDevice = (device: ShelfDevice | undefined): device is ShelfDevice => device !== undefined;

// What the engine is asked. A retrograde way with a microcatheter also asks whether each wire can be brought out, and how the
// microcatheter comes off the first of them.
export function reachBody(way: Way, guide: string, typed: readonly Typed[], names: readonly string[], shelf: readonly ShelfDevice[], otherGuide: string): Readonly<Record<string, unknown>> {
  const segments = way.segments.map((name, index) => {
    const cm = typedCm(typed[index]?.cm ?? "");
    return cm === null ? name : { name, length_cm: cm, ...(typed[index]?.oneView ? { from: "one view" } : {}) };
  });
  const cm = typedCm(guide);
  const known = names.map((name) => shelf.find((each) => each.name.toLowerCase() === name.toLowerCase())).filter(isDevice);
  const microcatheter = known.find((each) => each.class === "microcatheter" || each.class === "dual_lumen");
  const wires = known.filter((each) => each.class === "guidewire");
  const other = typedCm(otherGuide);
  return {
    ...(cm === null ? { guide } : { guide_cm: cm }), segments, devices: names, ...(way.other ? { into_other_guide_cm: 3 } : {}),
    ...(way.other && microcatheter && wires.length > 0 && other !== null
      ? { externalise: { microcatheter: microcatheter.name, antegrade_guide_cm: other, wires: wires.map((each) => each.name) } } : {}),
  };
}

// The microcatheter stands at the end of the route, the wire's tip five centimetres beyond it.
export function exchangeBody(need: number, guide: string, names: readonly string[], shelf: readonly ShelfDevice[]): Readonly<Record<string, unknown>> | null {
  const known = names.map((name) => shelf.find((each) => each.name.toLowerCase() === name.toLowerCase())).filter(isDevice);
  const microcatheter = known.find((each) => each.class === "microcatheter" || each.class === "dual_lumen");
  const wire = known.find((each) => each.class === "guidewire");
  const cm = typedCm(guide);
  if (!microcatheter || !wire) return null;
  return { ...(cm === null ? { guide } : { guide_cm: cm }), exchange: { wire: wire.name, microcatheter: microcatheter.name, wire_at_cm: need + 5, microcatheter_at_cm: need } };
}

export function rulerOf(answer: ReachAnswer, way: Way): RulerPicture | null {
  if (answer.need_cm === null || answer.route.length === 0) return null;
  let at = 0;
  const spans = answer.route.map((each) => {
    const from = at;
    at += each.length_cm.value;
    return { name: each.name, from, to: at, sd: each.length_cm.sd, typical: each.typical };
  });
  const devices = answer.devices.map((each) => ({ name: each.name, length: each.usable_cm, reserve: each.reserve_cm, sd: each.sd_cm, verdict: each.verdict, odds: each.odds_reaches }));
  return { side: way.other ? "retrograde" : "antegrade", spans, end: at, whole: Math.max(at, ...devices.map((each) => each.length)) + 4, devices };
}
