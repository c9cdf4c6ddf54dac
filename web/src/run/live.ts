// SPDX-License-Identifier: Apache-2.0
// The run's board as the engine last gave it, asked for again whenever the case changed or what it said no longer holds.
import { effect, signal } from "@preact/signals";
import { caseId, news, open, past, stage } from "../state/store";
import { EngineError } from "../wire/engine";
import { readRun } from "./ask";
import type { Board } from "./board";
import { boardClock, rehearsal, waitFor } from "./rehearsal";

export const board = signal<Board | null>(null);
export const boardFault = signal("");
export const now = signal(Date.now()); // ticks every second, for ages

let asked: AbortController | null = null;
let again: ReturnType<typeof setTimeout> | undefined;
let shown = ""; // the case whose board stands in `board`

export async function readBoard(id: string): Promise<void> {
  asked?.abort();
  const mine = (asked = new AbortController());
  const then = rehearsal.value !== null ? { at: new Date(boardClock()).toISOString(), known: false } : past.value;
  try {
    const found = await readRun(id, then, mine.signal);
    if (mine.signal.aborted) return;
    board.value = found.board;
    boardFault.value = "";
    clearTimeout(again);
    const rate = rehearsal.value?.rate ?? (past.value === null ? 1 : 0);
    const wait = waitFor(boardClock(), rate, found.holdsUntil, (open.value?.journal ?? []).map((line) => Date.parse(line.at)), rehearsal.value !== null);
    if (wait !== null) again = setTimeout(() => void readBoard(id), wait);
  } catch (error) {
    if (mine.signal.aborted || (error instanceof EngineError && error.status === 0)) return; // the link says so
    boardFault.value = error instanceof Error ? error.message : "The board cannot be read";
  }
}

export function startBoard(): () => void {
  const seconds = setInterval(() => { now.value = boardClock(); }, 1000);
  const follow = effect(() => {
    const id = caseId.value;
    const shows = stage.value === "run" || stage.value === "wall";
    void [news.value, past.value, rehearsal.value]; // any entry of the case, another moment, a stream opened anew
    if (!shows || id === "") return;
    if (shown !== id) board.value = null;
    shown = id;
    now.value = boardClock();
    void readBoard(id);
  });
  return () => {
    clearInterval(seconds);
    clearTimeout(again);
    asked?.abort();
    follow();
  };
}
