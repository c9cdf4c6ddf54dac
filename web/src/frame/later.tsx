// SPDX-License-Identifier: Apache-2.0
// A part of the page that is not in its first script: fetched when it is first looked at, or before that, as soon as the
// page has nothing else to do, so that no stage is missing when the engine goes away.
import { signal } from "@preact/signals";
import type { ComponentType } from "preact";

export interface Part {
  readonly Show: ComponentType; // the part, or a line that says why it is not here yet
  readonly fetch: () => Promise<void>; // once; asked again only after it failed
}

// A quiet part shows nothing until it is here.
export function later(word: string, load: () => Promise<ComponentType>, quiet = false): Part {
  const here = signal<ComponentType | null>(null);
  const failed = signal(false);
  let under: Promise<void> | null = null;
  const fetch = (): Promise<void> => {
    under ??= load().then((part) => { here.value = part; failed.value = false; }, () => { failed.value = true; under = null; });
    return under;
  };
  const Show = () => {
    const Found = here.value;
    if (Found !== null) return <Found />;
    if (!failed.value) void fetch();
    if (quiet) return null;
    return failed.value
      ? <p class="empty" role="alert">{word} could not be fetched from the engine. <button type="button" onClick={() => { void fetch(); }}>Try again</button></p>
      : <p class="empty" role="status">Fetching {word}…</p>;
  };
  return { Show, fetch };
}

/** Fetches the parts one after the other while the page is idle. */
export function fetchWhenIdle(parts: readonly Part[]): void {
  const [next, ...rest] = parts;
  if (next === undefined) return;
  const wait = globalThis.requestIdleCallback ?? ((run: () => void) => setTimeout(run, 500));
  wait(() => { void next.fetch().then(() => fetchWhenIdle(rest)); });
}
