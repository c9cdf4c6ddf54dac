// SPDX-License-Identifier: Apache-2.0
// Two views in the hand: what is marked, what the engine made of it, and its acceptance. Every figure comes from the engine.
import { computed, effect, signal, untracked } from "@preact/signals";
import * as desk from "../appraise/desk";
import { keptTraces } from "../appraise/trace/kept";
import { insideImage } from "../image/geometry";
import { open, say, sentence, write } from "../state/store";
import { guidePair, kSides, measurePair, type GuideAnswer, type PairAnswer, type PairPoints, type Pixel, type Side } from "../wire/pair";
import { imagePoint, type ImagePoint } from "../wire/units";
import { apartDeg } from "./apart";
import { before, pairing, runs, taken, takenKey, wanted } from "./hand";
import { added, bodyOf, kNothing, markingOf, moved, pointsOf, unmatched, withTrace, type Marking, type Tool } from "./marking";
import { viewsOf } from "./origin";
import { panes } from "./sides";

const kPauseMs = 120; // after the last change, before the engine is asked

export { pairing, runs } from "./hand";
export const tool = signal<Tool>("mark");
export const marking = signal<Marking>(kNothing);
// Where the table stood between the runs; nothing is accepted before somebody said it, if only that nobody knows.
export const table = signal<"unasked" | "still" | "unknown" | "moved">("unasked");
export const shift = signal<readonly [string, string, string]>(["0", "0", "0"]);
export const found = signal<PairAnswer | null>(null);
export const guide = signal<{ readonly side: Side; readonly line: GuideAnswer } | null>(null);
export const trouble = signal("");
export const busy = signal(false);

const millimetres = computed(() => shift.value.map((text) => Number(text.replace(",", ".").replace("\u2212", "-"))));
const frameOf = (side: Side): PairPoints["frames"]["a"] => ({
  image: panes[side].hash.value, frame: panes[side].frame.value,
  ...(side === "b" && table.value === "moved" && millimetres.value.every(Number.isFinite) ? { shift_mm: millimetres.value } : {}),
});
export const body = computed<PairPoints>(() =>
  bodyOf(marking.value, { a: frameOf("a"), b: frameOf("b") }, table.value === "still" ? "still" : "unknown"));
const anything = computed(() => {
  const { marks, paths, occlusion } = body.value;
  return paths.length > 0 || occlusion !== undefined || marks.some((each) => each.at.a && each.at.b);
});

// The run on the desk and, of the others, the one that stands most nearly at a right angle to it.
function chooseRuns(): void {
  const known = (hash: string) => runs.value.find((each) => each.hash === hash);
  const first = known(panes.a.hash.value) ?? known(desk.picture.value?.hash ?? "") ?? runs.value[0];
  const view = first?.image?.view;
  if (!first || !view) return;
  const from = (other: (typeof runs.value)[number]) => (other.image?.view ? apartDeg(view, other.image.view) : 0);
  const others = runs.value.filter((each) => each.hash !== first.hash).sort((a, b) => from(b) - from(a));
  const second = panes.b.hash.value === first.hash ? undefined : known(panes.b.hash.value);
  showRun("a", first.hash);
  showRun("b", (second ?? others[0])?.hash);
}
function showRun(side: Side, hash: string | undefined): void {
  const pane = panes[side];
  if (hash === undefined || pane.hash.value === hash) return;
  pane.hash.value = hash;
  const filling = pane.image()?.filling ?? [];
  pane.show(hash === desk.picture.value?.hash ? desk.frame.value : Math.max(0, filling.indexOf(Math.max(...filling))));
}
export function clear(): void {
  marking.value = kNothing;
  taken.value = [];
  before.value = null;
}
export function end(): void {
  pairing.value = false;
  before.value = null;
}

export function add(side: Side, at: ImagePoint): void {
  marking.value = added(marking.value, tool.value, side, at);
}
export function move(side: Side, handle: number, to: ImagePoint): void {
  marking.value = moved(marking.value, tool.value, side, handle, to);
}
export function take(side: Side, handle: number): void {
  marking.value = moved(marking.value, tool.value, side, handle, null);
}
// The trace of the frame that a side shows; null where there is none.
export const traceOf = (side: Side) => keptTraces.value.find((each) => each.image === panes[side].hash.value && each.frame === panes[side].frame.value) ?? null;
export function takeTrace(side: Side): void {
  const trace = traceOf(side);
  if (!trace) return;
  marking.value = withTrace(marking.value, tool.value, side, trace.course);
  taken.value = [...taken.value, { key: takenKey(side, trace.course), method: trace.method }];
}
// "trace 5" where a line of this side was taken from a trace as it was, else empty: clicked.
const methodOf = (side: Side): string => {
  const lines = Object.values(marking.value.lines).flatMap((line) => (line[side]?.length ? [takenKey(side, line[side])] : []));
  return [...new Set(taken.value.filter(({ key }) => lines.includes(key)).map(({ method }) => method))].join(", ");
};
export function nudge(side: Side, handle: number, dx: number, dy: number): void {
  const image = panes[side].image();
  const at = pointsOf(marking.value, tool.value, side)[handle];
  if (image && at) move(side, handle, insideImage(imagePoint(at.x + dx, at.y + dy), { width: image.columns, height: image.rows }));
}

let asking = new AbortController();
let timer = 0;

