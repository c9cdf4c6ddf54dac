// SPDX-License-Identifier: Apache-2.0
// Which view may be left for the skin's sake, and what takes its place: the one thing to read when there is no time.
import { figure } from "../words/number";
import type { Views, WorkingView } from "./shapes";

// Below this no lasting change of the skin is published: skin-effects-2011, and the cost of a view counts it from here on.
const kMinds = 2;

export interface Leaving {
  readonly leave: WorkingView;
  readonly take: WorkingView | null; // null: none under the limit leaves the hot spot
  readonly turn: number;
  readonly lost: number; // points of foreshortening
  readonly minds: boolean; // the skin there is such that it matters
}

export function leavingOf(answer: Views): Leaving | null {
  const found = answer.spare;
  const from = found?.from ?? answer.held;
  if (!from || from.skin_gy === null || answer.map.skin_gy.length === 0) return null;
  const minds = from.skin_gy >= kMinds;
  if (!found) return { leave: from, take: null, turn: 0, lost: 0, minds };
  if (found.turn_deg < 0.5) return null;
  return { leave: from, take: found.to, turn: found.turn_deg, lost: found.foreshortening_lost_pct, minds };
}

const gray = (view: WorkingView): string => (view.skin_gy === null ? "not known" : `${figure(view.skin_gy, 1)} Gy`);

export function Leave({ answer }: { readonly answer: Views }) {
  const found = leavingOf(answer);
  if (!found) return null;
  const { leave, take, lost } = found;
  if (!found.minds) return <p class="leave small dim">No skin above {kMinds} Gy: no view to leave. Most of it came from {leave.view} ({gray(leave)}).</p>;
  return (
    <div class="leave" role="note" aria-label="View to leave, and what instead">
      <p class="leave-from"><span class="dim">To leave</span> <b class="figures">{leave.view}</b> <span class="figures">skin {gray(leave)}</span></p>
      {take
        ? <p class="leave-to"><span class="dim">Instead</span> <b class="figures">{take.view}</b> <span class="figures">skin {gray(take)}</span> <span class="small figures">{figure(found.turn, 0)}° away, {figure(take.foreshortening_pct, 0)} % hidden ({lost >= 0 ? "+" : "−"}{figure(Math.abs(lost), 0)})</span></p>
        : <p class="leave-to"><span class="dim">Instead</span> <b>none</b> <span class="small">under {figure(answer.limit_pct, 0)} % hidden: no reachable view leaves the hot spot. A smaller field and a lower rate remain.</span></p>}
      <p class="small dim">For {answer.target.name}{answer.target.measured ? "" : ", not this patient"}; an estimate, the operator decides.</p>
    </div>
  );
}
