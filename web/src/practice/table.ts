// SPDX-License-Identifier: Apache-2.0
// A table as RFC 4180 text. A cell that a spreadsheet would take for a formula is kept as text.
const kRisky = /^[=+\-@\t]/;

export function cellOf(text: string): string {
  const safe = kRisky.test(text) && !/^-?\d+(\.\d+)?$/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

export const csvOf = (head: readonly string[], rows: readonly (readonly string[])[]): string =>
  [head, ...rows].map((row) => row.map(cellOf).join(",")).join("\r\n");
