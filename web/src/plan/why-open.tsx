// SPDX-License-Identifier: Apache-2.0
// Why open it? One line with its evidence; what nobody wrote down is shown as unknown.
import { drawer, open, rows } from "../state/store";
import type { FactRow } from "../wire/shapes";
import { lineFor } from "../facts/known";
import { beliefWords } from "../words/belief";

const kShort: Readonly<Record<string, string>> = {
  angina_class: "angina class", breathlessness_class: "breathlessness class", angina_drugs: "drugs against angina", ischaemia_test: "test",
  ischaemic_share_pct: "ischaemic", viability: "viable", alternatives_offered: "alternatives offered", heart_team: "heart team agreed",
};

function Piece({ row }: { readonly row: FactRow }) {
  const line = lineFor(row, "");
  const unknown = line.belief.kind === "unknown";
  return (
    <button type="button" class={`why-piece${unknown ? " unknown" : ""}`} onClick={() => { drawer.value = { kind: "fact", name: row.name, of: "" }; }}>
      <span class="dim">{kShort[row.name] ?? row.label}</span> <b class="figures">{unknown ? "unknown" : beliefWords(line.belief, row)}</b>
    </button>
  );
}

export function WhyOpen() {
  const pieces = rows.value.filter((row) => row.group === "indication");
  if (open.value === null || pieces.length === 0) return null;
  return (
    <section class="pane why" aria-label="Why open it?">
      <h2>Why open it?</h2>
      <div class="why-pieces">{pieces.map((row) => <Piece key={row.name} row={row} />)}</div>
    </section>
  );
}
