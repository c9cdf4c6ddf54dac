// SPDX-License-Identifier: Apache-2.0
// What makes a guide hold, and what helps, in the order in which one would try it.
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { sourceOf } from "../state/store";
import { askSupport } from "./ask";
import type { Support } from "./shapes";

export function GuideSupport() {
  const found = useSignal<Support | null>(null);
  useEffect(() => { askSupport().then((answer) => { found.value = answer; }).catch(() => { found.value = null; }); }, []);
  return (
    <section class="pane guide-support" aria-label="When the guide does not hold">
      <h2>When the guide does not hold</h2>
      <ol class="remedies">{found.value?.remedies.map((each) => <li key={each.what}><b>{each.what}</b>{each.mind === "" ? "" : `: ${each.mind}`}{each.costs_lumen && <span class="warn small"> ▲ costs lumen: ask the fit again</span>}</li>)}</ol>
      <details class="small"><summary>What was measured</summary>
        <table class="items"><tbody>{found.value?.findings.map((each) => <tr key={each.what}><th>{each.what}</th><td>{each.size}<span class="dim"> {sourceOf.value.get(each.source)?.citation ?? "practice"}</span></td></tr>)}</tbody></table>
      </details>
      <p class="small dim">{found.value?.note}</p>
    </section>
  );
}
