// SPDX-License-Identifier: Apache-2.0
// The tables and planes of the log by touch. Lines are compared with the grammar as people write it; that the engine takes
// every one of them is checked in the browser.
import { describe, expect, it } from "vitest";
import { grammarAnswer, verbOf, type GrammarVerb } from "../../src/run/grammar";
import { landed, moved, planeOf, type Plane } from "../../src/run/plane";
import { slid, tablesOf, type Known } from "../../src/run/tables";
import recorded from "../recorded/grammar.json";

const table = grammarAnswer(recorded, "grammar");
const row = (verb: string): GrammarVerb => {
  const found = verbOf(table, verb);
  if (found === null) throw new Error(verb);
  return found;
};
const nothing: Known = { inBody: [], channels: [], running: "" };
const known: Known = { inBody: [{ tag: "g1", side: "a" }, { tag: "w1", side: "a" }, { tag: "w3", side: "r" }, { tag: "m2", side: "r" }], channels: ["c1"], running: "AW" };
const lines = (verb: string, of: Known = known): readonly string[] => tablesOf(row(verb), of).flatMap((each) => each.rows.flatMap((one) => one.cells.map((cell) => cell.line)));

describe("a table of whole lines", () => {
  it("has what is in the body by the log's own number and side", () => {
    expect(lines("knuckle")).toEqual(["knuckle a w1", "knuckle r w3"]);
    expect(lines("space")).toContain("space r w3 intraplaque ultrasound");
    expect(lines("wire")).toContain("wire a w1 out");
    expect(lines("mc")).toContain("mc r m2 out");
    expect(lines("externalise")).toContain("externalise 330cm w3 snared");
    expect(lines("snare")).toContain("snare a three-loop 27mm aorta w3 shaft");
    expect(lines("knuckle", nothing)).toEqual([]); // nothing is in: nothing is offered
  });
  it("has a change of strategy with and without its reason", () => {
    expect(lines("switch")).toContain("switch RW");
    expect(lines("switch")).toContain("switch ADR outside-plaque");
    expect(lines("switch")).toHaveLength(3 * 20); // not to what runs already
    expect(lines("result")).toContain("result failed far-cap again");
  });
  it("has each line once, and none that begins with another verb", () => {
    for (const verb of table.verbs) {
      const all = lines(verb.verb);
      expect(new Set(all).size, verb.verb).toBe(all.length);
      for (const line of all) expect(line.split(" ")[0]).toBe(verb.verb);
    }
  });
});

describe("a slide from a cell", () => {
  it("adds pressure upward and time sideways, and nothing while it is a touch", () => {
    expect(slid("balloon a 2.5x15", "pressure and time", 3, 5)).toBe("balloon a 2.5x15");
    expect(slid("balloon a 2.5x15", "pressure and time", 0, 16 + 12 * 8)).toBe("balloon a 2.5x15 12atm");
    expect(slid("balloon a 2.5x15", "pressure and time", 16 + 20 * 6, 16 + 12 * 8)).toBe("balloon a 2.5x15 12atm 20s");
    expect(slid("stent 3.0x38", "pressure", 100, 16 + 14 * 8)).toBe("stent 3.0x38 14atm"); // a stent has no time
    expect(slid("stent 3.0x38", "", 100, 100)).toBe("stent 3.0x38");
  });
  it("never leaves what a balloon is logged with", () => expect(slid("balloon a 2.5x15", "pressure and time", -9999, 9999)).toBe("balloon a 2.5x15 30atm 120s"));
});

describe("a plane of two numbers", () => {
  const plane = (verb: string, segment = ""): Plane => {
    const found = planeOf(verb, segment);
    if (found === null) throw new Error(verb);
    return found;
  };
  it("reaches each pair by a touch and a slide", () => {
    const { x, y, line } = plane("bp");
    for (let over = x.from; over <= x.to; over += 1) {
      const at = landed(x, (over - x.from) / (x.to - x.from)); // where a finger would land that aims well
      const off = over - at;
      expect(Math.abs(off)).toBeLessThanOrEqual(2);
      expect(moved(x, at, Math.sign(off) * (Math.abs(off) * 10 + 6))).toBe(over);
    }
    expect(moved(x, 130, 5)).toBe(130); // a tremor is no slide
    expect(landed(y, -1)).toBe(20);
    expect(landed(y, 2)).toBe(120);
    expect(line(117, 63)).toBe("bp 117/63");
  });
  it("never says what cannot be: a diastolic above the systolic, a greatest diameter under the least", () => {
    expect(plane("bp").holds(60, 90)).toEqual([60, 60]);
    expect(plane("eem").holds(3.1, 2.5)).toEqual([3.1, 3.1]);
  });
  it("says the segment that is worked in, and angles by their names", () => {
    expect(plane("eem", "13").line(3.1, 3.6)).toBe("eem a 3.1x3.6 seg:13");
    expect(plane("eem").line(3, 3.4)).toBe("eem a 3.0x3.4");
    expect(plane("view").line(-30, -25)).toBe("view RAO30 CAU25");
  });
});
