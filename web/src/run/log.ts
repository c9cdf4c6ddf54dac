// SPDX-License-Identifier: Apache-2.0
// The log bar's dealings with the engine: the table, the preview of a line, and the way into the queue.
import { signal } from "@preact/signals";
import { keep } from "../queue/queue";
import { caseId, engineNow, say, writer } from "../state/store";
import { EngineError } from "../wire/engine";
import { newUlid } from "../wire/ulid";
import { readGrammar, readLine, zoneMin } from "./ask";
import type { Grammar } from "./grammar";
import { rehearsal } from "./rehearsal";
import { typed } from "./typed";

export type Preview =
  | { readonly kind: "none" }
  | { readonly kind: "asking"; readonly line: string }
  | { readonly kind: "taken"; readonly line: string; readonly says: string; readonly asks: readonly string[] }
  | { readonly kind: "refused"; readonly line: string; readonly why: string }
  | { readonly kind: "away"; readonly line: string };

export const grammar = signal<Grammar | null>(null);
export const preview = signal<Preview>({ kind: "none" });
export const asking = signal(""); // the line about which the engine asks
export const history = signal<readonly string[]>([]); // newest last

let asked: AbortController | null = null;

export async function readTable(): Promise<void> {
  try {
    grammar.value = await readGrammar();
  } catch {
    // Away: the next beat asks again.
  }
}

export async function ask(line: string): Promise<Preview> {
  asked?.abort();
  if (line.trim() === "") return (preview.value = { kind: "none" });
  const mine = (asked = new AbortController());
  preview.value = { kind: "asking", line };
  try {
    const found = await readLine(caseId.value, line, writer.value.trim(), mine.signal);
    if (mine.signal.aborted) return preview.value;
    if (found.refused) return (preview.value = { kind: "refused", line, why: [found.refused.what, found.refused.to_do].filter((piece) => piece !== "").join(": ") });
    return (preview.value = { kind: "taken", line, says: found.says, asks: found.asks.map((each) => `${each.what}: ${each.to_do}`) });
  } catch (error) {
    if (mine.signal.aborted) return preview.value;
    const away = error instanceof EngineError && (error.status === 0 || error.status >= 500);
    return (preview.value = away ? { kind: "away", line } : { kind: "refused", line, why: error instanceof Error ? error.message : "not understood" });
  }
}

// Puts a line into the queue as it was typed: the engine reads it when it takes it.
export async function commit(line: string, meant = false): Promise<boolean> {
  const id = caseId.value;
  const by = writer.value.trim();
  if (rehearsal.value !== null) {
    const read = preview.value.kind === "taken" ? `read as "${preview.value.says}"` : "read";
    say("done", `Rehearsal: ${read}, not kept`);
    typed.value = "";
    preview.value = { kind: "none" };
    return true;
  }
  if (by === "") {
    say("trouble", "Nobody is named as the writer: type your initials above the log, then try again");
    document.getElementById("run-writer")?.focus();
    return false;
  }
  const text = line.trim();
  const now = engineNow().toISOString();
  const entry = { id: newUlid(), at: now, written: now, by, device: "page", text, zone_min: zoneMin(), write: true, ...(meant ? { confirm: true } : {}) };
  await keep({ caseId: id, id: entry.id, at: now, written: now, device: "page", bytes: JSON.stringify(entry), said: text, path: "log", refused: null });
  history.value = [...history.value, text].slice(-50);
  if (typed.value.trim() === text) {
    typed.value = "";
    preview.value = { kind: "none" };
  }
  return true;
}

// Enter: a line that the engine refused stays in the bar; one that it took, or that it could not be asked about, is kept.
export async function enter(): Promise<void> {
  const line = typed.value;
  if (line.trim() === "") return;
  if (asking.value === line) {
    asking.value = "";
    await commit(line, true);
    return;
  }
  const now = preview.value;
  const known = now.kind !== "none" && now.kind !== "asking" && now.line === line ? now : await ask(line);
  if (known.kind === "taken" && known.asks.length > 0) asking.value = line; // the bar asks; a second Enter says that it is meant
  else if (known.kind !== "refused") await commit(line);
}
