// SPDX-License-Identifier: Apache-2.0
// Does it fit? A lumen and what goes in, by the shelf's names or by printed sizes; the answer as a disc.
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { TakenLater } from "../frame/taken-later";
import { sentence } from "../state/store";
import { askFit } from "./ask";
import { FitDisc } from "./disc";
import { CombinationList } from "./combinations";
import type { FitAnswer, HostAnswer, ShelfDevice } from "./shapes";
import { refreshShelf, shelf } from "./shelf-state";

const kHosts = ["guide", "guide_ext", "sheath", "microcatheter", "dual_lumen"];
// Kinds that one may name before a device: each stands for all of its kind.
const kindsOf = (devices: readonly ShelfDevice[]) => [...new Set(devices.map((each) => each.title))].sort();
const guideSizes = (devices: readonly ShelfDevice[]) => [...new Set(devices.filter((each) => each.class === "guide").map((each) => `${each.label} guide`))].sort();

export const discOf = (host: HostAnswer, notes: readonly string[]) => ({
  title: `In ${host.host}, lumen ${host.lumen_mm.toFixed(2)} mm`, lumen: host.lumen_mm, verdict: host.verdict, margin: host.margin_mm,
  smallest: host.smallest_lumen_mm, proved: host.proved_lumen_mm, tooClose: host.too_close_to_call, places: host.flow?.resting ?? host.positions, worst: host.worst,
  order: host.order, flow: host.flow?.left ?? null,
  rounding: host.rounding ? { sensitive: host.rounding.sensitive, passes: host.rounding.odds_passes, fits: host.rounding.odds_fits } : null,
  notes: [...host.off_label.map((each) => `off label: ${each}`), ...host.why, ...notes, ...(host.remark ? [host.remark] : []),
    ...(host.margin_out_mm === null ? [] : [`coming out ${host.margin_out_mm < 0 ? "it does not pass" : `${host.margin_out_mm.toFixed(2)} mm to spare`}: a balloon that was inflated folds wider`])],
});

function Items({ items, change }: { readonly items: readonly string[]; readonly change: (next: readonly string[]) => void }) {
  const adding = useSignal("");
  const add = () => { if (adding.value.trim() !== "") { change([...items, adding.value.trim()]); adding.value = ""; } };
  return (
    <>
      <form class="add-item" onSubmit={(event) => { event.preventDefault(); add(); }}>
        <label>What goes in<input list="kit-devices" value={adding.value} placeholder="a device, a kind (ultrasound catheter), or 2.6F" autocomplete="off" onInput={(event) => { adding.value = event.currentTarget.value; }} /></label>
        <button type="submit">Put it in</button>
      </form>
      <ul class="put-in" aria-label="Devices that go in">{items.map((each, index) => <li key={each + String(index)}>{each} <button type="button" class="plain" aria-label={`Take out ${each}`} onClick={() => change(items.filter((_, at) => at !== index))}>×</button></li>)}</ul>
    </>
  );
}

function OtherOrders({ answer }: { readonly answer: FitAnswer }) {
  const first = answer.orders[0];
  const others = answer.orders.filter((each) => first !== undefined && each.verdict !== first.verdict);
  if (others.length === 0) return null;
  return <p class="small warn">▲ Not in every order: {others.slice(0, 3).map((each) => `${each.order.join(", then ")}: ${each.verdict}${each.margin_mm === null ? "" : ` (${each.margin_mm.toFixed(2)} mm)`}`).join("; ")}</p>;
}

export function TryFit() {
  const lumen = useSignal("");
  const items = useSignal<readonly string[]>([]);
  const answer = useSignal<FitAnswer | null>(null);
  const trouble = useSignal("");
  useEffect(() => { if (shelf.value === null) void refreshShelf(); }, []);
  useEffect(() => {
    if (lumen.value.trim() === "" || items.value.length === 0) { answer.value = null; trouble.value = ""; return; }
    const asking = new AbortController();
    askFit(lumen.value.trim(), items.value, asking.signal).then((found) => { answer.value = found; trouble.value = ""; })
      .catch((error: unknown) => { if (!asking.signal.aborted) { answer.value = null; trouble.value = sentence(error); } });
    return () => asking.abort();
  }, [lumen.value, items.value]);
  const devices = shelf.value?.devices ?? [];
  return (
    <section class="pane try-fit" aria-label="Does it fit?">
      <h2>Does it fit?</h2>
      <datalist id="kit-hosts">{guideSizes(devices).map((each) => <option key={each} value={each}>any of that size</option>)}{devices.filter((each) => kHosts.includes(each.class)).map((each) => <option key={each.id} value={each.name}>{each.label}</option>)}</datalist>
      <datalist id="kit-devices">{kindsOf(devices).map((each) => <option key={each} value={each}>any of them</option>)}{devices.map((each) => <option key={each.id} value={each.name}>{`${each.title} ${each.label}`}</option>)}</datalist>
      <label>Through which lumen<TakenLater list="kit-hosts" value={lumen.value} placeholder="a guide, 7 Fr guide, or 0.081in" autocomplete="off" take={(words) => { lumen.value = words; }} /></label>
      <Items items={items.value} change={(next) => { items.value = next; }} />
      <div aria-live="polite">
        {trouble.value !== "" && <p class="warn">▲ {trouble.value}</p>}
        {answer.value?.hosts.map((each, index) => <FitDisc key={each.host + String(index)} given={discOf(each, [])} />)}
        {answer.value && <CombinationList answer={answer.value} choose={(one) => { lumen.value = one.lumens[0] ?? ""; items.value = one.items; }} />}
        {answer.value && <OtherOrders answer={answer.value} />}
        {answer.value && <p class="small dim">{answer.value.caution}</p>}
      </div>
    </section>
  );
}
