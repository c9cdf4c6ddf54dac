// SPDX-License-Identifier: Apache-2.0
// The log's pad: what can be touched of a line, from the table that the engine serves.
import { describe, expect, it } from "vitest";
import { asBefore, grammarAnswer, nextTotals, padSigns, stepped, verbOf, withDigit, withUnit, type GrammarVerb } from "../../src/run/grammar";
import { numberBoards } from "../../src/run/numbers";
import recorded from "../recorded/grammar.json";

const table = grammarAnswer(recorded, "grammar");
const row = (verb: string): GrammarVerb => {
  const found = verbOf(table, verb);
  if (found === null) throw new Error(verb);
  return found;
};

describe("The log's pad", () => {
  it("has the sign that stands between two numbers, and the units of those that need one", () => {
    expect(padSigns(row("bp")).joins).toEqual(["/"]);
    expect(padSigns(row("stent"))).toEqual({ joins: ["x"], units: expect.arrayContaining(["atm"]) as unknown });
    expect(padSigns(row("act")).joins).toEqual([]);
  });
  it("puts digits, the sign and the unit together into what the log reads", () => {
    let line = "balloon a ";
    for (const key of ["2", ".", "5", "x", "1", "5", " "]) line = key === " " ? `${line.trimEnd()} ` : withDigit(line, key);
    line = withUnit(withDigit(withDigit(line, "1"), "2"), "atm");
    expect(line).toBe("balloon a 2.5x15 12atm ");
    expect(withUnit(withDigit(line, "9"), "s")).toBe("balloon a 2.5x15 12atm 9s ");
  });
  it("offers the last lines of the same verb, each once, newest first, without their time", () => {
    const history = ["hep 3000", "act 300", "hep 2000 @-5m", "hep 2000", "hep", "hep 1000", "heparin 500"];
    expect(asBefore(table, row("hep"), history)).toEqual(["heparin 500", "hep 1000", "hep 2000"]);
    expect(asBefore(table, row("stent"), history)).toEqual([]);
  });
  it("steps the last number in the place of its last digit, and never to nothing", () => {
    expect(stepped("ak 0.88", 1)).toBe("ak 0.89");
    expect(stepped("ak 0.88", -10)).toBe("ak 0.78");
    expect(stepped("contrast +15", 1)).toBe("contrast +16");
    expect(stepped("balloon a 2.5x15 12atm 20s", -1)).toBe("balloon a 2.5x15 12atm 19s");
    expect(stepped("stent 3.0x38 14atm", 10)).toBe("stent 3.0x38 24atm");
    expect(stepped("pain 1", -1)).toBeNull();
    expect(stepped("start AW", 1)).toBeNull();
    expect(stepped("act", 1)).toBeNull();
    expect(stepped("wire a in w1", 1)).toBeNull(); // a tag is no number
  });
  it("offers totals above what the console said last", () => {
    const counted = { kerma: 0.88, area: null, fluoro: null };
    expect(nextTotals("ak", counted).slice(0, 2)).toEqual(["ak 0.93Gy", "ak 0.98Gy"]);
    expect(nextTotals("dap", counted)[0]).toBe("dap 5Gycm2");
    expect(nextTotals("act", counted)).toEqual([]);
    expect(nextTotals("dap", { ...counted, area: 100 })[0]).toBe("dap 105Gycm2");
  });
  it("has each whole value that a verb usually takes as one cell, twenty a row", () => {
    const counted = { kerma: 0.88, area: 140.6, fluoro: 40.2 };
    const lines = (verb: string, typed = `${verb} `): string[] => numberBoards(verb, typed, counted).flatMap((each) => each.rows.flat()).map((cell) => cell.line);
    expect(lines("act")).toHaveLength(400); // 100 to 499, the usual ones first
    expect(lines("act")[0]).toBe("act 200");
    expect(lines("act")[144]).toBe("act 344");
    expect(lines("act")[199]).toBe("act 399");
    expect(lines("ak").slice(0, 2)).toEqual(["ak 0.89Gy", "ak 0.90Gy"]); // only above what stands
    expect(lines("ak").at(-1)).toBe("ak 1.88Gy");
    expect(lines("dap")[0]).toBe("dap 142Gycm2");
    expect(lines("fluoro")[0]).toBe("fluoro 41min");
    expect(lines("contrast", "contrast +")).toContain("contrast +17");
    expect(lines("hep")).toContain("hep 3500");
    expect(lines("hep")).toContain("hep 1000IU/h drip");
    expect(lines("bp")).toContain("hr 71"); // the vital signs stand together
    expect(lines("bp")).toContain("spo2 97%");
    expect(lines("bp")).toContain("bp 138");
    expect(lines("bp", "bp 138")).toContain("bp 138/76");
    expect(lines("bp", "bp 70").every((line) => Number(line.split("/")[1]) <= 70)).toBe(true); // the engine refuses another order
    for (const verb of ["act", "ak", "bp"]) for (const each of numberBoards(verb, verb, counted)) for (const row of each.rows) expect(row.length).toBeLessThanOrEqual(20);
  });
  it("has no such board where a number stands already, or the verb takes no plain number", () => {
    const none = { kerma: null, area: null, fluoro: null };
    expect(numberBoards("act", "act 3", none)).toEqual([]);
    expect(numberBoards("bp", "bp 138/76", none)).toEqual([]);
    expect(numberBoards("stent", "stent ", none)).toEqual([]);
    expect(numberBoards("ak", "ak", none)[0]?.rows[0]?.[0]?.line).toBe("ak 0.01Gy");
  });
});
