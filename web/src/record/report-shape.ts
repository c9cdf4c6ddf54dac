// SPDX-License-Identifier: Apache-2.0
// The engine's report (docs/wire.md), as one parser from which its type is read.
import { arrayOf, count, maybe, number, object, oneOf, text, truth, type Parsed } from "../wire/parse";

const gap = object({ how: oneOf("fact", "log", "text", "hand"), what: text });
const line = object({ label: text, value: text, gap: maybe(gap), because: arrayOf(text), source: text });
export type Line = Parsed<typeof line>;
const table = object({ title: text, columns: arrayOf(text), rows: arrayOf(arrayOf(text)), remarks: arrayOf(text) });
export type Sheet = Parsed<typeof table>;
const words = object({ text, by: text, at: text, entry: text });
export type Words = Parsed<typeof words>;
const section = object({ id: text, title: text, lines: arrayOf(line), tables: arrayOf(table), words: arrayOf(words) });
export type Section = Parsed<typeof section>;
const seal = object({ version: count, by: text, at: text, up_to: count, gaps: count, report_sha256: text, assessment_sha256: text, program: text, entry: text });

const shot = object({ entry: text, title: text, caption: text, marks: arrayOf(text), wide: truth, missing: text });
export type Shot = Parsed<typeof shot>;

export const reportAnswer = object({
  case: text, title: text, invented: truth, visit: count, seq: count, hash: text, zone_min: number, not_understood: count, gaps: count,
  sections: arrayOf(section), pictures: arrayOf(shot), seals: arrayOf(seal), changes: arrayOf(text), standing: text,
});
export type ReportAnswer = Parsed<typeof reportAnswer>;

// Every gap with the section in which it stands, in the order of the report.
export interface Missing {
  readonly section: string;
  readonly label: string;
  readonly how: "fact" | "log" | "text" | "hand";
  readonly what: string;
}
export function missingOf(report: ReportAnswer): readonly Missing[] {
  return report.sections.flatMap((each) => each.lines.flatMap((one) => (one.gap === null ? [] : [{ section: each.id, label: one.label, how: one.gap.how, what: one.gap.what }])));
}
