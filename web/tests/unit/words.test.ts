// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { chance, decimalsFor, figure, published, publishedRange, reading } from "../../src/words/number";

const flat = (text: string) => text.replace(/\s/g, " ");

describe("A reading in words", () => {
  it("has as many decimals as its spread supports", () => {
    expect(flat(reading(19.2345, 1.42, "mm"))).toBe("19.2 ± 1.4 mm");
    expect(flat(reading(0.14234, 0.0041, "mm"))).toBe("0.1423 ± 0.0041 mm");
    expect(flat(reading(123.4, 12, "mL"))).toBe("123 ± 12 mL");
    expect(decimalsFor(1e-9)).toBe(4);
  });
  it("stands as typed where no spread is known", () => expect(flat(reading(67, null, "years"))).toBe("67 years"));
  it("writes the minus sign, but not on a zero", () => {
    expect(figure(-28, 0)).toBe("\u221228");
    expect(figure(-0.01, 0)).toBe("0");
  });
});

describe("A chance in words", () => {
  it("comes in whole tens", () => expect([0.55, 0.12, 0.94].map(chance)).toEqual(["6 in 10", "1 in 10", "9 in 10"]));
  it("never rounds to certainty or to nothing", () => {
    expect(chance(0.97)).toBe("over 9 in 10");
    expect(chance(0.02)).toBe("under 1 in 10");
  });
  it("of a rare published event keeps one figure", () => {
    expect(published(0.02)).toBe("2 in 100");
    expect(published(0.004)).toBe("4 in 1,000");
    expect(published(0)).toBe("none seen");
    expect(published(0.0999)).toBe("1 in 10");
    expect(publishedRange(0.08, 0.35)).toBe("8 to 35 in 100");
    expect(publishedRange(0.1, 0.42)).toBe("1 to 4 in 10");
    expect(publishedRange(0.004, 0.047)).toBe("under 1 to 5 in 100");
    expect(publishedRange(0.0005, 0.0047)).toBe("1 to 5 in 1,000");
    expect(publishedRange(0.0226, 0.0231)).toBe("2 in 100");
  });
});
