// SPDX-License-Identifier: Apache-2.0
// From where the segment is seen: asked anew when the case, the stretch or a weight changes.
import { signal } from "@preact/signals";
import { sentence } from "../state/store";
import { get } from "../wire/engine";
import { kUsual, queryOf, type Asked } from "./asked";
import { viewsAnswer, type Views } from "./shapes";

export const asked = signal<Asked>(kUsual);
export const views = signal<Views | null>(null);
export const viewsTrouble = signal("");

const kRestMs = 150; // while a slider moves

export function askViews(caseId: string, now: Asked): () => void {
  const mine = new AbortController();
  const timer = setTimeout(() => {
    get(`/api/cases/${encodeURIComponent(caseId)}/panels/views${queryOf(now)}`, viewsAnswer, mine.signal)
      .then((found) => { views.value = found; viewsTrouble.value = ""; })
      .catch((error: unknown) => { if (!mine.signal.aborted) viewsTrouble.value = sentence(error); });
  }, kRestMs);
  return () => { clearTimeout(timer); mine.abort(); };
}
