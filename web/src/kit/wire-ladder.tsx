// SPDX-License-Identifier: Apache-2.0
// The lab's wires from soft to stiff, by nominal pressure; each with what a shorter free tip carries.
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { sentence } from "../state/store";
import { askWires } from "./ask";
import type { Wires } from "./shapes";
import { shelf } from "./shelf-state";

const kFree = 5;  // mm of free tip shown beside the printed load

export function WireLadder() {
  const found = useSignal<Wires | null>(null);
  const trouble = useSignal("");
  useEffect(() => { askWires().then((answer) => { found.value = answer; }).catch((error: unknown) => { trouble.value = sentence(error); }); }, [shelf.value]);
  const stiffest = Math.max(0.01, ...(found.value?.wires ?? []).map((each) => each.pressure_mpa ?? 0));
  // Equal steps for equal factors: the softest and the stiffest differ a hundredfold.
  const share = (pressure: number) => Math.max(0.02, 1 + Math.log10(pressure / stiffest) / 2.5);
  return (
    <section class="pane wire-ladder" aria-label="Wires, soft to stiff">
      <h2>Wires, soft to stiff</h2>
      {trouble.value !== "" && <p class="warn">▲ {trouble.value}</p>}
      <table class="items">
        <thead><tr><th>Wire</th><th>Pressure, nominal</th><th>Printed gf</th><th>at {kFree} mm free</th><th>In date</th></tr></thead>
        <tbody>{found.value?.wires.map((each) => (
          <tr key={each.name}><th>{each.name}<span class="small dim"> {each.title}</span></th>
            <td>{each.pressure_mpa === null ? <span class="dim">not printed</span> : <span class="wire-bar"><i style={{ width: `${share(each.pressure_mpa) * 100}%` }} /><b>{each.pressure_mpa.toFixed(2)} MPa</b></span>}</td>
            <td class="figures">{each.tip_load_gf ?? "–"}</td>
            <td class="figures">{each.carries.find((one) => one.free_tip_mm === kFree)?.load_gf.toFixed(0) ?? "–"}</td>
            <td class={each.count === 0 ? "warn" : ""}>{each.count === 0 ? "✕ none" : each.count}</td></tr>))}</tbody>
      </table>
      {found.value?.advice.map((each) => <p key={each} class="small">{each}</p>)}
      <p class="small dim">{found.value?.limits}</p>
    </section>
  );
}
