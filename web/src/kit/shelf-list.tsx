// SPDX-License-Identifier: Apache-2.0
// On the shelf: every device, or those that satisfy a need as one would say it.
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { sentence } from "../state/store";
import { searchShelf } from "./ask";
import type { ShelfAnswer, ShelfDevice } from "./shapes";
import { shelf } from "./shelf-state";

const kMost = 100;
const size = (value: number | null, decimals: number): string => (value === null ? "–" : value.toFixed(decimals));
const widest = (each: ShelfDevice): number | null => {
  const sizes = [each.od_prox_mm, each.od_dist_mm, each.profile_mm].filter((one): one is number => one !== null);
  return sizes.length > 0 ? Math.max(...sizes) : null;
};

function Row({ each }: { readonly each: ShelfDevice }) {
  return (
    <tr>
      <th>{each.name}<span class="small dim"> {each.label}</span></th>
      <td>{each.title}</td>
      <td class="figures">{size(widest(each), 2)}</td>
      <td class="figures">{size(each.lumen_mm, 2)}</td>
      <td class="figures">{size(each.usable_cm, 0)}</td>
      <td class={each.count === 0 ? "warn" : ""}>{each.count === 0 ? "✕ none" : each.count}{each.used > 0 && <span class="dim small"> · {each.used} used{each.short_by > 0 ? `, ${each.short_by} more than the list had` : ""}</span>}{each.expired > 0 && <span class="warn small"> ▲ {each.expired} expired</span>}</td>
      <td class="small dim">{each.stock.map((one) => `${one.place} ${one.lot}${one.expires === "" ? "" : ` to ${one.expires}`}`).join("; ")}</td>
    </tr>
  );
}

export function ShelfList() {
  const need = useSignal("");
  const found = useSignal<ShelfAnswer | null>(null);
  const trouble = useSignal("");
  useEffect(() => {
    const asking = new AbortController();
    searchShelf(need.value, asking.signal).then((answer) => { found.value = answer; trouble.value = ""; })
      .catch((error: unknown) => { if (!asking.signal.aborted) trouble.value = sentence(error); });
    return () => asking.abort();
  }, [need.value, shelf.value]);
  const devices = found.value?.devices ?? [];
  return (
    <section class="pane shelf-list" aria-label="On the shelf">
      <h2>On the shelf {found.value?.invented && <span class="invented">invented</span>} <span class="dim small">{devices.length} devices</span></h2>
      <label>What is needed<input type="search" value={need.value} placeholder="microcatheter, inner lumen ≥ 0.40 mm, ≥ 150 cm" autocomplete="off" onInput={(event) => { need.value = event.currentTarget.value; }} /></label>
      {trouble.value !== "" && <p class="warn small" role="status">▲ {trouble.value}</p>}
      <div class="table-place" tabIndex={0} role="region" aria-label="Devices found">
        <table class="items">
          <thead><tr><th>Name</th><th>Class</th><th>Widest mm</th><th>Lumen mm</th><th>Length cm</th><th>In date</th><th>Where</th></tr></thead>
          <tbody>{devices.slice(0, kMost).map((each) => <Row key={each.id} each={each} />)}</tbody>
        </table>
        {(found.value?.provisional ?? []).map((each) => <p key={each.gtin} class="warn small">▲ Provisional: {each.gtin} was used {each.used} {each.used === 1 ? "time" : "times"}; no device of the list has this number, so its sizes are not known.</p>)}
        {devices.length === 0 && found.value && <p class="empty">No device of the shelf satisfies this.</p>}
        {devices.length > kMost && <p class="small dim">The first {kMost} are shown: ask more narrowly.</p>}
      </div>
    </section>
  );
}
