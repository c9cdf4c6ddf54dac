// SPDX-License-Identifier: Apache-2.0
// Plan, How hard?: the published scores grouped by the question that each was made for.
import { drawer, open, rowOf, scoreOf } from "../state/store";
import { type Question, type ScoreDefinition, type ScoreResult } from "../wire/shapes";
import { Findings, ScoreCard } from "./score-card";
import { questionWords } from "./words";

const kColumns: readonly (readonly Question[])[] = [["wire", "channel"], ["success", "kidney"], ["harm"]];

interface Pair {
  readonly definition: ScoreDefinition;
  readonly result: ScoreResult;
}

function Aside({ pairs, word }: { readonly pairs: readonly Pair[]; readonly word: string }) {
  if (pairs.length === 0) return null;
  return (
    <details class="set-aside">
      <summary>{word}: {pairs.map((pair) => pair.definition.name).join(", ")}</summary>
      <ul>{pairs.map(({ definition, result }) => (
        <li key={definition.id + (result.of ?? "")}><button type="button" class="quiet" onClick={() => { drawer.value = { kind: "score", id: result.id, of: result.of ?? "" }; }}>{definition.name}</button> <span class="dim">{result.why ?? definition.status_why}</span><Findings result={result} /></li>
      ))}</ul>
    </details>
  );
}

function Asked({ which }: { readonly which: Question }) {
  const pairs = (open.value?.assessment.scores ?? []).flatMap((result): readonly Pair[] => {
    const definition = scoreOf.value.get(result.id);
    return definition?.question === which ? [{ definition, result }] : [];
  });
  if (pairs.length === 0) return null;
  const applies = pairs.filter(({ result }) => result.applies && result.status !== "HOLD");
  const held = pairs.filter(({ result }) => result.applies && result.status === "HOLD");
  return (
    <section class={`asked asked-${which}`}>
      <h2>{questionWords[which]}</h2>
      <div class="cards">{applies.map((pair) => <ScoreCard key={pair.definition.id + (pair.result.of ?? "")} {...pair} />)}</div>
      <Aside pairs={pairs.filter(({ result }) => !result.applies)} word="Does not apply" />
      <Aside pairs={held} word="On hold" />
    </section>
  );
}

function First() {
  const waiting = open.value?.assessment.waiting ?? new Map<string, string[]>();
  const most = [...waiting].sort((a, b) => b[1].length - a[1].length).slice(0, 3);
  const assessment = open.value?.assessment;
  if (!assessment) return null;
  return (
    <div class="first">
      {most.length > 0 && <p><b>Not known yet, most waited for:</b>{most.map(([name, ids]) => (
        <button type="button" class="quiet" key={name} onClick={() => { drawer.value = { kind: "fact", name, of: rowOf.value.get(name)?.per_channel ? open.value?.channels[0] ?? "c1" : "" }; }}>{rowOf.value.get(name)?.label ?? name} <span class="waits">{ids.length}</span></button>))}</p>}
      {assessment.disagreement.map((each) => <p key={each.text} class="disagree"><span aria-hidden="true">⇄</span> {each.text}</p>)}
      {assessment.remarks.map((each) => <p key={each.text} class="warn"><span aria-hidden="true">▲</span> {each.text}</p>)}
    </div>
  );
}

export function Plan() {
  return (
    <>
      <h1>How hard? <span class="dim">Published scores, not this practice's own results. Each answers its own question; bars are totals, rings are totals that missing facts leave open.</span></h1>
      <First />
      <div class="questions">{kColumns.map((column) => <div class="column" key={column.join()}>{column.map((which) => <Asked key={which} which={which} />)}</div>)}</div>
    </>
  );
}
