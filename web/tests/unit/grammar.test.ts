// SPDX-License-Identifier: Apache-2.0
// The log's pad: what can be touched of a line, from the table that the engine serves.
import { describe, expect, it } from "vitest";
import { asBefore, grammarAnswer, nextTotals, padSigns, stepped, verbOf, withDigit, withUnit, type GrammarVerb } from "../../src/run/grammar";
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
    const gauges = [{ id: "kerma", used: 0.88, unit: "Gy" }, { id: "area", used: null, unit: "Gy·cm²" }];
    expect(nextTotals("ak", gauges).slice(0, 2)).toEqual(["ak 0.93Gy", "ak 0.98Gy"]);
    expect(nextTotals("dap", gauges)[0]).toBe("dap 5Gycm2");
    expect(nextTotals("act", gauges)).toEqual([]);
  });
});
