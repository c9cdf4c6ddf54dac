// SPDX-License-Identifier: Apache-2.0
// What the published algorithms say of this lesion, and where they disagree.
import { drawer, rowOf } from "../state/store";
import type { LadderAnswer, PublishedAlgorithm } from "../wire/ladder";

const kNames = (answer: LadderAnswer, ids: readonly string[]) => ids.map((id) => answer.algorithms.find((each) => each.id === id)?.name ?? id).join(", ");

// A first technique that missing facts leave open has no odds: only names.
function firstWords(algorithm: PublishedAlgorithm): string {
  return algorithm.first.filter((each) => each.high > 0.05).map((each) => {
    const open = each.high - each.low > 0.05;
    return open || each.low > 0.95 ? each.words : `${each.words} ${Math.round(each.low * 10)} in 10`;
  }).join(" or ");
}
const stepsWords = (algorithm: PublishedAlgorithm) => algorithm.steps.map((step) => step.map((each) => each.id).join(" or ")).join(" → ");

// The family of the first rung, as the camps are named.
function beginsWith(answer: LadderAnswer): string | null {
  const first = answer.rungs[0];
  if (first === undefined) return null;
  return first.side === "retrograde" ? "retrograde" : first.id === "ADR" ? "antegrade dissection" : "antegrade wiring";
}

export function Algorithms({ answer }: { readonly answer: LadderAnswer }) {
  const decides = answer.algorithms.flatMap((each) => (each.decides ? [each.decides] : [])).filter((each, index, all) => all.findIndex((other) => other.fact === each.fact) === index);
  const begins = beginsWith(answer);
  return (
    <section class="st algorithms" aria-label="Published algorithms">
      <h3>Published algorithms {answer.camps.length > 1 ? "disagree" : answer.camps.some((camp) => camp.open) ? "agree as far as the facts go" : "agree"}</h3>
      <ul class="camps">{answer.camps.map((camp) => (
        <li key={camp.first}><b>{camp.first} first</b>{camp.open ? " (may change)" : ""}: <span class="dim">{kNames(answer, camp.algorithms)}</span></li>))}</ul>
      {begins !== null && !answer.camps.some((camp) => camp.first === begins) && <p class="small">The order above begins with {begins}: it weighs chances, times and limits, the algorithms the anatomy.</p>}
      {decides.length > 0 && <p class="small">Would decide: {decides.map((each, index) => (
        <span key={each.fact}>{index > 0 ? "; " : ""}<button type="button" class="inline" onClick={() => { drawer.value = { kind: "fact", name: each.fact, of: "" }; }}>{rowOf.value.get(each.fact)?.label ?? each.words}</button> <span class="dim">({each.found_by})</span></span>))}</p>}
      <details>
        <summary>Each algorithm, and where they differ</summary>
        <dl class="chart-list">{answer.algorithms.map((each) => (
          <div key={each.id}>
            <dt>{each.name} <span class="dim small">{each.checked === "seen" ? "branches read in later summaries" : "branches from memory: check before quoting"}</span></dt>
            <dd>First {firstWords(each) || "nothing"}{each.when ? <span class="dim">: {each.when}</span> : null}</dd>
            <dd class="dim small">{stepsWords(each)} · clock: {each.clock}{each.remarks.map((remark) => ` · ${remark}`)}</dd>
          </div>))}</dl>
        <div class="wide" tabIndex={0} role="region" aria-label="Where the algorithms differ"><table class="items disputes"><caption class="unseen">Where the algorithms differ on any lesion</caption>
          <thead><tr><th scope="col">On</th>{answer.algorithms.map((each) => <th scope="col" key={each.id}>{each.name}</th>)}</tr></thead>
          <tbody>{answer.disputes.map((dispute) => <tr key={dispute.topic}><th scope="row">{dispute.topic}</th>{answer.algorithms.map((each) => <td key={each.id}>{dispute.stances.get(each.id) ?? ""}</td>)}</tr>)}</tbody>
        </table></div>
        <p class="small dim">{answer.followed.text}.</p>
      </details>
    </section>
  );
}
