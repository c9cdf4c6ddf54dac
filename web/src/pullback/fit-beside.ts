// SPDX-License-Identifier: Apache-2.0
// Does the balloon that the rule allows fit beside what is in the guide? What is in comes from the run's log, the sizes
// from the lab's shelf; both can be typed over. The engine packs.
import { computed, signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { askFit, searchShelf } from "../kit/ask";
import type { FitAnswer, ShelfDevice } from "../kit/shapes";
import { open, sentence } from "../state/store";
import { getJson } from "../wire/engine";
import { arrayOf, fallback, maybe, number, object, text } from "../wire/parse";
import * as desk from "./desk";

const inBody = object({
  in_body: fallback(arrayOf(object({ kind: text, side: fallback(text, ""), size_f: maybe(number), kit: fallback(text, "") })), []),
});

// What the log says lies in the near guide: names of the shelf where it gives them, printed sizes elsewhere.
export function itemsOf(devices: readonly { readonly kind: string; readonly side: string; readonly size_f: number | null; readonly kit: string }[]): string[] {
  return devices.filter((each) => each.side === "a" && each.kind !== "guide" && each.kind !== "sheath").flatMap((each) => {
    if (each.kit !== "") return [each.kit];
    if (each.kind === "wire") return ["0.014in"];
    return each.size_f === null ? [] : [`${each.size_f}F`];
  });
}

export const lumen = signal("");  // the guide on the catheter's side
export const items = signal<readonly string[]>(["0.014in"]);
export const balloon = signal("");
export const guides = signal<readonly ShelfDevice[]>([]);
export const balloons = signal<readonly ShelfDevice[]>([]);
export const answer = signal<FitAnswer | null>(null);
export const trouble = signal("");
// The largest size that the rule allows; null where it allows none.
export const size = computed<number | null>(() => desk.joining.value?.joining.sizes_the_rule_allows.at(-1)?.largest_mm ?? null);

// Asked once, where both the short answer and the form stand.
export function useFitBeside(): void {
  const caseId = open.value?.case.id ?? "";
  const largest = size.value;
  useEffect(() => {
    const asking = new AbortController();
    lumen.value = "";
    items.value = ["0.014in"];
    const load = async () => {
      const [found, run] = await Promise.all([searchShelf("guide stock", asking.signal), getJson(`/api/cases/${encodeURIComponent(caseId)}/panels/run`, inBody, asking.signal)]);
      guides.value = found.devices;
      const guide = run.in_body.find((each) => each.kind === "guide" && each.side === "a");
      const same = guide?.size_f == null ? undefined : found.devices.find((each) => each.label.startsWith(`${guide.size_f} Fr`));
      if (lumen.value === "") lumen.value = (guide?.kit || same?.name) ?? "";
      const there = itemsOf(run.in_body);
      if (there.length > 0) items.value = there;
    };
    load().catch((error: unknown) => { if (!asking.signal.aborted) trouble.value = sentence(error); });
    return () => asking.abort();
  }, [caseId]);
  useEffect(() => {
    if (largest === null) { balloon.value = ""; return undefined; }
    const asking = new AbortController();
    searchShelf(`balloon nominal=${largest}mm stock`, asking.signal).then((found) => {
      balloons.value = found.devices;
      balloon.value = found.devices[0]?.name ?? "";
    }).catch((error: unknown) => { if (!asking.signal.aborted) trouble.value = sentence(error); });
    return () => asking.abort();
  }, [largest]);
  useEffect(() => {
    if (lumen.value === "" || balloon.value === "") { answer.value = null; return undefined; }
    const asking = new AbortController();
    askFit(lumen.value, [...items.value, balloon.value], asking.signal).then((found) => { answer.value = found; trouble.value = ""; })
      .catch((error: unknown) => { if (!asking.signal.aborted) { answer.value = null; trouble.value = sentence(error); } });
    return () => asking.abort();
  }, [lumen.value, items.value, balloon.value]);
}
