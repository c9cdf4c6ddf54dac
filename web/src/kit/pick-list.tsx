// SPDX-License-Identifier: Apache-2.0
// What is laid out, to be ticked off at the cupboard; prints alone on its sheet.
import { open } from "../state/store";
import type { Tray } from "./shapes";

function printIt(): void {
  document.body.classList.add("printing-picks");
  window.addEventListener("afterprint", () => { document.body.classList.remove("printing-picks"); }, { once: true });
  window.print();
}

export function PickList({ tray }: { readonly tray: Tray }) {
  const missing = [...tray.needs, ...tray.bailout].filter((each) => each.state === "missing");
  return (
    <details class="picks">
      <summary><h3>Pick list <span class="dim">{tray.picks.length} devices{missing.length > 0 ? `, ${missing.length} missing` : ""}</span></h3></summary>
      <p class="print-only">{open.value?.case.title} · {tray.strategies.join(", then ")} · {tray.today}{tray.invented ? " · invented shelf" : ""}</p>
      <ul class="needs">{missing.map((each) => <li key={each.id} class="need missing"><span aria-hidden="true">✕</span> <b>{each.what}</b> <span class="dim">{each.remark}</span></li>)}</ul>
      <table class="items pick-table">
        <thead><tr><th>Device</th><th>For</th><th>Where</th></tr></thead>
        <tbody>{tray.picks.map((each) => (
          <tr key={each.name}><th><label class="tick"><input type="checkbox" /> <span>{each.count > 1 ? `${each.count} × ` : ""}{each.name}<span class="dim small"> {each.label}</span></span></label></th>
            <td class="small">{each.what_for.join("; ")}</td><td class="small">{each.where}</td></tr>))}</tbody>
      </table>
      <button type="button" onClick={printIt}>Print the pick list</button>
    </details>
  );
}
