// SPDX-License-Identifier: Apache-2.0
// The two caps of an occlusion, each marked in the frame that shows it: one frame, two frames, or two runs of one pose.
// The marks stay when another run is opened; every figure comes from the engine.
import { computed, effect, signal } from "@preact/signals";
import type { Ink } from "../../image/drawing";
import { say, sentence, write } from "../../state/store";
import { post } from "../../wire/engine";
import { arrayOf, fallback, maybe, number, object, text, type Parsed, type Parser } from "../../wire/parse";
import { WireError } from "../../wire/parse";
import type { PixelSize } from "../../wire/shapes";
import { imagePoint, type ImagePoint } from "../../wire/units";
import { frame, picture } from "../desk";
import { viewsOfCaps } from "./caps-note";
import * as measuring from "../measuring";

export type Role = "near cap" | "near lumen" | "far cap" | "far lumen" | "between" | "landmark near" | "landmark far";
export interface Mark {
  readonly role: Role;
  readonly image: string;
  readonly frame: number;
  readonly at: ImagePoint;
}
export const kRoles: readonly { readonly role: Role; readonly words: string; readonly next: Role }[] = [
  { role: "near cap", words: "near cap", next: "near lumen" },
  { role: "near lumen", words: "lumen 5 mm before it", next: "far cap" },
  { role: "far cap", words: "far cap", next: "far lumen" },
  { role: "far lumen", words: "lumen 5 mm beyond it", next: "between" },
  { role: "between", words: "course between", next: "between" },
  { role: "landmark near", words: "landmark, near moment", next: "landmark far" },
  { role: "landmark far", words: "landmark, far moment", next: "landmark far" },
];

const spread = object({ value: number, sd: number });
const place: Parser<readonly [number, number]> = (value, path) => {
  const [x, y] = arrayOf(number)(value, path);
  if (x === undefined || y === undefined) throw new WireError(path, "two numbers", value);
  return [x, y];
};
export const gapAnswer = object({
  length_mm: spread, parts: arrayOf(object({ name: text, sd: number })), method: text, chord_mm: number, course_from: text,
  course: arrayOf(place), bend: maybe(object({ deg: spread, over_45: number, arm_mm: number })), warnings: fallback(arrayOf(text), []),
});
export type GapAnswer = Parsed<typeof gapAnswer>;

export const role = signal<Role>("near cap");
export const marks = signal<readonly Mark[]>([]);
export const found = signal<GapAnswer | null>(null);
export const nearScale = signal<PixelSize | null>(null);
export const shape = signal("");       // as the reader graded it; empty: not graded
export const ambiguous = signal("");   // "yes", "no" or empty
export const before = signal<{ readonly method: string; readonly words: string } | null>(null); // of a re-opened fact

export const markOf = (list: readonly Mark[], wanted: Role): Mark | undefined => list.find((mark) => mark.role === wanted);

// One mark a role, but for the points between, which are added in order.
export function withMark(list: readonly Mark[], mark: Mark): readonly Mark[] {
  return mark.role === "between" ? [...list, mark] : [...list.filter((each) => each.role !== mark.role), mark];
}

// What the engine is asked; null until both caps are marked.
export function requestOf(list: readonly Mark[], scale: PixelSize | null): Record<string, unknown> | null {
  const near = markOf(list, "near cap");
  const far = markOf(list, "far cap");
  if (!near || !far || scale === null) return null;
  const at = (mark: Mark | undefined) => (mark ? { x: mark.at.x, y: mark.at.y } : undefined);
  const end = (cap: Mark, lumen: Mark | undefined, landmark: Mark | undefined) => ({
    image: cap.image, frame: cap.frame, cap: at(cap), ...(lumen ? { lumen: at(lumen) } : {}), ...(landmark ? { landmark: at(landmark) } : {}),
  });
  const both = markOf(list, "landmark near") && markOf(list, "landmark far");
  const between = list.filter((mark) => mark.role === "between").map((mark) => at(mark));
  return {
    near: end(near, markOf(list, "near lumen"), both ? markOf(list, "landmark near") : undefined),
    far: end(far, markOf(list, "far lumen"), both ? markOf(list, "landmark far") : undefined),
    ...(between.length > 0 ? { between } : {}), pixel_size: scale,
  };
}

export const here = computed<readonly Mark[]>(() => (measuring.task.value === "gap"
  ? marks.value.filter((mark) => mark.image === picture.value?.hash && mark.frame === frame.value) : []));

