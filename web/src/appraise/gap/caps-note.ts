// SPDX-License-Identifier: Apache-2.0
// Where every mark of a measurement between caps stands, run and frame by run and frame: as the pictures of the accepted fact's
// origin, and back from them or, in older journals, from the line that the fact held as its note (docs/wire.md, "The pictures
// of a measurement").
import { imagePoint } from "../../wire/units";
import type { Fact, ViewSent } from "../../wire/shapes";
import type { Mark, Role } from "./marks";

const kHead = "Caps";
const kPart = " | ";
const kRoles: readonly Role[] = ["near cap", "near lumen", "far cap", "far lumen", "between", "landmark near", "landmark far"];
const hundredth = (value: number): number => Math.round(value * 100) / 100;

// One a frame; marks of one kind in the order in which they were set.
export function viewsOfCaps(marks: readonly Mark[]): ViewSent[] {
  const frames = marks.filter((mark, at) => marks.findIndex((each) => each.image === mark.image && each.frame === mark.frame) === at);
  return frames.map(({ image, frame }) => {
    const here = marks.filter((mark) => mark.image === image && mark.frame === frame);
    return {
      image, frame,
      marks: kRoles.flatMap((role) => {
        const points = here.filter((mark) => mark.role === role).map(({ at }) => ({ x: hundredth(at.x), y: hundredth(at.y) }));
        return points.length === 0 ? [] : [{ name: role, points }];
      }),
    };
  });
}

const bothCaps = (marks: readonly Mark[]): readonly Mark[] | null =>
  (marks.some((mark) => mark.role === "near cap") && marks.some((mark) => mark.role === "far cap") ? marks : null);

const kFrame = /^([A-G]) ([0-9a-f]{64}) frame (\d{1,6})$/;
const kMark = /^([a-z]+(?: [a-z]+)?) ([A-G]) (-?\d{1,5}(?:\.\d+)?),(-?\d{1,5}(?:\.\d+)?)$/;

// Null where the note is not that of caps, or cannot be read whole.
export function capsFrom(note: string): readonly Mark[] | null {
  const [head, ...rest] = note.split(kPart);
  if (head !== kHead) return null;
  const frames = new Map<string, { readonly image: string; readonly frame: number }>();
  const marks: Mark[] = [];
  for (const part of rest) {
    const frame = kFrame.exec(part);
    if (frame?.[1] && frame[2]) {
      frames.set(frame[1], { image: frame[2], frame: Number(frame[3]) - 1 });
      continue;
    }
    const found = kMark.exec(part);
    const role = kRoles.find((each) => each === found?.[1]);
    const on = frames.get(found?.[2] ?? "");
    if (!found || !role || !on || on.frame < 0) return null;
    marks.push({ role, ...on, at: imagePoint(Number(found[3]), Number(found[4])) });
  }
  return bothCaps(marks);
}

// The marks behind a fact; null where it was not measured between caps. A second picture that says how the table stood is one
// of two views.
export function capsOf(fact: Fact): readonly Mark[] | null {
  const views = fact.origin?.views ?? [];
  if (views.length === 0) return capsFrom(fact.note);
  if (views.some((view) => view.table !== "")) return null;
  const marks = views.flatMap((view) => view.marks.flatMap((mark) => {
    const role = kRoles.find((each) => each === mark.name);
    return role ? mark.points.map(({ x, y }) => ({ role, image: view.image, frame: view.frame, at: imagePoint(x, y) })) : [];
  }));
  return bothCaps(marks);
}
