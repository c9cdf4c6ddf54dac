// SPDX-License-Identifier: Apache-2.0
// A score's answer in sentences. Shares come from the engine; here they are only rounded and put in order.
import type { FactRow, Outcome, ScoreDefinition, ScoreResult, Status } from "../wire/shapes";
import { chance, published, publishedRange, times, total } from "../words/number";

const listOf = (words: readonly string[], last: string): string =>
  words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} ${last} ${words.at(-1) ?? ""}`;

type Totals = Pick<ScoreResult, "totals" | "low" | "high"> & { readonly reachable?: readonly number[] };

export function totalsWords(result: Totals): string {
  if (result.totals) {
    const sorted = [...result.totals].filter(([, share]) => share > 0.005).sort((a, b) => b[1] - a[1]);
    const only = sorted[0];
    if (sorted.length === 1 && only) return `Total ${total(Number(only[0]))}`;
    return `Total ${sorted.slice(0, 4).map(([value, share]) => `${total(Number(value))} (${chance(share)})`).join(", ")}${sorted.length > 4 ? " and others" : ""}`;
  }
  const reachable = result.reachable ?? [];
  if (reachable.length > 0 && reachable.length <= 6) return `Reaches ${listOf(reachable.map(total), "or")}`;
  if (result.low !== null && result.high !== null) return `Reaches ${total(result.low)} to ${total(result.high)}`;
  return "No total";
}

// A group that its source only numbers is called so: "group 0-1".
const groupName = (name: string): string => (/^[\d<>≥≤]/.test(name) ? `group ${name.replace(">=", "≥").replace("<=", "≤")}` : name);

export function groupsWords(result: ScoreResult): string {
  if (result.group) {
    const sorted = [...result.group].filter(([, share]) => share > 0.005).sort((a, b) => b[1] - a[1]);
    const only = sorted[0];
    if (sorted.length === 1 && only) return groupName(only[0]);
    return sorted.map(([name, share]) => `${groupName(name)}: ${chance(share)}`).join(", ");
  }
  return listOf(result.reachable_groups.map(groupName), "or");
}

export function missingWords(result: ScoreResult, rows: ReadonlyMap<string, FactRow>): string {
  return result.missing.map((name) => rows.get(name)?.label ?? name).join("; ");
}

// A finding of a score that makes no total: for or against the patient, and how sure.
export function findingWords(finding: ScoreResult["findings"][number]): string {
  return finding.probability === null || finding.probability > 0.995 ? finding.label : `${finding.label}: ${chance(finding.probability)}`;
}

export const strategyWords = (strategy: string): string => strategy.replaceAll("_", " ");

export const hasFigure = (outcome: Outcome): boolean => outcome.value !== null || (outcome.low !== null && outcome.high !== null);

// An odds ratio is a factor, and must never read as a chance.
const factorRange = (low: number, high: number): string => (times(low) === times(high) ? times(high) : `${times(low).replace(" times", "")} to ${times(high)}`);

export function outcomeWords(outcome: Outcome): string {
  const { value, low, high } = outcome;
  const factor = outcome.unit === "times";
  const range = low !== null && high !== null ? (factor ? factorRange : publishedRange)(low, high) : "";
  if (value === null) return `${outcome.what}: ${range === "" ? "the figure is not shown, it has not been read in the article yet" : range}`;
  const one = (factor ? times : published)(value);
  return `${outcome.what}: ${range === "" || range === one ? `about ${one}` : `about ${one} (${range})`}`;
}

export const statusWords: Readonly<Record<Status, string>> = {
  FULL: "points and published rates",
  CHECK: "to be checked: total only",
  POINTS: "points only",
  HOLD: "on hold: no total",
};
export const statusMeaning: Readonly<Record<Status, string>> = {
  FULL: "Items, points, groups and published rates were read in the source.",
  CHECK: "At least one point, cut-off or rate has not been read in the full article yet. The total is shown, no published rate.",
  POINTS: "Items and points are firm. No rate was published in a form that may be shown here.",
  HOLD: "Points or cut-offs are not verified. The facts are shown, no total is made of them.",
};

export const questionWords: Readonly<Record<ScoreDefinition["question"], string>> = {
  wire: "Will a wire pass from the front, soon?",
  success: "Will the case succeed?",
  channel: "Can this channel be used?",
  harm: "What can go wrong?",
  kidney: "What will the contrast do to the kidney?",
};
