// SPDX-License-Identifier: Apache-2.0
// What every panel reads: the open case, the dictionary, the link, what is on screen. Signals only; no view code.
import { computed, signal } from "@preact/signals";
import * as engine from "../wire/engine";
import type { Case, CaseSummary, FactRow, Me, ScoreDefinition, Source } from "../wire/shapes";
import { keep, waiting } from "../queue/queue";
import { aheadOf, linkAt, openStream, type Link, type Stream } from "../wire/stream";
import { newUlid } from "../wire/ulid";

export type Stage = "appraise" | "plan" | "run" | "record" | "journal" | "cases" | "practice" | "kit" | "wall";
export type Drawer =
  | { readonly kind: "shut" }
  | { readonly kind: "fact"; readonly name: string; readonly of: string }
  | { readonly kind: "score"; readonly id: string; readonly of: string }
  | { readonly kind: "entry"; readonly id: string }
  | { readonly kind: "skin" }
  | { readonly kind: "waiting" }
  | { readonly kind: "help" };
// One of the two pasts of a case: as it was at an instant, or as it was known then.
export interface Past {
  readonly at: string;
  readonly known: boolean;
}
export interface Notice {
  readonly level: "done" | "trouble";
  readonly text: string;
}

export const stage = signal<Stage>("cases");
export const drawer = signal<Drawer>({ kind: "shut" });
export const notice = signal<Notice | null>(null);
export const rows = signal<readonly FactRow[]>([]);
export const scores = signal<readonly ScoreDefinition[]>([]);
export const sources = signal<readonly Source[]>([]);
export const cases = signal<readonly CaseSummary[]>([]);
export const open = signal<Case | null>(null);
export const past = signal<Past | null>(null); // null: the case as it stands
export const practiceQuery = signal(""); // which past cases are looked at; stands in the address
export const caseId = signal(""); // of the case in the address, whether or not the engine could be asked for it
export const news = signal(0); // counts what came of this case by the stream, and every stream that was opened anew
export const link = signal<Link>({ kind: "starting" });
export const version = signal("");
export const me = signal<Me | null>(null); // who the engine takes this browser for
export const theme = signal<"dark" | "light">(localStorage.getItem("fairlead-theme") === "light" ? "light" : "dark");
export const writer = signal(localStorage.getItem("fairlead-writer") ?? "");
export const singleKeys = signal(localStorage.getItem("fairlead-keys") !== "off");
// Channels that the reader has added but about which nothing is written yet.
export const addedChannels = signal<readonly string[]>([]);

export const rowOf = computed(() => new Map(rows.value.map((row) => [row.name, row])));
export const scoreOf = computed(() => new Map(scores.value.map((score) => [score.id, score])));
export const sourceOf = computed(() => new Map(sources.value.map((source) => [source.id, source])));
export const channels = computed(() => [...new Set([...(open.value?.channels ?? []), ...addedChannels.value])].sort());
// What the page last heard of a case: enough to know it again when the page is opened while the engine is away.
export interface Remembered {
  readonly id: string;
  readonly title: string;
  readonly room: string;
}
export const remembered = signal<Remembered | null>(null);
// The last marks that somebody set on a run, on this screen or another.
export const marked = signal<{ readonly image: string; readonly version: number } | null>(null);
export const frozen = computed(() => link.value.kind === "frozen");

export function sentence(error: unknown): string {
  return error instanceof Error ? error.message : "Something failed: reload the page and try again";
}
export function say(level: Notice["level"], text: string): void {
  notice.value = { level, text };
}

let reading: AbortController | null = null;
let stream: Stream | null = null;
let lastHeard: number | null = null;
let differences: readonly number[] = [];

// The engine's clock, as far as the beats told it.
export const engineNow = (): Date => new Date(Date.now() + (differences.length === 0 ? 0 : Math.max(...differences)));

function remember(found: Case): void {
  const { id, title, room } = found.case;
  remembered.value = { id, title, room };
  localStorage.setItem("fairlead-case", JSON.stringify(remembered.value));
}
// Whoever logs out leaves no title behind; entries that wait stay until they are sent.
export function forget(): void {
  localStorage.removeItem("fairlead-case");
}
function recall(id: string): void {
  try {
    const last = JSON.parse(localStorage.getItem("fairlead-case") ?? "null") as Remembered | null;
    remembered.value = last?.id === id ? last : null;
  } catch {
    remembered.value = null;
  }
}