async function ask(points: PairPoints, open_: ReturnType<typeof unmatched>): Promise<void> {
  asking.abort();
  const mine = new AbortController();
  asking = mine;
  const measured = anything.value ? measurePair(points, mine.signal) : Promise.resolve(null);
  const to: Side = open_?.side === "a" ? "b" : "a";
  const at: Pixel = [open_?.at.x ?? 0, open_?.at.y ?? 0];
  const line = open_ ? guidePair(points, open_.side, to, at, mine.signal) : Promise.resolve(null);
  const [answer, help] = await Promise.allSettled([measured, line]);
  if (mine.signal.aborted) return;
  found.value = answer.status === "fulfilled" ? answer.value : null;
  trouble.value = answer.status === "rejected" ? sentence(answer.reason) : "";
  guide.value = help.status === "fulfilled" && help.value ? { side: to, line: help.value } : null;
  busy.value = false;
}

// Whatever changes (a click, a frame, the table), the answer on screen belongs to what was before until the new one comes.
effect(() => {
  const points = body.value;
  const open_ = unmatched(marking.value, tool.value);
  clearTimeout(timer);
  if (!pairing.value || points.frames.a.image === "" || points.frames.b.image === "") return;
  busy.value = true;
  timer = window.setTimeout(() => void ask(points, open_), kPauseMs);
});

// A new run or frame: places marked in the one before mean nothing there.
const standing = computed(() => kSides.map((side) => `${panes[side].hash.value}/${panes[side].frame.value}`).join(" "));
let stood = "";
effect(() => {
  const now = standing.value;
  if (now === stood) return;
  stood = now;
  marking.value = kNothing;
});

// Another case: nothing of the one before stays in the hand.
const caseId = computed(() => open.value?.case.id ?? "");
effect(() => {
  caseId.value;
  pairing.value = false;
  before.value = null;
  marking.value = kNothing;
  found.value = null;
  table.value = "unasked";
  for (const side of kSides) panes[side].hash.value = "";
});

export interface Fill {
  readonly fact: string;
  readonly of: string;
  readonly label: string;
  readonly value: number;
  readonly sd: number | null;
  readonly parts: readonly { readonly name: string; readonly sd: number }[];
}
// The facts that this answer can fill; a length that is only a least is not one of them.
// `way`: what a vessel that was followed is of the route: empty, to beyond the lesion, to the channel, or back from it.
export type WayOf = "" | "antegrade_way_mm" | "donor_way_mm" | "recipient_way_mm";
const kWayLabels = { antegrade_way_mm: "way to beyond the occlusion", donor_way_mm: "way to channel", recipient_way_mm: "way back from channel" } as const;
export function fillsOf(answer: PairAnswer, channel: string, way: WayOf = ""): Fill[] {
  const list: Fill[] = [];
  const inside = answer.occlusion;
  if (inside?.course) {
    list.push({ fact: "length_angio_mm", of: "", label: "occlusion length", value: inside.length_mm.value, sd: inside.length_mm.sd, parts: inside.length_mm.parts });
    const bend = inside.course.bend_deg;
    list.push({ fact: "bend_angio_deg", of: "", label: "largest bend", value: bend.value, sd: bend.sd, parts: [] });
  }
  const path = answer.paths.find((each) => each.kind === "collateral");
  if (path && channel !== "") list.push({ fact: "channel_length_mm", of: channel, label: `length of channel ${channel}`, value: path.length_mm.value, sd: path.length_mm.sd, parts: path.length_mm.parts });
  const vessel = answer.paths.find((each) => each.kind === "vessel");
  if (vessel && way !== "" && (way === "antegrade_way_mm" || channel !== "")) {
    const of = way === "antegrade_way_mm" ? "" : channel;
    list.push({ fact: way, of, label: `${kWayLabels[way]}${of === "" ? "" : ` ${of}`}`, value: vessel.length_mm.value, sd: vessel.length_mm.sd, parts: vessel.length_mm.parts });
  }
  return list;
}

export async function accept(fills: readonly Fill[]): Promise<void> {
  const answer = found.value;
  if (!answer || busy.value || table.value === "unasked") return;
  const points = body.value;
  const method = `${answer.method}: ${answer.occlusion?.method ?? "two views"}, ${Math.round(answer.between_deg)}° apart`;
  const first = points.occlusion ? [points.occlusion.near_cap.a, points.occlusion.far_cap.a] : points.paths.flatMap((each) => each.at.a ?? []);
  for (const fill of fills) {
    const done = await write("fact", {
      fact: fill.fact, ...(fill.of === "" ? {} : { of: fill.of }), mark: "measured",
      value: fill.sd === null ? fill.value : { value: fill.value, sd: fill.sd },
      origin: {
        image: points.frames.a.image, frame: points.frames.a.frame, method, parts: fill.parts,
        points: first.flatMap((each) => (each ? [{ x: each[0], y: each[1] }] : [])), views: viewsOf(points, methodOf),
      },
    });
    if (!done) return;
  }
  say("done", `Accepted: ${fills.map((fill) => fill.label).join(", ")}`);
}

function reopen(points: PairPoints): void {
  for (const side of kSides) {
    panes[side].hash.value = points.frames[side].image;
    panes[side].show(points.frames[side].frame);
  }
  const given = points.frames.b.shift_mm;
  table.value = given ? "moved" : points.table;
  if (given) shift.value = [String(given[0] ?? 0), String(given[1] ?? 0), String(given[2] ?? 0)];
  stood = standing.value; // these places belong to the frames just set
  marking.value = markingOf(points);
  tool.value = points.occlusion ? "near" : "mark";
}
// Opened by the tool's key, or from a fact with what was marked for it.
effect(() => {
  const points = wanted.value;
  if (!pairing.value) return;
  untracked(() => {
    if (points) reopen(points);
    else chooseRuns();
    wanted.value = null;
  });
});
