// SPDX-License-Identifier: Apache-2.0
import { expect, test } from "vitest";
import { findingsFor, kFindings, needsOf } from "../../src/run/findings";
import grammar from "../recorded/grammar.json";

test("each finding's reason is a word that the log takes", () => {
  const words = JSON.stringify(grammar);
  for (const finding of kFindings) expect(words).toContain(`"${finding.reason}"`);
});

test("each step is one that the log takes beside its reason, and all of the log's failures are there", () => {
  const decide = grammar.verbs.find((each) => each.verb === "decide");
  const words = (name: string) => (decide?.fields.find((each) => each.name === name) as { words?: { word: string }[] } | undefined)?.words?.map((each) => each.word) ?? [];
  for (const finding of kFindings) {
    expect(words("reason")).toContain(finding.reason);
    for (const step of finding.steps) expect(words("kind")).toContain(step.word);
    expect(new Set(finding.steps.map((step) => step.word)).size).toBe(finding.steps.length);
  }
  expect(words("reason").filter((reason) => reason !== "planned").sort()).toEqual(kFindings.map((each) => each.reason).sort());
});

test("what only happens in a channel is offered only where a channel is used", () => {
  expect(findingsFor("AW").some((each) => each.reason === "channel-wire")).toBe(false);
  expect(findingsFor("RDR").some((each) => each.reason === "not-joined")).toBe(true);
});

test("no step is an order, and each need is asked of the shelf once", () => {
  for (const finding of kFindings) {
    for (const step of finding.steps) expect(step.says).not.toMatch(/\b(must|should)\b/i);
    expect(new Set(needsOf(finding)).size).toBe(needsOf(finding).length);
  }
});
