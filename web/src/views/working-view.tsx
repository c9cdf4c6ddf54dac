// SPDX-License-Identifier: Apache-2.0
// The working view chosen in Plan, on the board: what it was chosen for, and the line that logs it.
import { past } from "../state/store";
import { ask } from "../run/log";
import { typed } from "../run/typed";
import { chosenView, viewLine } from "./chosen";

export function WorkingViewPane() {
  const view = chosenView.value;
  if (view === null) return null;
  const line = viewLine(view.primary_deg, view.secondary_deg);
  return (
    <section class="pane working-view" aria-label="Working view">
      <p><span class="dim">Working view</span> <b class="figures">{view.words}</b> <span class="dim small">{view.note}</span></p>
      {past.value === null && <button type="button" onClick={() => { typed.value = line; void ask(line); document.getElementById("log-bar")?.focus(); }}>Log: {line}</button>}
    </section>
  );
}
