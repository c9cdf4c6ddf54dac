// SPDX-License-Identifier: Apache-2.0
// What was marked in two pictures, as the note of the accepted fact holds it: a line that a person can read, and from which
// the same measurement is opened again (docs/wire.md, "The note of a measurement in two views").
import { kSides, type InSides, type PairPoints, type Pixel, type Side } from "../wire/pair";

const kHead = "Two views";
const kPart = " | ";
type Beside = "before" | "course" | "after";
const kBeside: readonly (readonly [word: string, key: Beside])[] = [["vessel before", "before"], ["inside", "course"], ["vessel after", "after"]];
const kPaths = [["vessel", "vessel"], ["channel", "collateral"]] as const;

type Line = InSides<readonly Pixel[]>;
const asLine = (at: InSides<Pixel> | undefined): Line => ({ ...(at?.a ? { a: [at.a] } : {}), ...(at?.b ? { b: [at.b] } : {}) });
const written = (word: string, line: Line | undefined): string[] => {
  const sides = kSides.flatMap((side) => { const at = line?.[side] ?? []; return at.length === 0 ? [] : [`${side.toUpperCase()} ${at.map(([x, y]) => `${x},${y}`).join(" ")}`]; });
  return sides.length === 0 ? [] : [`${word} ${sides.join(" ")}`];
};

export function noteOf(points: PairPoints): string {
  const frame = (side: Side): string => {
    const { image, frame: at, shift_mm } = points.frames[side];
    return `${side.toUpperCase()} ${image} frame ${at + 1}${shift_mm ? ` shift ${shift_mm.join(",")} mm` : ""}`;
  };
  const o = points.occlusion;
  return [
    kHead, frame("a"), frame("b"), `table ${points.table}`,
    ...written("near cap", asLine(o?.near_cap)), ...written("far cap", asLine(o?.far_cap)), ...kBeside.flatMap(([word, key]) => written(word, o?.[key])),
    ...points.marks.flatMap((mark) => written(mark.name, asLine(mark.at))), ...points.paths.flatMap((path) => written(path.name, path.at)),
  ].join(kPart);
}

const kFrame = /^([AB]) ([0-9a-f]{64}) frame (\d{1,6})(?: shift (-?[\d.]+),(-?[\d.]+),(-?[\d.]+) mm)?$/;
const kPlaces = "((?: -?[\\d.]+,-?[\\d.]+)+)";
const kClicks = new RegExp(`^([a-z]+(?: [a-z0-9]+)?)(?: A${kPlaces})?(?: B${kPlaces})?$`);
const places = (text: string | undefined): readonly Pixel[] | undefined =>
  text?.trim().split(" ").map((each) => { const [x, y] = each.split(","); return [Number(x), Number(y)] as const; });

// Null where the note is not that of two views, or cannot be read whole.
export function pointsFrom(note: string): PairPoints | null {
  const [head, first, second, table, ...rest] = note.split(kPart);
  const [a, b] = [kFrame.exec(first ?? ""), kFrame.exec(second ?? "")];
  if (head !== kHead || a?.[1] !== "A" || b?.[1] !== "B" || (table !== "table still" && table !== "table unknown")) return null;
  const lines = new Map<string, Line>();
  for (const part of rest) {
    const found = kClicks.exec(part);
    if (!found?.[1]) return null;
    const [left, right] = [places(found[2]), places(found[3])];
    if ([...(left ?? []), ...(right ?? [])].some(([x, y]) => !Number.isFinite(x) || !Number.isFinite(y))) return null;
    lines.set(found[1], { ...(left ? { a: left } : {}), ...(right ? { b: right } : {}) });
  }
  const point = (line: Line | undefined): InSides<Pixel> => {
    const [left, right] = [line?.a?.[0], line?.b?.[0]];
    return { ...(left ? { a: left } : {}), ...(right ? { b: right } : {}) };
  };
  const frame = (found: RegExpExecArray): PairPoints["frames"]["a"] =>
    ({ image: found[2] ?? "", frame: Number(found[3]) - 1, ...(found[4] === undefined ? {} : { shift_mm: [Number(found[4]), Number(found[5]), Number(found[6])] }) });
  const [near, far] = [lines.get("near cap"), lines.get("far cap")];
  return {
    frames: { a: frame(a), b: frame(b) }, table: table === "table still" ? "still" : "unknown",
    marks: [...lines].filter(([word]) => word.startsWith("point ")).map(([name, line]) => ({ name, at: point(line) })),
    paths: kPaths.flatMap(([word, kind]) => { const at = lines.get(word); return at ? [{ name: word, kind, at }] : []; }),
    ...(near && far ? { occlusion: {
      near_cap: point(near), far_cap: point(far),
      ...Object.fromEntries(kBeside.flatMap(([word, key]) => { const at = lines.get(word); return at ? [[key, at]] : []; })),
    } } : {}),
  };
}
