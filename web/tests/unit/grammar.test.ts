// SPDX-License-Identifier: Apache-2.0
// The log's pad: what can be touched of a line, from the table that the engine serves.
import { describe, expect, it } from "vitest";
import { asBefore, grammarAnswer, padSigns, verbOf, withDigit, withUnit, type GrammarVerb } from "../../src/run/grammar";
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
});
