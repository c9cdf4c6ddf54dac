// SPDX-License-Identifier: Apache-2.0
// The working view that was chosen: a fact of the case, so that plan, board and journal say the same.
import { computed } from "@preact/signals";
import { open, say, write } from "../state/store";
import { parseBelief } from "../wire/shapes";
import { figure } from "../words/number";
import { anglesWords } from "./picture";
import type { Views, WorkingView } from "./shapes";

export const chosenView = computed(() => {
  const fact = open.value?.facts.find((each) => each.name === "working_view_deg");
  const belief = fact ? parseBelief(fact.value, "working_view_deg", "readings") : null;
  if (!fact || belief?.kind !== "numbers") return null;
  const [primary, secondary] = belief.values;
  if (!primary) return null;
  const angles = { primary_deg: primary.value, secondary_deg: secondary?.value ?? 0 };
  return { ...angles, words: anglesWords(angles.primary_deg, angles.secondary_deg), note: fact.note, entry: fact.entry };
});

// Where no other vessel is known, no share of overlap is either.
export const overlapWords = (answer: Views, pct: number): string => (answer.considered.length === 0 ? "overlap not known" : `${figure(pct, 0)} % overlapped`);

// What the log bar takes.
export function viewLine(primary: number, secondary: number): string {
  const side = (degrees: number, plus: string, minus: string) => `${degrees < 0 ? minus : plus}${Math.abs(Math.round(degrees))}`;
  return `view ${side(primary, "LAO", "RAO")} ${side(secondary, "CRA", "CAU")}`;
}

export async function chooseView(answer: Views, view: WorkingView, what: string): Promise<void> {
  const skin = view.skin_gy === null ? "" : `, skin there ${figure(view.skin_gy, 1)} Gy`;
  const note = `${what}: ${figure(view.foreshortening_pct, 0)} % hidden, ${overlapWords(answer, view.overlap_pct)}, dose rate ${figure(view.dose_rate, 1)} times frontal${skin}; `
    + (answer.target.measured ? "segment measured in two views" : "segment of a model heart, not measured in this patient");
  if (await write("fact", { fact: "working_view_deg", value: [view.primary_deg, view.secondary_deg], mark: "stated", note })) {
    say("done", `${anglesWords(view.primary_deg, view.secondary_deg)} is the working view: it stands in the plan and on the board`);
  }
}
