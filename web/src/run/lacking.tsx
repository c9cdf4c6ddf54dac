// SPDX-License-Identifier: Apache-2.0
// What the ways of the ladder ask for that the shelf does not have: said while there is time to fetch it.
import type { Board } from "./board";
import { lacking } from "./live";
import type { Lack, LackingAnswer, LackingWay } from "./ask";

const sign = { missing: "✕", doubtful: "▲", ready: "" } as const;

// The way under way and the next one, in a line each; for the head of the board.
export function nearest(found: LackingAnswer): readonly { readonly when: string; readonly way: LackingWay }[] {
  const planned = found.ways.filter((way) => way.in_plan || way.under_way);
  const first = planned[0];
  const now = first?.under_way === true ? "now" : "first";
  return planned.slice(0, 2).map((way, at) => ({ when: at === 0 ? now : "next", way }));
}
export const lackWords = (list: readonly Lack[]): string => list.map((each) => `${sign[each.state]} ${each.what}`).join(", ");

export function NearestLack() {
  const found = lacking.value;
  if (found === null || !found.shelf_known) return null;
  return (
    <ul class="lack-near small" aria-label="Kit for this way and the next">
      {nearest(found).map(({ when, way }) => (
        <li key={way.id} class={way.missing.some((each) => each.state === "missing") ? "warn" : "dim"}>
          <b>{way.id}</b> ({when}): {way.missing.length === 0 ? "all its kit is on the shelf" : lackWords(way.missing)}</li>))}
    </ul>
  );
}

function Line({ each }: { readonly each: Lack }) {
  return <li class={each.state === "missing" ? "warn" : ""}><span aria-hidden="true">{sign[each.state]}</span> <b>{each.what}</b> <span class="unseen">{each.state}</span> <span class="dim">{each.remark}</span></li>;
}

export function Lacking({ board }: { readonly board: Board }) {
  const found = lacking.value;
  if (found === null || board.ended !== null) return null;
  const planned = found.ways.filter((way) => way.in_plan || way.under_way);
  const short = planned.filter((way) => way.missing.length > 0);
  return (
    <section class="pane lacking" aria-label="What the shelf lacks">
      <h2>What the shelf lacks {found.invented && found.shelf_known && <span class="invented">invented shelf</span>}</h2>
      {!found.shelf_known && <p class="dim">The lab's own shelf is not known here: import its list under Kit, and what a way lacks stands here before it is needed.</p>}
      {found.shelf_known && (
        <>
          {short.length === 0 && <p><span aria-hidden="true">✓</span> Nothing that the ways of the ladder ask for.</p>}
          {short.map((way) => <div key={way.id}><h3>{way.id} <span class="dim">{way.words}{way.under_way ? ", under way" : way.chance === "" ? "" : `, ${way.chance}`}</span></h3><ul class="needs">{way.missing.map((each) => <Line key={each.what} each={each} />)}</ul></div>)}
          {found.bailout.length > 0 && <details><summary>Bail-out: {found.bailout.length} not ready</summary><ul class="needs">{found.bailout.map((each) => <Line key={each.what} each={each} />)}</ul></details>}
        </>
      )}
    </section>
  );
}
