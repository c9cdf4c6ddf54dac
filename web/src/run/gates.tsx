// SPDX-License-Identifier: Apache-2.0
// Four short lists. Each item is done, not done and why, or does not apply; each answer is an entry.
import { signal } from "@preact/signals";
import { useState } from "preact/hooks";
import type { Board, Gate, GateItem } from "./board";
import { commit } from "./log";

export const openGate = signal<string | null>(null);

const kState = { open: "not answered", done: "done", not: "not done", na: "does not apply" } as const;

// Said most often; one's own words stand beside them.
const kReasons = ["not at hand", "asked for, not here yet", "not known", "no time: urgent", "decided against"] as const;

function Item({ gate, item }: { readonly gate: Gate; readonly item: GateItem }) {
  const [why, setWhy] = useState<string | null>(null);
  const tick = (state: "done" | "not" | "na", reason = "") => void commit(`tick ${gate.id} ${item.id} ${state}${reason === "" ? "" : ` ; ${reason}`}`).then(() => setWhy(null));
  return (
    <li class={`gate-item ${item.state}`}>
      <p>{item.says} <span class={item.state === "done" || item.state === "na" ? "dim small" : "warn small"}>{kState[item.state]}{item.why === "" ? "" : `: ${item.why}`}</span>{item.known !== "" && <span class="dim small figures"> · on record: {item.known}</span>}</p>
      <div class="gate-keys">
        <button type="button" aria-pressed={item.state === "done"} onClick={() => tick("done")}>Done</button>
        <button type="button" aria-pressed={item.state === "not"} onClick={() => setWhy("")}>Not, because…</button>
        <button type="button" aria-pressed={item.state === "na"} onClick={() => tick("na")}>Does not apply</button>
      </div>
      {why !== null && (
        <form class="accept" onSubmit={(event) => { event.preventDefault(); tick("not", why.trim()); }}>
          <label>Why it is not done<input value={why} maxLength={200} onInput={(event) => setWhy(event.currentTarget.value)} required /></label>
          <div class="reason-keys">{kReasons.map((each) => <button type="button" key={each} aria-pressed={why === each} onClick={() => setWhy(each)}>{each}</button>)}</div>
          <button type="submit" class="main" disabled={why.trim() === ""}>Write it</button>
        </form>
      )}
    </li>
  );
}

const openOf = (gate: Gate): number => gate.items.filter((item) => item.state === "open" || item.state === "not").length;

export function GateKeys({ board }: { readonly board: Board }) {
  return (
    <section class="pane gates" aria-label="Gates">
      <h2>Gates</h2>
      <div class="gate-row">
        {board.gates.map((gate) => (
          <button type="button" key={gate.id} aria-expanded={openGate.value === gate.id} onClick={() => { openGate.value = openGate.value === gate.id ? null : gate.id; }}>
            {gate.title} <span class={openOf(gate) === 0 ? "dim small" : "warn small"}>{openOf(gate) === 0 ? "✓ all answered" : `${openOf(gate)} open`}</span>
          </button>
        ))}
      </div>
      {board.gates.filter((gate) => gate.id === openGate.value).map((gate) => <ul key={gate.id} class="gate-items" aria-label={gate.title}>{gate.items.map((item) => <Item key={item.id} gate={gate} item={item} />)}</ul>)}
    </section>
  );
}