export function lines(): { readonly ink: Ink; readonly points: readonly ImagePoint[] }[] {
  const answer = found.value;
  const near = markOf(marks.value, "near cap");
  if (measuring.task.value !== "gap" || answer === null || near?.image !== picture.value?.hash || near?.frame !== frame.value) return [];
  return [{ ink: "live", points: answer.course.map(([x, y]) => imagePoint(x, y)) }];
}

let asking: AbortController | null = null;
async function ask(): Promise<void> {
  asking?.abort();
  const body = requestOf(marks.value, nearScale.value);
  if (body === null) {
    found.value = null;
    return;
  }
  const mine = new AbortController();
  asking = mine;
  measuring.busy.value = true;
  try {
    const answer = await post("/api/measure/gap", gapAnswer, body, mine.signal);
    if (!mine.signal.aborted) {
      found.value = answer;
      measuring.trouble.value = "";
    }
  } catch (error) {
    if (mine.signal.aborted) return;
    found.value = null;
    measuring.trouble.value = sentence(error);
  }
  if (!mine.signal.aborted) measuring.busy.value = false;
}

function put(at: ImagePoint): void {
  const image = picture.value;
  if (!image) return;
  const own = role.value;
  if (own === "near cap") nearScale.value = measuring.scaleInForce.value?.size ?? null;
  if (own === "near cap" && nearScale.value === null) {
    measuring.trouble.value = "Pixels only: take the scale from a catheter of known size in this run first.";
    return;
  }
  marks.value = withMark(marks.value, { role: own, image: image.hash, frame: frame.value, at });
  role.value = kRoles.find((each) => each.role === own)?.next ?? own;
  void ask();
}
function move(index: number, to: ImagePoint, done: boolean): void {
  const moved = here.value[index < 0 ? here.value.length - 1 : index];
  if (!moved) return;
  marks.value = marks.value.map((mark) => (mark === moved ? { ...mark, at: to } : mark));
  if (done) void ask();
}
function remove(index: number): void {
  const gone = here.value[index];
  marks.value = marks.value.filter((mark) => mark !== gone);
  void ask();
}
export function clear(): void {
  asking?.abort();
  marks.value = [];
  found.value = null;
  nearScale.value = null;
  shape.value = "";
  ambiguous.value = "";
  before.value = null;
  role.value = "near cap";
}
// The marks behind a fact, each in its run and frame, under the scale of the near one's run; the engine measures them anew.
export function takeUpCaps(taken: readonly Mark[], was: { readonly method: string; readonly words: string }): void {
  measuring.begin("gap");
  clear();
  marks.value = taken;
  nearScale.value = measuring.scaleInForce.value?.size ?? null;
  before.value = was;
  role.value = "between";
  void ask();
}

const originOf = (cap: Mark, method: string, points: readonly Mark[]) => ({
  image: cap.image, frame: cap.frame, method, points: points.map((mark) => ({ x: mark.at.x, y: mark.at.y })),
});

export async function accept(what: "length" | "bend"): Promise<void> {
  const answer = found.value;
  const near = markOf(marks.value, "near cap");
  if (!answer || !near || measuring.busy.value) return;
  const one = marks.value.filter((mark) => mark.image === near.image && mark.frame === near.frame);
  const value = what === "length" ? answer.length_mm : answer.bend?.deg;
  if (!value) return;
  const done = await write("fact", {
    fact: what === "length" ? "length_angio_mm" : "bend_angio_deg", value: { value: value.value, sd: value.sd }, mark: "measured",
    origin: { ...originOf(near, answer.method, one), views: viewsOfCaps(marks.value), ...(what === "length" ? { parts: answer.parts } : {}) },
  });
  if (done) say("done", what === "length" ? "Length accepted: it stands in the journal" : "Bend accepted: it stands in the journal");
}
export async function acceptRead(): Promise<void> {
  const near = markOf(marks.value, "near cap");
  if (!near) return;
  const origin = originOf(near, "read beside the caps", [near]);
  if (shape.value !== "" && !(await write("fact", { fact: "stump_angio", value: shape.value, mark: "read", origin }))) return;
  if (ambiguous.value !== "" && !(await write("fact", { fact: "proximal_cap_ambiguous", value: ambiguous.value === "yes", mark: "read", origin }))) return;
  say("done", "What was read of the cap stands in the journal");
}

effect(() => {
  if (measuring.task.value !== "gap") clear();
});
measuring.gapHooks.put = put;
measuring.gapHooks.move = move;
measuring.gapHooks.remove = remove;
