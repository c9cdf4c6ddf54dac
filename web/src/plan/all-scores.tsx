// SPDX-License-Identifier: Apache-2.0
// Every published score with its figures, grouped by the question that each was made for.
import { drawer, scoreOf } from "../state/store";
import { assessed } from "../state/suppose";
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
  const pairs = (assessed.value?.scores ?? []).flatMap((result): readonly Pair[] => {
    const definition = scoreOf.value.get(result.id);
    return definition?.question === which ? [{ definition, result }] : [];
  });
  if (pairs.length === 0) return null;
  const applies = pairs.filter(({ result }) => result.applies && result.status !== "HOLD");
  const held = pairs.filter(({ result }) => result.applies && result.status === "HOLD");
  return (
    <section class={`asked asked-${which}`}>
      <h3 class="question">{questionWords[which]}</h3>
      <div class="cards">{applies.map((pair) => <ScoreCard key={pair.definition.id + (pair.result.of ?? "")} {...pair} />)}</div>
      <Aside pairs={pairs.filter(({ result }) => !result.applies)} word="Does not apply" />
      <Aside pairs={held} word="On hold" />
    </section>
  );
}

export function AllScores() {
  return (
    <details class="all-scores">
      <summary><h2>All the scores</h2> <span class="dim">Published, not this practice's own results. Bars are totals, rings are totals that missing facts leave open.</span></summary>
      <div class="questions">{kColumns.map((column) => <div class="column" key={column.join()}>{column.map((which) => <Asked key={which} which={which} />)}</div>)}</div>
    </details>
  );
}
