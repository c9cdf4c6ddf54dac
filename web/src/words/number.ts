// SPDX-License-Identifier: Apache-2.0
// All numbers on the page are written here: decimals, minus sign, ± figures, chances in whole tens. Nothing is computed.
const kMinus = "\u2212";
const kThin = "\u202f";
const kNoBreak = "\u00a0";

export function figure(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? kMinus + text : text;
}

// As many decimals as the spread supports: two significant figures of an sd below 1, none from 10 up.
export function decimalsFor(sd: number | null): number {
  if (sd === null || sd <= 0) return 1;
  if (sd >= 10) return 0;
  if (sd >= 1) return 1;
  return Math.min(4, 1 - Math.floor(Math.log10(sd)));
}

export function plain(value: number): string {
  const text = String(Math.round(Math.abs(value) * 1000) / 1000);
  return value < 0 ? kMinus + text : text;
}

export function reading(value: number, sd: number | null, unit: string): string {
  const tail = unit === "" ? "" : unit === "deg" ? "°" : `${kThin}${unit}`;
  if (sd === null) return `${plain(value)}${tail}`;
  const decimals = decimalsFor(sd);
  return `${figure(value, decimals)}${kNoBreak}±${kNoBreak}${figure(sd, decimals)}${tail}`;
}

// Between grades and flags the figures behind a chance carry no more than a tenth.
export function chance(share: number): string {
  if (share >= 0.995) return "certain";
  if (share <= 0.005) return "almost never";
  if (share > 0.95) return "over 9 in 10";
  if (share < 0.05) return "under 1 in 10";
  return `${Math.round(share * 10)} in 10`;
}

// A published share: whole tens where it is common, whole hundreds or thousands where it is rare.
export function published(share: number): string {
  if (share <= 0) return "none seen";
  if (share < 0.0095) return `${Math.max(1, Math.round(share * 1000))} in 1,000`;
  if (share < 0.095) return `${Math.round(share * 100)} in 100`;
  if (share > 0.95) return "over 9 in 10";
  return `${Math.round(share * 10)} in 10`;
}

// Two published shares on one base, so that they can be compared at a glance: "8 to 35 in 100".
export function publishedRange(low: number, high: number): string {
  if (published(low) === published(high)) return published(high);
  if (high < 0.0095) return `${Math.max(1, Math.round(low * 1000))} to ${Math.round(high * 1000)} in 1,000`;
  if (low < 0.0095) return `under 1 to ${Math.round(high * 100)} in 100`;
  if (low < 0.095) return `${Math.round(low * 100)} to ${Math.round(high * 100)} in 100`;
  return `${Math.round(low * 10)} to ${Math.round(high * 10)} in 10`;
}

// A factor, with the two figures that an odds ratio carries.
export const times = (factor: number): string => `${Number(factor.toPrecision(2))} times`;

export function total(value: number): string {
  return Number.isInteger(value) ? plain(value) : figure(value, 1);
}

const kMonths = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const two = (value: number): string => String(value).padStart(2, "0");

export function clock(time: Date): string {
  return `${two(time.getHours())}:${two(time.getMinutes())}`;
}

// "25 Nov 2026, 10:46" in the reader's zone.
export function moment(iso: string): string {
  const time = new Date(iso);
  if (Number.isNaN(time.getTime())) return "time not given";
  return `${time.getDate()} ${kMonths[time.getMonth()] ?? ""} ${time.getFullYear()}, ${clock(time)}`;
}

export function countOf(n: number, one: string, many: string): string {
  return `${n} ${n === 1 ? one : many}`;
}

// A number above 0 as a person types it, with a point or a comma; null: it is none.
export function numberIn(text: string): number | null {
  const value = Number(text.trim().replace(",", "."));
  return text.trim() !== "" && Number.isFinite(value) && value > 0 ? value : null;
}
