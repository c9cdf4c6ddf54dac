// SPDX-License-Identifier: Apache-2.0
// The queue of this browser: any tab puts entries in, the one that holds the lock sends them.
import { computed, signal } from "@preact/signals";
import { readMe, turnedAway } from "../wire/engine";
import { openStore } from "./indexed";
import { sendAll, verdictOf, type Ended, type Kept, type Store, type Verdict } from "./kept";

export const kept = signal<readonly Kept[]>([]);
export const waiting = computed(() => kept.value.filter((each) => each.refused === null));
export const refused = computed(() => kept.value.filter((each) => each.refused !== null));

export const held = signal(""); // why nothing is taken from this browser, though the engine answers

export const unwritten = signal(""); // why the engine, which answers, cannot write: a disk that is full

const kAgainMs = 1000; // between attempts while the engine is away
const kPatienceMs = 8000; // for one answer

let store: Promise<Store> | null = null;
const theStore = (): Promise<Store> => (store ??= openStore());
const channel = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("fairlead-waiting");
let wake: () => void = () => undefined;
const ears = new Set<(ended: Ended) => void>();

export async function reread(): Promise<void> {
  kept.value = await (await theStore()).all();
}

async function send(each: Kept): Promise<Verdict> {
  try {
    const reply = await fetch(`/api/cases/${encodeURIComponent(each.caseId)}/${each.path}`, {
      method: "POST", headers: { "content-type": "application/json" }, credentials: "same-origin",
      body: each.path === "log" ? each.bytes : `{"entries":[${each.bytes}]}`, signal: AbortSignal.timeout(kPatienceMs),
    });
    return verdictOf(reply.status, await reply.text());
  } catch {
    return { kind: "away" };
  }
}

function tell(ended: Ended): void {
  for (const ear of ears) ear(ended);
  channel?.postMessage(ended);
  void reread();
}

// Told of every entry that was stored or refused, by whichever tab sent it.
export function onEnded(ear: (ended: Ended) => void): () => void {
  ears.add(ear);
  return () => ears.delete(ear);
}

// True where a name and a password would help: not for a printed address that was used, nor for a role.
async function asksForPassword(): Promise<boolean> {
  const me = await readMe().catch(() => null);
  return me !== null && me.asks_for_passwords && me.person === null;
}

async function lead(stop: AbortSignal): Promise<void> {
  while (!stop.aborted) {
    const last = await sendAll(await theStore(), send, tell);
    held.value = last?.kind === "door" ? last.why : "";
    unwritten.value = last?.kind === "away" ? (last.why ?? "") : "";
    if (last?.kind === "door" && (await asksForPassword())) turnedAway.value = true;
    const again = last !== null && (last.kind === "away" || last.kind === "door");
    await new Promise<void>((go) => {
      wake = go;
      if (again) setTimeout(go, kAgainMs);
    });
  }
}

export function startQueue(): () => void {
  const stop = new AbortController();
  if (channel) {
    channel.onmessage = (event: MessageEvent<Ended | "more">) => {
      if (event.data !== "more") for (const ear of ears) ear(event.data);
      void reread();
      wake();
    };
  }
  void navigator.storage?.persist?.().catch(() => undefined);
  void reread();
  void navigator.locks.request("fairlead-waiting", { signal: stop.signal }, () => lead(stop.signal)).catch(() => undefined);
  return () => {
    stop.abort();
    wake();
  };
}

// Resolves when the entry is safe in this browser; the engine may not have it yet.
export async function keep(fresh: Omit<Kept, "n">): Promise<Kept> {
  const added = await (await theStore()).add({ ...fresh, refused: null, asked: false });
  kept.value = [...kept.value, added];
  channel?.postMessage("more");
  wake();
  return added;
}

// The same entry once more, now said to be meant.
export async function sendAsMeant(each: Kept): Promise<void> {
  const { n, asked: _asked, ...rest } = each;
  await keep({ ...rest, bytes: JSON.stringify({ ...(JSON.parse(each.bytes) as object), confirm: true }) });
  await discard(n);
}

export async function discard(n: number): Promise<void> {
  await (await theStore()).remove(n);
  channel?.postMessage("more");
  await reread();
}
