// SPDX-License-Identifier: Apache-2.0
// Answers recorded from the engine pass the page's parsers, and the generated names are those of its dictionary.
import { describe, expect, it } from "vitest";
import { typesOf } from "../../scripts/make-types.mjs";
import kept from "../../src/wire/facts.gen.ts?raw";
import { barPicture, kWidth } from "../../src/plan/bars";
import { groupsWords, outcomeWords, totalsWords } from "../../src/plan/words";
import * as shapes from "../../src/wire/shapes";
import { beliefOut } from "../../src/words/belief";
import assessed from "../recorded/assessment.json";
import facts from "../recorded/facts.json";
import scores from "../recorded/scores.json";
import sources from "../recorded/sources.json";

describe("The engine's dictionary", () => {
  it("passes the parser", () => expect(shapes.factsAnswer(facts, "").facts.length).toBeGreaterThan(50));
  it("is the one that the page's types were made from", () => expect(kept).toBe(typesOf(facts)));
  it("names a source for every fact", () => {
    const known = new Set(shapes.sourcesAnswer(sources, "").sources.map((source) => source.id));
    for (const row of shapes.factsAnswer(facts, "").facts) expect(known, row.name).toContain(row.source);
  });
  it("has only beliefs that the form gives back as they came", () => {
    for (const row of shapes.factsAnswer(facts, "").facts) {
      for (const grade of row.grades) expect(beliefOut(shapes.parseBelief(grade, row.name, row.type))).toBe(grade);
    }
  });
});

describe("The engine's scores", () => {
  const definitions = shapes.scoresAnswer(scores, "").scores;
  const results = shapes.assessment(assessed, "").scores;
  it("pass the parser, each result with its definition", () => {
    expect(results.length).toBeGreaterThan(15);
    for (const result of results) expect(definitions.map((each) => each.id)).toContain(result.id);
  });
  it("are drawn inside their field and told in words", () => {
    for (const result of results) {
      const definition = definitions.find((each) => each.id === result.id);
      if (!definition || !result.applies || result.status === "HOLD") continue;
      const drawn = barPicture(definition, result);
      for (const bar of drawn.bars) expect(bar.x >= 0 && bar.x + bar.width <= kWidth, result.id).toBe(true);
      for (const x of drawn.dots) expect(x >= 0 && x <= kWidth, result.id).toBe(true);
      const words = [totalsWords(result), groupsWords(result), ...result.outcome.map(outcomeWords)].join(" ");
      expect(words, result.id).not.toMatch(/NaN|undefined|null/);
    }
  });
  it("make no total while they are held", () => {
    for (const result of results) if (result.status === "HOLD") expect([result.totals, result.low, result.reachable], result.id).toEqual([null, null, []]);
  });
});
