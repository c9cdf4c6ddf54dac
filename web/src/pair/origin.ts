// SPDX-License-Identifier: Apache-2.0
// What was marked in two pictures: as the pictures of the accepted fact's origin, and back from what the engine says of such a
// fact, from which the same measurement is opened again (docs/wire.md, "The pictures of a measurement").
import { arrayOf, count, fallback, isRecord, maybe, number, object, oneOf, text, WireError, type Parser } from "../wire/parse";
import { kSides, type InSides, type PairPoints, type Pixel, type Side } from "../wire/pair";
import type { ViewSent } from "../wire/shapes";

type Line = InSides<readonly Pixel[]>;
const kBeside = [["vessel before", "before"], ["inside", "course"], ["vessel after", "after"]] as const;

// `methodOf` says how the places of one side came to be; empty where they were clicked.
export function viewsOf(points: PairPoints, methodOf: (side: Side) => string): ViewSent[] {
  const o = points.occlusion;
  return kSides.map((side) => {
    const { image, frame, shift_mm } = points.frames[side];
    const one = (name: string, at: InSides<Pixel> | undefined) => ({ name, places: at?.[side] ? [at[side]] : [] });
    const many = (name: string, line: Line | undefined) => ({ name, places: line?.[side] ?? [] });
    const marks = [
      one("near cap", o?.near_cap), one("far cap", o?.far_cap), ...kBeside.map(([name, key]) => many(name, o?.[key])),
      ...points.marks.map((mark) => one(mark.name, mark.at)), ...points.paths.map((path) => many(path.kind === "vessel" ? "vessel" : "channel", path.at)),
    ];
    const method = methodOf(side);
    return {
      image, frame, ...(method === "" ? {} : { method }), ...(side === "a" ? {} : shift_mm ? { table: "moved", shift_mm: [...shift_mm] } : { table: points.table }),
      marks: marks.filter((mark) => mark.places.length > 0).map(({ name, places }) => ({ name, points: places.map(([x, y]) => ({ x, y })) })),
    };
  });
}

const pixel: Parser<Pixel> = (value, path) => {
  const [x, y, ...more] = arrayOf(number)(value, path);
  if (x === undefined || y === undefined || more.length > 0) throw new WireError(path, "a column and a row", value);
  return [x, y];
};
const sides = <T>(item: Parser<T>): Parser<InSides<T>> => (value, path) => {
  if (!isRecord(value)) throw new WireError(path, "what each side shows", value);
  return Object.fromEntries(kSides.flatMap((side) => (value[side] === undefined ? [] : [[side, item(value[side], `${path}.${side}`)]])));
};
const frame = object({ image: text, frame: count, shift_mm: maybe(arrayOf(number)) });
const line = sides(arrayOf(pixel));
const whole = object({
  frames: object({ a: frame, b: frame }), table: oneOf("still", "unknown"),
  marks: arrayOf(object({ name: text, at: sides(pixel) })), paths: fallback(arrayOf(object({ name: text, kind: oneOf("vessel", "collateral"), at: line })), []),
  occlusion: maybe(object({ near_cap: sides(pixel), far_cap: sides(pixel), before: maybe(line), course: maybe(line), after: maybe(line) })),
});

// Null where the engine says no two views of a fact, or says them in a way that this page cannot read.
export function pointsFrom(said: unknown): PairPoints | null {
  if (said === null || said === undefined) return null;
  try {
    const { frames, occlusion, ...rest } = whole(said, "two_views");
    const plain = ({ image, frame: at, shift_mm }: (typeof frames)["a"]) => ({ image, frame: at, ...(shift_mm ? { shift_mm } : {}) });
    return {
      ...rest, frames: { a: plain(frames.a), b: plain(frames.b) },
      ...(occlusion ? { occlusion: {
        near_cap: occlusion.near_cap, far_cap: occlusion.far_cap,
        ...Object.fromEntries(kBeside.flatMap(([, key]) => { const at = occlusion[key]; return at ? [[key, at]] : []; })),
      } } : {}),
    };
  } catch (error) {
    if (error instanceof WireError) return null;
    throw error;
  }
}
