// SPDX-License-Identifier: Apache-2.0
// Entries that wait for the engine. Each is kept in the browser's own store before it is sent, as the bytes that will be
// sent, and erased only when the engine says that it has them. One that is refused stands aside and holds up nothing.
export interface Kept {
  readonly n: number; // order of writing on this device
  readonly caseId: string;
  readonly id: string; // ULID; the engine takes each once
  readonly at: string;
  readonly written: string;
  readonly device: string;
  readonly bytes: string; // JSON of the entry, or of the line as it was typed
  readonly path: "entries" | "log"; // of the case
  readonly said: string; // what the writer typed or touched, for the list on screen
  readonly refused: string | null; // why; null: it waits
  readonly asked?: boolean; // refused only until somebody says that it is meant
}

export interface Store {
  add(fresh: Omit<Kept, "n">): Promise<Kept>;
  all(): Promise<Kept[]>; // by n
  refuse(n: number, why: string, asked: boolean): Promise<void>;
  remove(n: number): Promise<void>;
}

export type Verdict =
  | { readonly kind: "stored"; readonly again: boolean }
  | { readonly kind: "refused"; readonly why: string; readonly asked: boolean }
  | { readonly kind: "away"; readonly why?: string } // no answer, or one that says why it could not be written: try again
  | { readonly kind: "door"; readonly why: string }; // somebody else has to come in first: no fault of the entry

// What an answer of the engine means for one entry. Nothing is refused for a reason that may pass.
export function verdictOf(status: number, body: string): Verdict {
  if (status === 200) {
    try {
      const { entries, asks } = JSON.parse(body) as { entries: { again?: boolean }[]; asks?: { what: string; to_do: string }[] };
      const [receipt] = entries;
      if (receipt !== undefined) return { kind: "stored", again: receipt.again === true };
      const [ask] = asks ?? []; // a line that the engine takes only when it is said to be meant
      if (ask !== undefined) return { kind: "refused", why: `${ask.what}: ${ask.to_do}`, asked: true };
    } catch {
      // Something between the page and the engine answered.
    }
    return { kind: "away" };
  }
  if (status === 401 || status === 403) return { kind: "door", why: sentenceOf(status, body) };
  if (status === 503) return { kind: "away", why: sentenceOf(status, body, "") }; // a disk that is full, told by the engine
  if (status === 0 || status === 408 || status === 429 || status >= 500) return { kind: "away" };
  return { kind: "refused", why: sentenceOf(status, body), asked: false };
}

function sentenceOf(status: number, body: string, otherwise = `the engine refused it with status ${status}`): string {
  try {
    const { what, where, to_do } = (JSON.parse(body) as { error: { what: string; where: string; to_do: string } }).error;
    const place = where.replace(/^entries\[0\](: |\.)?/, "");
    return [place === "" ? what : `${what} (${place})`, to_do].filter((piece) => piece !== "").join(": ");
  } catch {
    return otherwise;
  }
}

export type Ended = { readonly kept: Kept; readonly verdict: Verdict };

// Sends what waits, in order, one at a time, until nothing waits or the engine is away. Gives the last verdict.
export async function sendAll(store: Store, send: (kept: Kept) => Promise<Verdict>, told: (ended: Ended) => void): Promise<Verdict | null> {
  let last: Verdict | null = null;
  for (;;) {
    const next = (await store.all()).find((each) => each.refused === null);
    if (next === undefined) return last;
    last = await send(next);
    if (last.kind === "away" || last.kind === "door") return last;
    if (last.kind === "stored") await store.remove(next.n);
    else await store.refuse(next.n, last.why, last.asked);
    told({ kept: next, verdict: last });
  }
}
