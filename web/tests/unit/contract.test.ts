// SPDX-License-Identifier: Apache-2.0
// Answers recorded from the engine pass the page's parsers, and the generated names are those of its dictionary.
import { describe, expect, it } from "vitest";
import { typesOf } from "../../scripts/make-types.mjs";
import kept from "../../src/wire/facts.gen.ts?raw";
import { factsAnswer } from "../../src/wire/shapes";
import facts from "../recorded/facts.json";

describe("The engine's dictionary", () => {
  it("passes the parser", () => expect(factsAnswer(facts, "").facts.length).toBeGreaterThan(50));
  it("is the one that the page's types were made from", () => expect(kept).toBe(typesOf(facts)));
});
