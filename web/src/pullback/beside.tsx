// SPDX-License-Identifier: Apache-2.0
// Does the balloon that the rule allows fit beside what is in the guide? What is in comes from the run's log, the sizes
// from the lab's shelf; both can be typed over. The engine packs.
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { askFit, searchShelf } from "../kit/ask";
import { FitDisc } from "../kit/disc";
import type { FitAnswer, ShelfDevice } from "../kit/shapes";
import { discOf } from "../kit/try-fit";
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

export function Beside() {
  const lumen = useSignal("");
  const items = useSignal<readonly string[]>(["0.014in"]);
  const balloon = useSignal("");
  const guides = useSignal<readonly ShelfDevice[]>([]);
  const balloons = useSignal<readonly ShelfDevice[]>([]);
  const answer = useSignal<FitAnswer | null>(null);
  const trouble = useSignal("");
  const caseId = open.value?.case.id ?? "";
  const size = desk.joining.value?.joining.sizes_the_rule_allows.at(-1)?.largest_mm ?? null;
  useEffect(() => {
    const asking = new AbortController();
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
    if (size === null) return undefined;
    const asking = new AbortController();
    searchShelf(`balloon nominal=${size}mm stock`, asking.signal).then((found) => {
      balloons.value = found.devices;
      balloon.value = found.devices[0]?.name ?? "";
    }).catch((error: unknown) => { if (!asking.signal.aborted) trouble.value = sentence(error); });
    return () => asking.abort();
  }, [size]);
  useEffect(() => {
    if (lumen.value === "" || balloon.value === "") { answer.value = null; return undefined; }
    const asking = new AbortController();
    askFit(lumen.value, [...items.value, balloon.value], asking.signal).then((found) => { answer.value = found; trouble.value = ""; })
      .catch((error: unknown) => { if (!asking.signal.aborted) { answer.value = null; trouble.value = sentence(error); } });
    return () => asking.abort();
  }, [lumen.value, items.value, balloon.value]);
  if (size === null) return null;
  const listed = (devices: readonly ShelfDevice[]) => devices.map((each) => <option key={each.id} value={each.name}>{`${each.name} ${each.label}`}</option>);
  return (
    <section class="fit-beside" aria-label="Does it fit beside what is in the guide?">
      <h4>Does it fit beside what is in the guide?</h4>
      <label>Guide on this side<select value={lumen.value} onChange={(event) => { lumen.value = event.currentTarget.value; }}><option value="">choose</option>{listed(guides.value)}</select></label>
      <label>In it already<input value={items.value.join(", ")} onChange={(event) => { items.value = event.currentTarget.value.split(",").map((each) => each.trim()).filter((each) => each !== ""); }} /></label>
      <label>Balloon of {size.toFixed(2)} mm on the shelf<select value={balloon.value} onChange={(event) => { balloon.value = event.currentTarget.value; }}>
        {balloons.value.length === 0 && <option value="">none on the shelf</option>}{listed(balloons.value)}</select></label>
      {trouble.value !== "" && <p class="warn">▲ {trouble.value}</p>}
      {answer.value?.hosts.map((each, index) => <FitDisc key={each.host + String(index)} given={discOf(each, [])} />)}
    </section>
  );
}
