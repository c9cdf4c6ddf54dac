// SPDX-License-Identifier: Apache-2.0
// A kind was named in the place of a device: which of the shelf's devices go together, and by how much; a tap draws one.
import { figure } from "../words/number";
import type { Combination, FitAnswer } from "./shapes";
import { fitSign, fitWords } from "./words";

const kShown = 40;

// In the order in which they go in, with all the names that share a geometry.
export function inOrder(one: Combination): readonly string[] {
  const shown = one.order.map((name) => { const at = one.items.indexOf(name); return at < 0 ? name : one.items_shown[at] ?? name; });
  return shown.length === 0 ? one.items_shown : shown;
}

export function countsWords(all: readonly Combination[]): string {
  const count = (verdict: Combination["verdict"]) => all.filter((each) => each.verdict === verdict).length;
  const unknown = count("unknown");
  return `Of ${all.length} combinations on the shelf ${count("fits")} fit, ${count("tight")} are tight, ${count("no")} do not pass${unknown === 0 ? "" : `, ${unknown} are not known`}.`;
}

export function CombinationList({ answer, choose }: { readonly answer: FitAnswer; readonly choose: (one: Combination) => void }) {
  const all = answer.combinations;
  if (all.length === 0) return null;
  return (
    <section aria-label="Combinations">
      <p>{countsWords(all)} <span class="dim small">Choose one to see it drawn.</span></p>
      {answer.remarks.map((each) => <p key={each} class="small warn">▲ {each}</p>)}
      <ol class="combinations">
        {all.slice(0, kShown).map((each) => (
          <li key={[...each.lumens, ...each.items].join("|")}>
            <button type="button" class={`combination ${each.verdict}`} onClick={() => choose(each)}>
              <span class="fit-verdict"><span aria-hidden="true">{fitSign[each.verdict]}</span> {fitWords(each.verdict, each.margin_mm, each.too_close_to_call)}{each.off_label.length > 0 ? ", off label" : ""}</span>
              <span>{each.lumens_shown.join(", then ")} <span class="dim figures">{figure(each.lumen_mm, 2)} mm</span>: {inOrder(each).join(", then ")}{each.order_matters ? <b> in this order only</b> : null}</span>
            </button>
          </li>))}
      </ol>
      {all.length > kShown && <p class="small dim">The best {kShown} of {all.length}: name a device, or narrow a kind (microcatheter usable&gt;=150cm).</p>}
    </section>
  );
}
