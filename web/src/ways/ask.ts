// SPDX-License-Identifier: Apache-2.0
// Asks the engine which way, each time the case, what is supposed of its facts, or what is supposed of the session changes.
import { effect, signal } from "@preact/signals";
import { open, past, say, sentence, stage } from "../state/store";
import { factsOut, supposed } from "../state/suppose";
import { askLadder } from "../wire/engine";
import type { LadderAnswer } from "../wire/ladder";

export interface SupposedSession {
  readonly minutes?: number;
  readonly contrast_ml?: number;
  readonly closed: readonly string[];
}
export const session = signal<SupposedSession>({ closed: [] });
export const ladder = signal<LadderAnswer | null>(null);
export const doubted = signal<"no" | "asked" | "yes">("no");

const kRestMs = 150; // while a slider moves
const kThenMs = 1000; // after an answer: how far the order is settled is asked by itself, and given up at the next change
let asking: AbortController | null = null;
let timer = 0;

async function ask(id: string, doubts: boolean, byItself = false): Promise<void> {
  asking?.abort();
  const mine = new AbortController();
  asking = mine;
  try {
    const found = await askLadder({ case: id, facts: factsOut(supposed.value), session: session.value, doubts }, mine.signal);
    if (mine.signal.aborted) return;
    ladder.value = found;
    doubted.value = doubts ? "yes" : "no";
    if (!doubts && found.rungs.length > 0) timer = window.setTimeout(() => { askDoubts(true); }, kThenMs);
  } catch (error) {
    if (mine.signal.aborted) return;
    doubted.value = "no"; // the button asks again
    if (!byItself) say("trouble", sentence(error));
  }
}

// The slower question; the next change of the case takes its answer away.
export function askDoubts(byItself = false): void {
  const id = open.value?.case.id;
  if (id === undefined || stage.value !== "plan") return;
  doubted.value = "asked";
  clearTimeout(timer); // a question that still waits would take this one's place, and this one asks all of it
  void ask(id, true, byItself);
}

export function setClosed(id: string, closed: boolean): void {
  const others = session.value.closed.filter((each) => each !== id);
  session.value = { ...session.value, closed: closed ? [...others, id] : others };
}

export function followLadder(): void {
  let last = "";
  effect(() => {
    const id = open.value?.case.id ?? "";
    if (id !== last) {
      last = id;
      session.value = { closed: [] };
      ladder.value = null;
    }
  });
  effect(() => {
    const id = open.value?.case.id ?? "";
    const key = [id, open.value?.seq, past.value, supposed.value, session.value];
    clearTimeout(timer);
    if (stage.value !== "plan") return; // Run has a question of its own; nobody looks at this one there
    if (id === "" || past.value !== null || key.length === 0) return;
    timer = window.setTimeout(() => { void ask(id, false); }, kRestMs);
  });
}
