// SPDX-License-Identifier: Apache-2.0
// How hard? One picture for each question that a score was made for, the others of that question in a line each.
import { drawer, open, rowOf, scoreOf } from "../state/store";
import { assessed } from "../state/suppose";
import type { Question, ScoreDefinition, ScoreResult } from "../wire/shapes";
import { Bars } from "./score-card";
import { groupsWords, hasFigure, missingWords, outcomeWords, questionWords, totalsWords } from "./words";

interface Pair {
  readonly definition: ScoreDefinition;
  readonly result: ScoreResult;
}
const kQuestions: readonly Question[] = ["wire", "success", "harm", "channel", "kidney"];
const kPictured: readonly Question[] = ["wire", "success"];

const openScore = ({ result }: Pair) => { drawer.value = { kind: "score", id: result.id, of: result.of ?? "" }; };
const nameOf = ({ definition, result }: Pair) => (result.of ? `${definition.name}, ${result.of}` : definition.name);

function Lead({ pair }: { readonly pair: Pair }) {
  const { definition, result } = pair;
  const outcome = result.outcome.find(hasFigure);
  return (
    <div class="lead">
      <p><button type="button" class="score-name" onClick={() => openScore(pair)}>{nameOf(pair)}</button> <span class="figures"><b>{totalsWords(result)}</b> <span class="dim">{groupsWords(result)}</span></span></p>
      <Bars definition={definition} result={result} />
      {outcome && <p class="outcome"><span class="prior">published</span> {outcomeWords(outcome)} <span class="dim">{outcome.cohort}</span></p>}
      {result.missing.length > 0 && <p class="missing"><span class="unknown-word">Not known:</span> {missingWords(result, rowOf.value)}{result.decides ? <span class="dim">. {result.decides.what}</span> : null}</p>}
    </div>
  );
}

function Line({ pair }: { readonly pair: Pair }) {
  const { result } = pair;
  const outcome = result.outcome.find(hasFigure);
  return (
    <li>
      <button type="button" class="score-line" onClick={() => openScore(pair)}>
        <span class="score-line-name">{nameOf(pair)}</span>
        <span class="figures">{totalsWords(result)}</span>
        {outcome && <span><span class="prior">published</span> <span class="dim">{outcomeWords(outcome)}</span></span>}
      </button>
    </li>
  );
}

function Asked({ which }: { readonly which: Question }) {
  const pairs = (assessed.value?.scores ?? []).flatMap((result): readonly Pair[] => {
    const definition = scoreOf.value.get(result.id);
    return definition?.question === which && result.applies && result.status !== "HOLD" ? [{ definition, result }] : [];
  });
  const [lead, ...rest] = kPictured.includes(which) ? pairs : [undefined, ...pairs];
  if (pairs.length === 0) return null;
  return (
    <section class="asked-short">
      <h3>{questionWords[which]}</h3>
      {lead && <Lead pair={lead} />}
      {rest.length > 0 && <ul>{rest.map((pair) => pair && <Line key={pair.definition.id + (pair.result.of ?? "")} pair={pair} />)}</ul>}
    </section>
  );
}

function WaitedFor() {
  const waiting = assessed.value?.waiting ?? new Map<string, string[]>();
  const most = [...waiting].sort((a, b) => b[1].length - a[1].length).slice(0, 3);
  const assessment = assessed.value;
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


export function HowHard() {
  return (
    <section class="pane how-hard" aria-label="How hard?">
      <h2>How hard? <span class="dim small">published, not yours</span></h2>
      <WaitedFor />
      {kQuestions.map((which) => <Asked key={which} which={which} />)}
    </section>
  );
}