// True when the case is there and was read.
export async function refreshCase(id: string): Promise<boolean> {
  reading?.abort();
  const mine = new AbortController();
  reading = mine;
  try {
    const then = past.value;
    const found = then ? await engine.readPast(id, then.at, then.known, mine.signal) : await engine.readCase(id, mine.signal);
    if (!mine.signal.aborted) {
      open.value = found;
      remember(found);
    }
    return true;
  } catch (error) {
    const away = error instanceof engine.EngineError && error.status === 0;
    if (!mine.signal.aborted && !(away && remembered.value?.id === id)) say("trouble", sentence(error));
    return false;
  }
}

const kListAgainMs = 30000;
const kDoorAgainMs = 3000;
const kDoorPatienceMs = 3000; // a network that swallows what is sent must not keep the log bar away
const kRecentHours = 12; // a case written to within this time counts as open in its room; chosen
// Other cases of this room that were written to lately: the usual way to log into the wrong one.
export const neighbours = computed(() => {
  const mine = open.value?.case;
  if (!mine || mine.room === "") return [];
  const since = Date.now() - kRecentHours * 3600e3;
  return cases.value.filter((each) => each.id !== mine.id && each.room === mine.room && each.worked_at !== null && Date.parse(each.worked_at) > since);
});

export async function refreshCases(): Promise<void> {
  try {
    cases.value = (await engine.readCases()).cases;
  } catch (error) {
    const away = error instanceof engine.EngineError && error.status === 0;
    if (!(away && remembered.value !== null)) say("trouble", sentence(error)); // in a known case the board and the queue say it
  }
}

export async function chooseCase(id: string, next: Stage): Promise<void> {
  if (open.value?.case.id !== id) {
    open.value = null;
    addedChannels.value = [];
    drawer.value = { kind: "shut" };
  }
  caseId.value = id;
  stage.value = next;
  recall(id);
  void refreshCases();
  if ((await refreshCase(id)) || remembered.value !== null) stream?.follow(id);
}

export function addressOf(id: string, next: Stage, then: Past | null): string {
  const time = then === null ? "" : `?at=${encodeURIComponent(then.at)}${then.known ? "&known" : ""}`;
  return next === "cases" ? "#/cases" : `#/case/${encodeURIComponent(id)}/${next}${time}`;
}
export function goTo(next: Stage): void {
  const id = open.value?.case.id ?? (caseId.value === "" ? undefined : caseId.value);
  location.hash = id === undefined ? "#/cases" : addressOf(id, next, past.value);
}
// Goes to one of the pasts, or (null) back to the case as it stands.
export function goBackTo(then: Past | null): void {
  const id = open.value?.case.id ?? (caseId.value === "" ? undefined : caseId.value); // also while the past is being fetched
  drawer.value = { kind: "shut" };
  if (id !== undefined) location.hash = addressOf(id, stage.value, then);
}

const pastIn = (query: string): Past | null => {
  const asked = new URLSearchParams(query);
  const at = asked.get("at");
  return at === null ? null : { at, known: asked.has("known") };
};

const kParts: ReadonlySet<string> = new Set(["appraise", "plan", "run", "record", "journal"]);
const isPart = (part: string | undefined): part is Stage => part !== undefined && kParts.has(part);

function followAddress(): void {
  const [path = "", query = ""] = location.hash.split("?");
  const [, place, id, part] = path.split("/");
  if (place === "wall" && id !== undefined) {
    past.value = null;
    void chooseCase(decodeURIComponent(id), "wall");
    return;
  }
  if (place === "case" && (part === "kit" || part === "practice")) { // they are of no one case
    location.replace(`#/${part}`);
    return;
  }
  if (place === "case" && id !== undefined) {
    past.value = pastIn(query);
    void chooseCase(decodeURIComponent(id), isPart(part) ? part : "appraise");
    return;
  }
  past.value = null;
  if (place === "practice") {
    practiceQuery.value = query;
    stage.value = "practice";
    drawer.value = { kind: "shut" };
    return;
  }
  stage.value = place === "kit" ? "kit" : "cases";
  drawer.value = { kind: "shut" };
  void refreshCases();
}

