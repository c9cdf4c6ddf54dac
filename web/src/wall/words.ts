// SPDX-License-Identifier: Apache-2.0
// What the wall board says, as plain text: pure, so that it can be checked without a browser. No chance, no word of harm,
// no identifier: an awake patient may read it.
import { usedText, usedUnit } from "../run/gauges";
import type { Case } from "../wire/shapes";
import { age, inOrder, minutesBetween, type Board, type Lane } from "../run/board";

export interface Tile {
  readonly id: "phase" | "act" | "contrast" | "kerma" | "body" | "caution";
  readonly label: string;
  readonly figure: string;
  readonly unit: string;
  readonly lines: readonly { readonly text: string; readonly grave: boolean }[];
}

const kVessels: ReadonlyMap<unknown, string> = new Map([
  ["LAD", "left anterior descending"], ["LCX", "circumflex"], ["RCA", "right coronary"], ["LM", "left main"], ["graft", "graft"],
]);
// The target vessel in words: room and vessel are all that the wall says of the patient.
export function vesselOf(found: Case | null): string {
  const value = found?.facts.find((fact) => fact.name === "occluded_vessel")?.value;
  return kVessels.get(value) ?? "";
}

export const kMostWords = 8;
export const short = (text: string): string => text.split(/\s+/).slice(0, kMostWords).join(" ");

const sideLetter = (side: string): string => (side === "antegrade" ? "a" : side === "retrograde" ? "r" : side);

function laneLine(lane: Lane): { text: string; grave: boolean } {
  const devices = lane.devices.map((each) => [each.tag === "" ? each.words : each.tag, each.space].filter((piece) => piece !== "").join(" "));
  return { text: `${sideLetter(lane.side)}: ${devices.length === 0 ? "nothing" : devices.join(", ")}`, grave: lane.devices.some((each) => each.grave) };
}

export function tiles(board: Board, now: number): readonly Tile[] {
  const gauge = (id: string) => board.gauges.find((each) => each.id === id);
  const figureOf = (id: "contrast" | "kerma", label: string): Tile => {
    const found = gauge(id);
    const since = found?.typedAt ?? null;
    return { id, label: since === null ? label : `${label}, ${age(since, now)}`, figure: found === undefined || found.used === null ? "—" : usedText(found, now), unit: found === undefined ? "" : usedUnit(found, now), lines: [] };
  };
  const clotting = board.clotting;
  const [first, ...others] = inOrder(board.cautions.filter((each) => !each.accepted));
  const phase = board.phase ?? (board.attempt === null ? null : { word: board.attempt.name, since: board.attempt.since });
  return [
    { id: "phase", label: phase?.word ?? "no attempt runs", figure: phase === null ? "—" : String(minutesBetween(phase.since, now)), unit: phase === null ? "" : "min", lines: [] },
    { id: "act", label: clotting?.at == null ? "ACT" : `ACT, ${age(clotting.at, now)}`, figure: clotting?.act == null ? "—" : `${clotting.offScale ? ">" : ""}${Math.round(clotting.act)}`, unit: "", lines: [] },
    figureOf("contrast", "contrast"),
    figureOf("kerma", "air kerma"),
    { id: "body", label: "in the body", figure: "", unit: "", lines: board.lanes.filter((lane) => lane.side === "antegrade" || lane.side === "retrograde").map(laneLine) },
    { id: "caution", label: first === undefined ? "cautions" : "", figure: "", unit: "", lines: first === undefined ? [{ text: "none", grave: false }] : [{ text: short(first.short), grave: first.level === "stop" }, ...(others.length > 0 ? [{ text: `+${others.length} more`, grave: false }] : [])] },
  ];
}
