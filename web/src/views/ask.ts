// SPDX-License-Identifier: Apache-2.0
// From where the segment is seen: asked anew when the case, the stretch or a weight changes.
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { open, past, sentence } from "../state/store";
import { get } from "../wire/engine";
import { oneAtATime } from "../wire/one-at-a-time";
import { kUsual, queryOf, type Asked } from "./asked";
import { viewsAnswer, type Views } from "./shapes";

export const asked = signal<Asked>(kUsual);
export const views = signal<Views | null>(null);
export const viewsTrouble = signal("");
export const viewsOf = signal(""); // the case that `views` is of

const kRestMs = 150; // while a slider moves

export function askViews(caseId: string, now: Asked): () => void {
  const mine = new AbortController();
  const timer = setTimeout(() => {
    get(`/api/cases/${encodeURIComponent(caseId)}/panels/views${queryOf(now)}`, viewsAnswer, mine.signal)
      .then((found) => { views.value = found; viewsOf.value = caseId; viewsTrouble.value = ""; })
      .catch((error: unknown) => { if (!mine.signal.aborted) viewsTrouble.value = sentence(error); });
  }, kRestMs);
  return () => { clearTimeout(timer); mine.abort(); };
}

// Of the case that is shown: one question at a time, so that entries in a row do not each begin one and give up the last.
const askInTurn = oneAtATime(async (id: string) => {
  const now = asked.value;
  try {
    const found = await get(`/api/cases/${encodeURIComponent(id)}/panels/views${queryOf(now)}`, viewsAnswer);
    if (open.value?.case.id === id && asked.value === now) views.value = found, viewsOf.value = id, viewsTrouble.value = "";
  } catch (error) {
    if (open.value?.case.id === id) viewsTrouble.value = sentence(error);
  }
});

// For those who show a part of it beside something else: asked where nobody has for this case as it stands. "": not asked.
export function useViewsOf(who: string): Views | null {
  const id = open.value?.case.id ?? "";
  const seq = open.value?.seq ?? 0;
  useEffect(() => {
    if (who === "" || id === "" || past.value !== null) return;
    if (viewsOf.value === id && views.value !== null && views.value.seq >= seq) return;
    const timer = setTimeout(() => askInTurn(id), kRestMs);
    return () => clearTimeout(timer);
  }, [who, id, seq, past.value]);
  return past.value === null && viewsOf.value === id ? views.value : null;
}