export async function start(): Promise<void> {
  try {
    me.value = await engine.readMe(AbortSignal.timeout(kDoorPatienceMs));
    if (me.value.asks_for_passwords && me.value.person === null) engine.turnedAway.value = true;
  } catch {
    // The engine is away: what follows says so, and tries again.
  }
  if (engine.turnedAway.value) return; // the page starts anew when somebody has come in
  stream = openStream({
    heard: (now) => {
      lastHeard = Date.now();
      if (now !== null) differences = aheadOf(differences, now, lastHeard);
      tick();
    },
    opened: () => { news.value += 1; if (open.value) void refreshCase(open.value.case.id); },
    changed: (id, seq, said) => {
      if (said && (stage.value === "run" || stage.value === "wall")) return; // the other parts read the case when they are entered
      if (id === caseId.value) news.value += 1;
      if (open.value?.case.id === id && open.value.seq < seq) void refreshCase(id);
    },
    marked: (image, version) => { marked.value = { image, version }; },
  });
  setInterval(tick, 500);
  setInterval(() => { if (frozen.value) void lookAtTheDoor(); }, kDoorAgainMs);
  setInterval(() => { if (open.value && !frozen.value) void refreshCases(); }, kListAgainMs);
  window.addEventListener("hashchange", followAddress);
  followAddress(); // at once: entries can be written while the engine is away
  await readTables();
}

let tablesRead = false;
async function readTables(): Promise<void> {
  try {
    const [facts, table, list, program] = await Promise.all([
      engine.readFacts(), engine.readScores(), engine.readSources(), engine.readVersion()]);
    rows.value = facts.facts;
    scores.value = table.scores;
    sources.value = list.sources;
    version.value = program.version;
    me.value ??= await engine.readMe();
    tablesRead = true;
  } catch (error) {
    if (remembered.value === null && link.value.kind !== "starting") say("trouble", sentence(error));
  }
}

// A session that has ended looks like an engine that is away: the stream is closed. This tells which of the two it is.
async function lookAtTheDoor(): Promise<void> {
  try {
    const seen = await engine.readMe();
    if (seen.asks_for_passwords && seen.person === null) engine.turnedAway.value = true;
  } catch {
    // It is away; the line above the stage says so.
  }
}

function tick(): void {
  const now = linkAt(lastHeard, Date.now());
  const before = link.value;
  if (now.kind === before.kind) return;
  link.value = now;
  if (now.kind !== "live") return;
  if (!tablesRead) void readTables();
  if (caseId.value !== "" && (before.kind === "frozen" || open.value === null)) void refreshCase(caseId.value);
}

// Writes one entry into the open case and reads the case anew. False, with a sentence on screen, when it was refused.
export async function write(kind: engine.EntryOut["kind"], data: Readonly<Record<string, unknown>>, amends?: { id: string; at: string }, at?: string): Promise<boolean> {
  const id = open.value?.case.id;
  if (id === undefined) return false;
  if (past.value !== null) {
    say("trouble", "This is the case as it was: nothing can be written into a past; go back to now, then try again");
    return false;
  }
  if (writer.value.trim() === "") {
    say("trouble", "Nobody is named as the writer: type your initials at the lower left, then try again");
    document.getElementById("writer")?.focus();
    return false;
  }
  const entry = entryOf(kind, data, amends, at);
  if (waiting.value.every((each) => each.caseId !== id)) { // else it would overtake
    try {
      await engine.writeEntries(id, [entry]);
      await refreshCase(id);
      notice.value = null;
      return true;
    } catch (error) {
      if (!(error instanceof engine.EngineError && error.status === 0)) {
        say("trouble", sentence(error));
        return false;
      }
    }
  }
  await keepEntry(id, entry, kind);
  say("done", "The engine is away: kept in this browser, and sent when it is back");
  return true;
}

export function entryOf(kind: engine.EntryOut["kind"], data: Readonly<Record<string, unknown>>, amends?: { id: string; at: string }, at?: string): engine.EntryOut {
  const now = engineNow().toISOString();
  return {
    v: 1, id: newUlid(), at: amends?.at ?? at ?? now, written: now, by: writer.value.trim(), device: "page", kind, data,
    ...(amends ? { amends: amends.id } : {}),
  };
}

// Safe in this browser when it resolves; the queue sends it.
export async function keepEntry(id: string, entry: engine.EntryOut, said: string): Promise<void> {
  await keep({ caseId: id, id: entry.id, at: entry.at, written: entry.written, device: entry.device, bytes: JSON.stringify(entry), said, path: "entries", refused: null });
}

export function setTheme(next: "dark" | "light"): void {
  theme.value = next;
  localStorage.setItem("fairlead-theme", next);
  document.documentElement.dataset["theme"] = next;
}
export function setWriter(name: string): void {
  writer.value = name;
  localStorage.setItem("fairlead-writer", name);
}
export function setSingleKeys(on: boolean): void {
  singleKeys.value = on;
  localStorage.setItem("fairlead-keys", on ? "on" : "off");
}
