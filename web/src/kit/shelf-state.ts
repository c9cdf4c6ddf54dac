// SPDX-License-Identifier: Apache-2.0
// The lab's shelf as the page holds it: read once, read anew when a list was kept.
import { signal } from "@preact/signals";
import { say, sentence } from "../state/store";
import { searchShelf } from "./ask";
import type { ShelfAnswer } from "./shapes";

export const shelf = signal<ShelfAnswer | null>(null);

export async function refreshShelf(): Promise<void> {
  try {
    shelf.value = await searchShelf("", new AbortController().signal);
  } catch (error) {
    say("trouble", sentence(error));
  }
}
