// SPDX-License-Identifier: Apache-2.0
// What a reader sets on a pullback by hand: shown at once, kept by the engine beside the run, seen by every screen. Of two
// screens that set marks at once the later one's changes are laid over the other's.
import { computed, effect, signal } from "@preact/signals";
import { marked, sentence, writer } from "../state/store";
import { EngineError } from "../wire/engine";
import * as ask from "./ask";
import { rescaled, type Marks } from "./laid";
import type { KeptMarks } from "./shapes";

export type Change = (now: Marks) => Marks;

export const kNoMarks: Marks = { corrections: [], wires: [], speed_mm_s: null, pairs: [], vessel: null };
const kUnnamed = "Nobody is named as the writer: type your initials at the lower left, and these points are kept";

interface Hand {
  readonly of: string;       // the run
  readonly pixel_mm: number; // at which distances are given here
  base: KeptMarks;           // what the engine keeps
  changes: readonly Change[]; // that are not kept yet
  sending: boolean;
}
let hand: Hand | null = null;

export const marks = signal<Marks>(kNoMarks);
export const standing = signal<Pick<KeptMarks, "version" | "by" | "recorded"> | null>(null); // null: not asked yet
export const keepTrouble = signal("");
export const keeping = signal(false);
export const ready = signal("");          // the run whose marks are here, with the size of its pixels
export const corrections = computed(() => marks.value.corrections);
export const wires = computed(() => marks.value.wires);
export const typedSpeed = computed(() => marks.value.speed_mm_s);

function show(mine: Hand): void {
  if (hand !== mine) return;
  marks.value = mine.changes.reduce((now, change) => change(now), rescaled(mine.base.marks, mine.pixel_mm));
  standing.value = { version: mine.base.version, by: mine.base.by, recorded: mine.base.recorded };
  keeping.value = mine.changes.length > 0;
}

const out = (next: Marks, pixel_mm: number): ask.MarksOut["marks"] => ({
  pixel_mm, corrections: next.corrections, wires: next.wires, pairs: next.pairs, ...(next.speed_mm_s === null ? {} : { speed_mm_s: next.speed_mm_s }), ...(next.vessel === null ? {} : { vessel: next.vessel }),
});

async function send(mine: Hand): Promise<void> {
  if (mine.sending || mine.changes.length === 0) return;
  const by = writer.peek().trim();
  if (by === "") {
    if (hand === mine) keepTrouble.value = kUnnamed;
    return;
  }
  mine.sending = true;
  try {
    while (mine.changes.length > 0) {
      const taken = mine.changes;
      const next = taken.reduce((now, change) => change(now), rescaled(mine.base.marks, mine.pixel_mm));
      try {
        mine.base = await ask.keepMarks(mine.of, { after: mine.base.version, by, marks: out(next, mine.pixel_mm) });
        mine.changes = mine.changes.slice(taken.length);
      } catch (error) {
        if (!(error instanceof EngineError && error.status === 409)) throw error;
        mine.base = await ask.readMarks(mine.of);
      }
    }
    if (hand === mine) keepTrouble.value = "";
  } catch (error) {
    if (hand === mine) keepTrouble.value = `Not kept: ${sentence(error)}`;
  } finally {
    mine.sending = false;
    show(mine);
  }
}

export function change(by: Change): void {
  const mine = hand;
  if (mine === null) return;
  mine.changes = [...mine.changes, by];
  show(mine);
  void send(mine);
}

export function closeMarks(): void {
  hand = null;
  marks.value = kNoMarks;
  standing.value = null;
  keepTrouble.value = "";
  keeping.value = false;
  ready.value = "";
}

export async function openMarks(of: string, pixel_mm: number): Promise<void> {
  closeMarks();
  const mine: Hand = { of, pixel_mm, base: { version: 0, recorded: null, by: "", device: "", marks: { pixel_mm: null, speed_mm_s: null, corrections: [], wires: [], pairs: [], vessel: null } }, changes: [], sending: false };
  hand = mine;
  try {
    mine.base = await ask.readMarks(of);
  } catch (error) {
    if (hand === mine) keepTrouble.value = `Marks that were kept are not here: ${sentence(error)}`;
  }
  if (hand !== mine) return;
  show(mine);
  ready.value = `${of} ${pixel_mm}`;
}

// While a pullback is on the page: what other screens set, and points that waited for a name. `came`: others' marks are here.
export function attendMarks(came: () => void): () => void {
  const stops = [
    effect(() => {
      const news = marked.value;
      const mine = hand;
      if (news === null || mine === null || news.image !== mine.of || news.version <= mine.base.version || mine.sending) return;
      ask.readMarks(mine.of).then((found) => {
        if (found.version <= mine.base.version) return;
        mine.base = found;
        show(mine);
        if (hand === mine) came();
      }).catch(() => undefined); // the next news brings it
    }),
    effect(() => {
      if (writer.value.trim() !== "" && hand !== null) void send(hand);
    }),
  ];
  return () => { for (const stop of stops) stop(); };
}
