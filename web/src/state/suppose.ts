// SPDX-License-Identifier: Apache-2.0
// What if: facts that are supposed for a moment. The engine assesses the case with them in place; nothing is written.
import { computed, effect, signal } from "@preact/signals";
import * as engine from "../wire/engine";
import type { Assessment, Belief, ScoreResult } from "../wire/shapes";
import { beliefOut } from "../words/belief";
import { open, past, say, sentence } from "./store";

export interface Supposed {
  readonly name: string;
  readonly of: string; // the channel, or ""
  readonly belief: Belief;
}

export const supposed = signal<readonly Supposed[]>([]);
const answered = signal<Assessment | null>(null);
// What every picture of Plan shows: the assessment under the supposed facts, else the case's own.
export const assessed = computed<Assessment | null>(() => (supposed.value.length > 0 ? answered.value : null) ?? open.value?.assessment ?? null);

const same = (a: Supposed, name: string, of: string) => a.name === name && a.of === of;
export function suppose(next: Supposed): void {
  const held = supposed.value;
  supposed.value = held.some((each) => same(each, next.name, next.of))
    ? held.map((each) => (same(each, next.name, next.of) ? next : each)) : [...held, next];
}
export function supposeNoMore(name: string, of: string): void {
  supposed.value = supposed.value.filter((each) => !same(each, name, of));
}

// The file of facts that the engine takes (docs/wire.md).
export function factsOut(all: readonly Supposed[]): Record<string, unknown> {
  const channels: Record<string, Record<string, unknown>> = {};
  const out: Record<string, unknown> = {};
  for (const { name, of, belief } of all) {
    if (of === "") out[name] = beliefOut(belief);
    else channels[of] = { ...channels[of], [name]: beliefOut(belief) };
  }
  return Object.keys(channels).length === 0 ? out : { ...out, channels };
}

// The scores whose totals differ between two assessments, in the order of the second.
export function changed(before: Assessment, after: Assessment): readonly { readonly before: ScoreResult; readonly after: ScoreResult }[] {
  const figures = (result: ScoreResult) => JSON.stringify([result.applies, result.totals ? [...result.totals] : null, result.reachable, result.low, result.high]);
  const held = new Map(before.scores.map((result) => [`${result.id}/${result.of ?? ""}`, result]));
  return after.scores.flatMap((result) => {
    const was = held.get(`${result.id}/${result.of ?? ""}`);
    return was && figures(was) !== figures(result) ? [{ before: was, after: result }] : [];
  });
}

const kRestMs = 100; // at most ten questions a second while a slider moves
let asking: AbortController | null = null;
let timer = 0;

async function ask(id: string, facts: readonly Supposed[]): Promise<void> {
  asking?.abort();
  const mine = new AbortController();
  asking = mine;
  try {
    const found = await engine.assess(id, factsOut(facts), mine.signal);
    if (!mine.signal.aborted) answered.value = found;
  } catch (error) {
    if (!mine.signal.aborted) say("trouble", sentence(error));
  }
}

// Another case, a past or a new entry: suppositions go with the case they were made on, and are answered anew after an entry.
export function followSuppositions(): void {
  let last = "";
  effect(() => {
    const id = open.value?.case.id ?? "";
    const key = `${id} ${past.value?.at ?? ""}`;
    if (key !== last && id !== "") supposed.value = [];
    if (id !== "") last = key;
  });
  effect(() => {
    const facts = supposed.value;
    const now = open.value;
    clearTimeout(timer);
    if (facts.length === 0 || now === null) {
      answered.value = null;
      return;
    }
    timer = window.setTimeout(() => { void ask(now.case.id, facts); }, kRestMs);
  });
}
