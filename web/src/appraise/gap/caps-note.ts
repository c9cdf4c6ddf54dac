// SPDX-License-Identifier: Apache-2.0
// Where every mark of a measurement between caps stands, run and frame by run and frame, as the note of the accepted fact
// holds it: a line that a person can read and from which the marks are set again (docs/wire.md, "The note of the caps").
import { imagePoint } from "../../wire/units";
import type { Mark, Role } from "./marks";

const kHead = "Caps";
const kPart = " | ";
const kLetters = "ABCDEFG"; // one a frame that carries a mark; there are seven kinds of marks
const kRoles: readonly Role[] = ["near cap", "near lumen", "far cap", "far lumen", "between", "landmark near", "landmark far"];
const tenth = (value: number): number => Math.round(value * 10) / 10;

interface Frame {
  readonly image: string;
  readonly frame: number;
}

export function noteOfCaps(marks: readonly Mark[]): string {
  const frames: Frame[] = [];
  const indexOf = (mark: Mark): number => frames.findIndex((each) => each.image === mark.image && each.frame === mark.frame);
  for (const mark of marks) if (indexOf(mark) < 0) frames.push({ image: mark.image, frame: mark.frame });
  const letter = (mark: Mark): string => kLetters[indexOf(mark)] ?? "";
  return [
    kHead, ...frames.map((each, index) => `${kLetters[index] ?? ""} ${each.image} frame ${each.frame + 1}`),
    ...marks.map((mark) => `${mark.role} ${letter(mark)} ${tenth(mark.at.x)},${tenth(mark.at.y)}`),
  ].join(kPart);
}

const kFrame = /^([A-G]) ([0-9a-f]{64}) frame (\d{1,6})$/;
const kMark = /^([a-z]+(?: [a-z]+)?) ([A-G]) (-?\d{1,5}(?:\.\d+)?),(-?\d{1,5}(?:\.\d+)?)$/;

// Null where the note is not that of caps, or cannot be read whole.
export function capsFrom(note: string): readonly Mark[] | null {
  const [head, ...rest] = note.split(kPart);
  if (head !== kHead) return null;
  const frames = new Map<string, Frame>();
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
  return marks.some((mark) => mark.role === "near cap") && marks.some((mark) => mark.role === "far cap") ? marks : null;
}
