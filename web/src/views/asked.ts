// SPDX-License-Identifier: Apache-2.0
// What is asked of the view map: the stretch, the limit, the weights.

export interface Weight {
  readonly key: "foreshortening" | "overlap" | "dose_rate" | "skin" | "operator";
  readonly words: string;
  readonly usual: number;
  readonly most: number;
}
// The engine's own weights; what a slider leaves alone is not sent.
export const kWeights: readonly Weight[] = [
  { key: "foreshortening", words: "Foreshortening", usual: 1, most: 3 },
  { key: "overlap", words: "Overlap", usual: 1, most: 3 },
  { key: "dose_rate", words: "Dose rate", usual: 0.15, most: 1.5 },
  { key: "skin", words: "Skin already exposed", usual: 1, most: 3 },
  { key: "operator", words: "Tube on the operator's side", usual: 0.05, most: 0.5 },
];

export interface Asked {
  readonly model: boolean; // the model heart though a segment is measured
  readonly vessel: string; // empty: as the case has it
  readonly from: number | null;
  readonly to: number | null;
  readonly limit: number; // % of foreshortening
  readonly weights: Readonly<Partial<Record<Weight["key"], number>>>;
}
export const kUsual: Asked = { model: false, vessel: "", from: null, to: null, limit: 25, weights: {} };
export function queryOf(now: Asked): string {
  const query = new URLSearchParams();
  if (now.model && now.vessel === "") query.set("segment", "model");
  if (now.vessel !== "") query.set("vessel", now.vessel);
  if (now.from !== null) query.set("from", String(now.from));
  if (now.to !== null) query.set("to", String(now.to));
  if (now.limit !== kUsual.limit) query.set("limit", String(now.limit));
  for (const [key, value] of Object.entries(now.weights)) query.set(key, String(value));
  return query.size === 0 ? "" : `?${query.toString()}`;
}
