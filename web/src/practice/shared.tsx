// SPDX-License-Identifier: Apache-2.0
// How the sending of rows to the registry that labs share stands. Cases never wait for it, and it says so.
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { practiceQuery } from "../state/store";
import { readOutbox } from "../wire/engine";
import type { Outbox } from "./audit-shape";
import { outboxWords } from "./words";

const outbox = signal<Outbox | null>(null);
export const isShared = (query: string): boolean => new URLSearchParams(query).get("from") === "shared";
export function showShared(query: string, there: boolean): void {
  const next = new URLSearchParams(query);
  if (there) next.set("from", "shared");
  else next.delete("from");
  location.hash = `#/practice${next.size > 0 ? `?${next.toString()}` : ""}`;
}

export function Shared() {
  useEffect(() => {
    const stop = new AbortController();
    const ask = () => readOutbox(stop.signal).then((found) => { outbox.value = found; }, () => { /* the page's connection says it already */ });
    void ask();
    const again = setInterval(() => void ask(), 15_000);
    return () => { stop.abort(); clearInterval(again); };
  }, []);
  const found = outbox.value;
  if (found === null || !found.on) return null;
  return (
    <section class="pane shared" aria-label="Shared registry"><h2>Shared registry</h2>
      <p>{found.to}, as <b>{found.lab}</b>. <span role="status">{outboxWords(found)}</span></p>
      <button type="button" class="quiet" aria-pressed={isShared(practiceQuery.value)} onClick={() => showShared(practiceQuery.value, !isShared(practiceQuery.value))}>Count from the shared registry</button>
      <p class="dim">Rows leave without the operator and with the day alone. Entries never wait for it.</p>
    </section>
  );
}
