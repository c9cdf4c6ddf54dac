// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { arrayOf, maybe, number, object, oneOf, text, WireError } from "../../src/wire/parse";
import { parseBelief } from "../../src/wire/shapes";
import { beliefOut } from "../../src/words/belief";
import type { Millimetres } from "../../src/wire/units";

describe("The wire's parser", () => {
  it("names the path of what it refuses", () => {
    expect(() => arrayOf(number)([1, "2"], "profile")).toThrow('profile[1]: expected a finite number, got "2"');
    const shape = object({ images: arrayOf(object({ rows: number })) });
    expect(() => shape({ images: [{ rows: 1 }, {}] }, "")).toThrow("images[1].rows: expected a finite number, got nothing");
  });
  it("refuses what is no number, no list, no object, no word of the list", () => {
    for (const bad of [NaN, Infinity, "1", null, undefined, {}, []]) expect(() => number(bad, "x")).toThrow(WireError);
    expect(() => arrayOf(text)({}, "x")).toThrow("x: expected a list");
    expect(() => object({})([], "x")).toThrow("x: expected an object");
    expect(() => oneOf("a", "b")("c", "x")).toThrow("x: expected one of a, b");
  });
  it("takes absent and null as one", () => {
    const shape = object({ doi: maybe(text) });
    expect(shape({}, "")).toEqual({ doi: null });
    expect(shape({ doi: null }, "")).toEqual({ doi: null });
  });
  it("keeps millimetres apart from bare numbers", () => {
    // @ts-expect-error a bare number is not a length
    const length: Millimetres = 3;
    expect(length).toBe(3);
  });
});

describe("A belief", () => {
  it("keeps unknown, unseen and not determinable apart", () => {
    expect(parseBelief(null, "x", "reading").kind).toBe("unknown");
    expect(parseBelief("unseen", "x", "reading").kind).toBe("unseen");
    expect(parseBelief("not determinable", "x", "reading").kind).toBe("not determinable");
  });
  it("reads a bare number as a chance for a flag and as a value elsewhere", () => {
    expect(parseBelief(0.7, "x", "flag")).toEqual({ kind: "flag", yes: 0.7 });
    expect(parseBelief(0.7, "x", "reading")).toEqual({ kind: "number", value: 0.7, sd: null });
  });
  it("comes back as it was sent, for every form of docs/wire.md", () => {
    const forms = [
      ["flag", true], ["flag", false], ["flag", 0.3], ["grade", "blunt"], ["grade", { blunt: 0.7, tapered: 0.3 }], ["count", 19],
      ["reading", { value: 19.2, sd: 1.4 }], ["readings", [12, { value: 30, sd: 2 }]], ["reading", "unseen"], ["reading", "not determinable"], ["flag", null],
    ] as const;
    for (const [type, value] of forms) expect(beliefOut(parseBelief(value, "x", type))).toEqual(value);
  });
});
