// SPDX-License-Identifier: Apache-2.0
// A budget as an upright gauge, as a pure list of marks in a box of 100 by 140: used, forecast with its spread, limits,
// and the limit less what finishing costs.
import type { Gauge } from "./board";

export type Mark =
  | { readonly kind: "bar" | "forecast" | "kept"; readonly y: number; readonly height: number }
  | { readonly kind: "limit"; readonly y: number; readonly says: string; readonly grave: boolean; readonly passed: boolean };

const kTop = 8;
const kFoot = 132;

export function gaugeMarks(gauge: Gauge, used: number): readonly Mark[] {
  const highest = Math.max(...gauge.limits.map((limit) => limit.at), used, gauge.forecast?.high ?? 0, Number.MIN_VALUE) * 1.06;
  const y = (value: number): number => Math.round((kFoot - (Math.max(0, value) / highest) * (kFoot - kTop)) * 10) / 10;
  const between = (low: number, high: number) => ({ y: y(high), height: Math.round((y(low) - y(high)) * 10) / 10 });
  const marks: Mark[] = [{ kind: "bar", ...between(0, used) }];
  if (gauge.forecast !== null) marks.push({ kind: "forecast", ...between(Math.max(gauge.forecast.low, used), Math.max(gauge.forecast.high, used)) });
  const graves = gauge.limits.filter((limit) => limit.grave);
  const last = graves[0] ?? gauge.limits[gauge.limits.length - 1];
  if (gauge.keptBack !== null && last !== undefined) marks.push({ kind: "kept", ...between(last.at - gauge.keptBack, last.at) });
  for (const limit of gauge.limits) marks.push({ kind: "limit", y: y(limit.at), says: limit.says, grave: limit.grave, passed: used >= limit.at });
  return marks;
}
