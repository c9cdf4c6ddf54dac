// SPDX-License-Identifier: Apache-2.0
// A score in the drawer: its items with points and odds, whom it was made for, its status, its sources.
import { drawer, rowOf, scoreOf, sourceOf } from "../state/store";
import { assessed } from "../state/suppose";
import type { ScoreDefinition, ScoreResult } from "../wire/shapes";
import { chance, published, total } from "../words/number";
import { Bars, ByStrategy, Findings } from "./score-card";
import { groupsWords, hasFigure, outcomeWords, statusMeaning, statusWords, totalsWords } from "./words";

function Items({ definition, result }: { readonly definition: ScoreDefinition; readonly result: ScoreResult | undefined }) {
  return (
    <table class="items">
      <caption class="unseen">Items of {definition.name}</caption>
      <thead><tr><th scope="col">Item</th><th scope="col">Points in this case</th></tr></thead>
      <tbody>
        {definition.items.map((item) => {
          const found = result?.items.find((each) => each.id === item.id);
          const points = found?.points;
          return (
            <tr key={item.id}>
              <th scope="row">{item.label}<span class="dim small">{item.points.map((level) => `${total(level.points)} if ${level.when}`).join("; ")}</span></th>
              <td class="figures">
                {points ? [...points].map(([value, share]) => (points.size === 1 ? total(Number(value)) : `${total(Number(value))}: ${chance(share)}`)).join(", ")
                  : result?.applies === false ? "–" : <span class="unknown-word">unknown</span>}
                {(found?.missing ?? []).map((name) => (
                  <button key={name} type="button" class="quiet" onClick={() => { drawer.value = { kind: "fact", name, of: rowOf.value.get(name)?.per_channel ? result?.of ?? "" : "" }; }}>{rowOf.value.get(name)?.label ?? name}</button>
                ))}
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

// The published outcome of each group; without figures where they rest on memory.
function Rates({ definition }: { readonly definition: ScoreDefinition }) {
  if (definition.rates.length === 0) return null;
  return (
    <section><h3>Published outcomes</h3>
      {definition.rates.map((rate) => (
        <div key={rate.what + rate.cohort}>
          <p>{rate.what} <span class="dim">{rate.cohort}</span></p>
          {rate.by_group === null ? <p class="dim small">Not shown: the figures have not been read in the full article yet.</p> : (
            <table class="items"><caption class="unseen">{rate.what}</caption>
              <thead><tr><th scope="col">Group</th><th scope="col">Of the cohort</th></tr></thead>
              <tbody>{rate.by_group.map((each) => <tr key={each.group}><th scope="row">{each.group}</th><td class="figures">{each.low === each.high ? `about ${published(each.low)}` : `${published(each.low)} to ${published(each.high)}`}</td></tr>)}</tbody>
            </table>
          )}
        </div>
      ))}
    </section>
  );
}

function Said({ head, text }: { readonly head: string; readonly text: string }) {
  return text === "" ? null : <section><h3>{head}</h3><p>{text}</p></section>;
}

export function ScoreDrawer({ id, of }: { readonly id: string; readonly of: string }) {
  const definition = scoreOf.value.get(id);
  const result = assessed.value?.scores.find((each) => each.id === id && (each.of ?? "") === of);
  if (!definition) return <p>There is no score of the name {id}.</p>;
  return (
    <div class="score-drawer">
      <h2>{definition.name}{of === "" ? "" : `, channel ${of}`}</h2>
      <p class="dim">{definition.endpoint}, {definition.polarity}</p>
      {result?.applies === false && <p class="warn">Does not apply: {result.why}</p>}
      {result && result.applies && result.status !== "HOLD" && <><Bars definition={definition} result={result} /><p class="figures"><b>{totalsWords(result)}</b> {groupsWords(result)}</p></>}
      {result?.outcome.filter(hasFigure).map((outcome) => <p key={outcome.what + outcome.cohort} class="outcome"><span class="prior">published</span> {outcomeWords(outcome)} <span class="dim">{outcome.cohort}</span></p>)}
      {result && <><ByStrategy result={result} /><Findings result={result} /></>}
      {result?.notes.map((note) => <p key={note} class="dim">{note}</p>)}
      <section><h3>Items</h3><Items definition={definition} result={result} /></section>
      <section><h3>Status: {statusWords[definition.status]}</h3><p>{definition.status_why === "" ? statusMeaning[definition.status] : definition.status_why}</p></section>
      <Rates definition={definition} />
      <Said head="Made from" text={definition.population} />
      <Said head="Not for" text={definition.not_for} />
      <Said head="How well it told" text={definition.performance} />
      <section><h3>Sources</h3><ul class="sources">{definition.sources.map((name) => {
        const source = sourceOf.value.get(name);
        return <li key={name}>{source?.citation ?? name}{source?.doi ? <span class="doi">{source.doi}</span> : null}{source?.checked ? <span class="dim small">{source.checked}</span> : null}</li>;
      })}</ul></section>
    </div>
  );
}
