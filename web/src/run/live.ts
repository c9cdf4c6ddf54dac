// SPDX-License-Identifier: Apache-2.0
// The run's board as the engine last gave it, asked for again whenever the case changed or what it said no longer holds.
import { effect, signal } from "@preact/signals";
import { caseId, news, open, past, stage } from "../state/store";
import { EngineError } from "../wire/engine";
import { readLacking, readLadder, readRun, type LackingAnswer, type Then } from "./ask";
import type { Board } from "./board";
import { boardClock, rehearsal, waitFor } from "./rehearsal";
import type { LadderAnswer } from "../wire/ladder";

export const board = signal<Board | null>(null);
export const boardFault = signal("");
export const now = signal(Date.now()); // ticks every second, for ages

// Which way, as it stands in the run: weighed apart, for it takes the engine longer; an older answer stays until it comes.
export const ways = signal<LadderAnswer | null>(null);
let askedWays: AbortController | null = null;
let waysAgain: ReturnType<typeof setTimeout> | undefined;

// Of the present one question at a time: entries that come while it is weighed ask once more, together, when it is answered.
let waysOf = ""; // the case that is being weighed as it stands now
let waysStale = false;

async function readWays(id: string, then: Then): Promise<void> {
  clearTimeout(waysAgain);
  if (then === null && waysOf === id) {
    waysStale = true;
    return;
  }
  askedWays?.abort();
  const mine = (askedWays = new AbortController());
  waysOf = then === null ? id : "";
  waysStale = false;
  try {
    const found = await readLadder(id, then, mine.signal);
    if (mine.signal.aborted) return;
    ways.value = found;
    if (then === null && found.now !== null && found.holds_until !== null) waysAgain = setTimeout(() => void readWays(id, null), Date.parse(found.holds_until) - Date.parse(found.now));
  } catch (error) {
    if (!mine.signal.aborted && !(error instanceof EngineError && error.status === 0)) ways.value = null; // the board says what it knows
  }
  if (askedWays !== mine) return; // another question has taken its place
  const more = waysStale; // also of a page that was left and opened again meanwhile
  waysOf = "";
  waysStale = false;
  if (more) void readWays(id, null);
}
// What the ways lack of the shelf: asked when an attempt begins or ends, or something goes in or out; never of a past.
export const lacking = signal<LackingAnswer | null>(null);
const kLackRestMs = 1500; // after the last of several entries
let askedLacking: AbortController | null = null;
let lackAgain: ReturnType<typeof setTimeout> | undefined;
let lackKey = "";
const lackKeyOf = (id: string, found: Board): string => JSON.stringify([id, found.attempt?.number ?? 0, found.begun, found.lanes]);
function lackSoon(id: string, key: string): void {
  if (key === lackKey) return;
  lackKey = key;
  clearTimeout(lackAgain);
  lackAgain = setTimeout(() => void readLack(id), lacking.value === null ? 0 : kLackRestMs);
}
async function readLack(id: string): Promise<void> {
  askedLacking?.abort();
  const mine = (askedLacking = new AbortController());
  try {
    const found = await readLacking(id, mine.signal);
    if (!mine.signal.aborted) lacking.value = found;
  } catch (error) {
    if (!mine.signal.aborted && !(error instanceof EngineError && error.status === 0)) lacking.value = null;
  }
}

const weighs = (found: Board | null): boolean => found !== null && found.begun !== null && found.ended === null;

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
    const before = board.value;
    board.value = found.board;
    boardFault.value = "";
    if (!weighs(found.board) || stage.value !== "run") ways.value = null;
    else if (then !== null || before?.seq !== found.board.seq || ways.value === null) void readWays(id, then);
    if (then !== null || stage.value !== "run" || found.board.ended !== null) lacking.value = null, lackKey = "";
    else lackSoon(id, lackKeyOf(id, found.board));
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
    if (shown !== id) board.value = ways.value = lacking.value = null, lackKey = "";
    shown = id;
    now.value = boardClock();
    void readBoard(id);
  });
  return () => {
    clearInterval(seconds);
    clearTimeout(again);
    clearTimeout(waysAgain);
    asked?.abort();
    askedWays?.abort();
    clearTimeout(lackAgain);
    askedLacking?.abort();
    lackKey = "";
    follow();
  };
}
