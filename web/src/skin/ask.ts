// SPDX-License-Identifier: Apache-2.0
// The skin of the open case: asked while somebody looks at it, anew with each entry.
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { open, past, refreshCase, say, sentence } from "../state/store";
import { faultOf, get } from "../wire/engine";
import { oneAtATime } from "../wire/one-at-a-time";
import { skinAnswer, type Skin } from "./shapes";

interface Held {
  readonly caseId: string;
  readonly skin: Skin;
}
export const held = signal<Held | null>(null);
export const skinTrouble = signal("");

const kRestMs = 200; // entries come in bursts
let wanted = ""; // the case that is looked at
let askedFor = "";

const ask = oneAtATime(async (id: string) => {
  try {
    const skin = await get(`/api/cases/${encodeURIComponent(id)}/panels/skin`, skinAnswer);
    if (wanted !== id) return;
    held.value = { caseId: id, skin };
    skinTrouble.value = "";
  } catch (error) {
    if (wanted === id) skinTrouble.value = sentence(error);
  }
});

// The skin as it is now, null while it is not known.
export function useSkin(): Skin | null {
  const id = open.value?.case.id ?? "";
  const key = `${id}/${open.value?.seq ?? 0}`;
  useEffect(() => {
    if (id === "" || past.value !== null || askedFor === key) return;
    const timer = setTimeout(() => { wanted = id; askedFor = key; ask(id); }, kRestMs);
    return () => clearTimeout(timer);
  }, [key, past.value]);
  return past.value === null && held.value?.caseId === id ? held.value.skin : null;
}

export async function sendReport(file: Blob, earlier: boolean): Promise<void> {
  const id = open.value?.case.id;
  if (id === undefined) return;
  try {
    const reply = await fetch(`/api/images?case=${encodeURIComponent(id)}${earlier ? "&earlier=1" : ""}`, { method: "POST", credentials: "same-origin", headers: { "content-type": "application/octet-stream" }, body: file });
    const body = await reply.text();
    if (!reply.ok) throw faultOf(reply.status, body);
    say("done", body.includes("\"dose\":") ? "The dose report is in" : "This file is a run: it stands with the runs");
    await refreshCase(id);
  } catch (error) {
    say("trouble", sentence(error));
  }
}
