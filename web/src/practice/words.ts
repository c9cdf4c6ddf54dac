// SPDX-License-Identifier: Apache-2.0
// Figures of the audit in words.
import type { Outbox, Quartiles, Series, Share } from "./audit-shape";

export const percent = (share: number): string => `${(100 * share).toFixed(share < 0.1 ? 1 : 0)} %`;
export const shareWords = (share: Share | null): string =>
  share === null ? "nothing to count" : `${percent(share.share)} (${percent(share.low)} to ${percent(share.high)}), ${share.events} of ${share.cases}`;
export const two = (value: number): string => value.toFixed(2);
// What the chart says. In a long series some signals come by chance alone: how many is said beside how many there are.
const kSignalsNamed = 5;
export function signalWords(series: Series): string {
  const found = series.worse_signals;
  if (found.length === 0) return "No signal of more failures than expected.";
  const named = found.slice(-kSignalsNamed).map((i) => `case ${i + 1}`).join(", ");
  if (found.length <= kSignalsNamed) return `A signal at ${named}: worth a review of those cases, not a verdict.`;
  const chance = Math.round(series.judged / series.worse_threshold.run_length_cases);
  return `${found.length} signals in ${series.judged} cases, where chance alone would give about ${chance}; the last at ${named}: worth a review of those cases, not a verdict.`;
}
const three = (value: number): string => String(Number(value.toPrecision(3)));
// The middle with its own interval where the cases bound it, the half of the cases, and how many they are.
export function quartileWords(found: Quartiles | null, unit: string): string {
  if (found === null) return "not known";
  const { low, high } = found.middle_within;
  const sure = low === null || high === null ? "too few to bound it" : `95 % ${three(low)} to ${three(high)}`;
  return `${three(found.middle)} ${unit} (${sure}); half within ${three(found.low)} to ${three(found.high)}; n ${found.cases}`;
}

// How the sending of rows stands.
const clock = (iso: string | null): string => (iso === null ? "never" : new Date(iso).toLocaleString("en-GB", { day: "2-digit", month: "short", hour: "2-digit", minute: "2-digit" }));

export function outboxWords(found: Outbox): string {
  const rows = found.waiting === 1 ? "1 row waits" : `${found.waiting} rows wait`;
  if (found.failing_since !== null) return `Not answering since ${clock(found.failing_since)}; ${rows} in this lab and nothing is lost. Asked again ${clock(found.next_try)}. ${found.why}`;
  return found.waiting > 0 ? `${rows} to be sent.` : `Everything is sent; last ${clock(found.last_sent)}.`;
}
