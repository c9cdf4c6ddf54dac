// SPDX-License-Identifier: Apache-2.0
// The entries of this browser that the engine does not have: those that wait, and the tray of those that it refused.
import { typed } from "../run/typed";
import { caseId } from "../state/store";
import { clock, countOf } from "../words/number";
import type { Kept } from "./kept";
import { discard, held, kept, refused, sendAsMeant, unwritten, waiting } from "./queue";

const timeOf = (each: Kept): string => clock(new Date(each.at));

function Refused({ each }: { readonly each: Kept }) {
  return (
    <li class="kept-line">
      <span class="figures">{timeOf(each)}</span> <b>{each.said}</b>
      <p class="warn small">{each.refused}</p>
      <div class="kept-keys">
        {each.asked === true && <button type="button" class="main" onClick={() => void sendAsMeant(each)}>It is meant: write it</button>}
        {each.caseId === caseId.value && <button type="button" onClick={() => { typed.value = each.said; void discard(each.n); document.getElementById("log-bar")?.focus(); }}>Type it again</button>}
        <button type="button" class="quiet" onClick={() => void discard(each.n)}>Take it out</button>
      </div>
    </li>
  );
}

export function Waiting() {
  return (
    <div>
      <h2>Not in the journal</h2>
      {held.value !== "" && <p class="warn">The engine takes nothing from this browser: {held.value}</p>}
      {unwritten.value !== "" && waiting.value.length > 0 && <p class="warn" role="status">The engine cannot write: {unwritten.value}. The entries below are safe in this browser and are sent again every second.</p>}
      <section aria-label="Refused entries">
        <h3>Refused</h3>
        {refused.value.length === 0 ? <p class="dim">None.</p> : <ul>{refused.value.map((each) => <Refused key={each.n} each={each} />)}</ul>}
      </section>
      <section aria-label="Waiting entries">
        <h3>Waiting for the engine, in this order</h3>
        {waiting.value.length === 0 ? <p class="dim">None: every entry of this browser is in the journal.</p>
          : <ol class="kept-list">{waiting.value.map((each) => <li key={each.n}><span class="figures">{timeOf(each)}</span> {each.said}</li>)}</ol>}
      </section>
      <p class="small dim">Each entry is kept in this browser before it is sent and erased when the engine has it. A refused one holds up nothing.</p>
    </div>
  );
}

// At the foot of the rail.
export function WaitingKey({ open }: { readonly open: () => void }) {
  if (kept.value.length === 0) return null;
  return (
    <button type="button" class={`waiting-key${refused.value.length > 0 || held.value !== "" ? " refused" : ""}`} onClick={open}>
      {waiting.value.length > 0 && <span>{countOf(waiting.value.length, "entry waits", "entries wait")}</span>}
      {unwritten.value !== "" && waiting.value.length > 0 && <span role="status">{unwritten.value.startsWith("the disk is full") ? "the disk is full" : "engine cannot write"}</span>}
      {held.value !== "" && <span>not let in</span>}
      {refused.value.length > 0 && <span>{refused.value.length} refused</span>}
    </button>
  );
}
