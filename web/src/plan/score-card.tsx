// SPDX-License-Identifier: Apache-2.0
// One score: picture first, figures second, then what is missing and what it would change.
import { drawer, rowOf } from "../state/store";
import type { ScoreDefinition, ScoreResult } from "../wire/shapes";
import { chance } from "../words/number";
import { barPicture, kHeight, kWidth } from "./bars";
import { findingWords, groupsWords, hasFigure, missingWords, outcomeWords, statusWords, strategyWords, totalsWords } from "./words";

export function Bars({ definition, result }: { readonly definition: ScoreDefinition; readonly result: ScoreResult }) {
  const drawn = barPicture(definition, result);
  const said = `${definition.name}: ${totalsWords(result)}`;
  return (
    <svg class="bars" viewBox={`0 0 ${kWidth} ${kHeight}`} role="img" aria-label={said}>
      {drawn.groups.map((group) => <rect key={group.name} class={group.on ? "group on" : "group"} x={group.from} y={drawn.floor + 3} width={Math.max(0, group.to - group.from)} height={group.on ? 4 : 2} />)}
      {drawn.bars.map((bar) => (
        <g key={bar.total}>
          <rect class="bar" x={bar.x} y={drawn.floor - Math.max(1, bar.height)} width={bar.width} height={Math.max(1, bar.height)} rx={2} />
          {bar.named && <text class="bar-figure" x={bar.x + bar.width / 2} y={drawn.floor - bar.height - 4}>{chance(bar.share)}</text>}
        </g>
      ))}
      {drawn.open && <path class="reach" d={`M${drawn.open.from} ${drawn.floor - 16}H${drawn.open.to}`} />}
      {drawn.dots.map((x) => <circle key={x} class="reach-dot" cx={x} cy={drawn.floor - 16} r={5} />)}
      {drawn.ticks.map((tick) => <text key={tick.text} class="tick-figure" x={tick.x} y={drawn.floor + 22}>{tick.text}</text>)}
    </svg>
  );
}

// The same score for each way of crossing: the points of the way taken are part of the total.
export function ByStrategy({ result }: { readonly result: ScoreResult }) {
  if (result.by_strategy.length === 0) return null;
  return (
    <table class="ways">
      <caption class="unseen">{result.name} for each way of crossing</caption>
      <tbody>
        {result.by_strategy.map((column) => (
          <tr key={column.strategy}>
            <th scope="row">{strategyWords(column.strategy)}</th>
            <td class="figures">{totalsWords(column)}</td>
            <td>{column.outcome.filter(hasFigure).map((outcome) => <span key={outcome.what}>{outcomeWords(outcome)}</span>)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function Findings({ result }: { readonly result: ScoreResult }) {
  if (result.findings.length === 0) return null;
  const open = result.findings.filter((finding) => finding.probability === null);
  return (
    <ul class="findings">
      {result.findings.filter((finding) => finding.probability !== null).map((finding) => <li key={finding.label}><span aria-hidden="true">{finding.favourable ? "+" : "−"}</span><span class="unseen">{finding.favourable ? "for: " : "against: "}</span> {findingWords(finding)}</li>)}
      {open.length > 0 && <li><span class="unknown-word">Not known:</span> {open.map(findingWords).join("; ")}</li>}
    </ul>
  );
}

function Body({ definition, result }: { readonly definition: ScoreDefinition; readonly result: ScoreResult }) {
  if (result.status === "HOLD") return <p class="dim">{result.why ?? definition.status_why}</p>;
  const groups = groupsWords(result);
  return (
    <>
      <Bars definition={definition} result={result} />
      <p class="score-total figures"><b>{totalsWords(result)}</b>{groups === "" ? "" : <span>{groups}</span>}</p>
      {result.outcome.filter(hasFigure).map((outcome) => <p key={outcome.what + outcome.cohort} class="outcome"><span class="prior">published</span> {outcomeWords(outcome)} <span class="dim">{outcome.cohort}</span></p>)}
      <ByStrategy result={result} />
      {result.missing.length > 0 && <p class="missing"><span class="unknown-word">Not known:</span> {missingWords(result, rowOf.value)}</p>}
      {result.decides && <p class="dim">{rowOf.value.get(result.decides.fact)?.label ?? result.decides.fact}: {result.decides.what}</p>}
      {result.notes.map((note) => <p key={note} class="dim">{note}</p>)}
    </>
  );
}

export function ScoreCard({ definition, result }: { readonly definition: ScoreDefinition; readonly result: ScoreResult }) {
  const of = result.of ?? "";
  return (
    <article class={`score status-${result.status.toLowerCase()}`}>
      <h3><button type="button" class="score-open" onClick={() => { drawer.value = { kind: "score", id: result.id, of }; }}>{definition.name}{of === "" ? "" : `, channel ${of}`}</button></h3>
      <p class="endpoint">{definition.endpoint}<span class="polarity">, {definition.polarity}</span></p>
      {result.status !== "FULL" && <p class="status-word">{statusWords[result.status]}</p>}
      <Body definition={definition} result={result} />
    </article>
  );
}
