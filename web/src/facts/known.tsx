// SPDX-License-Identifier: Apache-2.0
// What we know: every fact of the dictionary in its group, with its value, its mark, and who waits for it.
import { computed, signal } from "@preact/signals";
import { addChannel } from "../appraise/measuring";
import { niceTop } from "../appraise/parts";
import { channels, drawer, open, rows } from "../state/store";
import { parseBelief, type Belief, type Fact, type FactRow } from "../wire/shapes";
import { beliefWords, groupWords } from "../words/belief";
import { countOf } from "../words/number";
import { BeliefBar, MarkGlyph, type Known as KnownAs } from "./glyphs";

export interface Line {
  readonly row: FactRow;
  readonly of: string;
  readonly fact: Fact | null;
  readonly belief: Belief;
  readonly mark: KnownAs;
  readonly waiting: readonly string[];
}

const onlyWaited = signal(false);
const find = signal("");

export function lineFor(row: FactRow, of: string): Line {
  const fact = open.value?.facts.find((each) => each.name === row.name && each.of === of) ?? null;
  const belief = parseBelief(fact?.value, row.name, row.type);
  const mark = belief.kind === "unknown" ? "unknown" : fact?.mark ?? "stated";
  const waiting = open.value?.assessment.waiting.get(row.name) ?? [];
  return { row, of, fact, belief, mark, waiting: belief.kind === "unknown" ? waiting : [] };
}

const lines = computed<readonly Line[]>(() => rows.value.flatMap((row) =>
  row.per_channel ? channels.value.map((channel) => lineFor(row, channel)) : [lineFor(row, "")]));

const shown = computed(() => lines.value.filter((line) =>
  (!onlyWaited.value || line.waiting.length > 0) &&
  line.row.label.toLowerCase().includes(find.value.trim().toLowerCase())));

function spanOf(line: Line): { low: number; high: number } {
  const value = line.belief.kind === "number" ? line.belief.value + 3 * (line.belief.sd ?? 0) : 1;
  return { low: 0, high: niceTop(value) };
}

// A measured number without a spread is shown as such: it is taken as it stands.
export const spreadMissing = (line: Line): boolean => line.row.type === "reading" && line.belief.kind === "number" && line.belief.sd === null;

function FactLine({ line }: { readonly line: Line }) {
  const now = drawer.value;
  const here = now.kind === "fact" && now.name === line.row.name && now.of === line.of;
  const words = beliefWords(line.belief, line.row);
  return (
    <li>
      <button type="button" class={`fact ${line.mark}`} aria-pressed={here} onClick={() => { drawer.value = { kind: "fact", name: line.row.name, of: line.of }; }}>
        <MarkGlyph mark={line.mark} />
        <span class="fact-label">{line.row.label}</span>
        <span class="fact-value figures">{words}</span>
        <span class="fact-under">
          <span class="fact-mark">{line.mark === "unknown" ? "" : line.mark}</span>
          {spreadMissing(line) && <span>spread not known</span>}
          {line.waiting.length > 0 && <span class="waits">{countOf(line.waiting.length, "score waits", "scores wait")}</span>}
          <BeliefBar belief={line.belief} {...spanOf(line)} />
        </span>
      </button>
    </li>
  );
}

function Group({ group }: { readonly group: string }) {
  const here = shown.value.filter((line) => line.row.group === group);
  const perChannel = here.filter((line) => line.of !== "");
  const whole = here.filter((line) => line.of === "");
  const isCollateral = rows.value.some((row) => row.group === group && row.per_channel);
  if (here.length === 0 && !isCollateral) return null;
  return (
    <section>
      <h3>{groupWords[group] ?? group}</h3>
      <ul>{whole.map((line) => <FactLine key={line.row.name} line={line} />)}</ul>
      {isCollateral && channels.value.map((channel) => (
        <section key={channel} class="channel">
          <h4>Channel {channel}</h4>
          <ul>{perChannel.filter((line) => line.of === channel).map((line) => <FactLine key={line.row.name} line={line} />)}</ul>
        </section>
      ))}
      {isCollateral && !onlyWaited.value && find.value === "" && <button type="button" class="quiet" onClick={() => addChannel(channels.value)}>Add a channel</button>}
    </section>
  );
}

export function Known() {
  const groups = [...new Set(rows.value.map((row) => row.group))];
  const waited = lines.value.filter((line) => line.waiting.length > 0).length;
  return (
    <section class="known" aria-label="What we know">
      <div class="known-head">
        <h2>What we know</h2>
        <input id="find-fact" type="search" placeholder="find a fact" aria-label="Find a fact by name" value={find.value} onInput={(event) => { find.value = event.currentTarget.value; }} />
        <button type="button" class="quiet" aria-pressed={onlyWaited.value} onClick={() => { onlyWaited.value = !onlyWaited.value; }}>Waited for: {waited}</button>
      </div>
      <div class="known-list" tabIndex={0} role="group" aria-label="Facts">
        {groups.map((group) => <Group key={group} group={group} />)}
        {shown.value.length === 0 && <p class="empty">{onlyWaited.value ? "No score waits for anything." : "No fact of that name."}</p>}
      </div>
    </section>
  );
}
