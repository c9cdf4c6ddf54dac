// SPDX-License-Identifier: Apache-2.0
// What is believed about a fact, in words and as the engine reads it.
import type { Belief, FactRow } from "../wire/shapes";
import { chance, reading } from "./number";

export const gradeWord = (grade: string): string => grade.replaceAll("_", " ");

export function beliefWords(belief: Belief, row: FactRow): string {
  switch (belief.kind) {
    case "unknown": return "unknown";
    case "unseen": return "looked for, not seen";
    case "not determinable": return "not determinable";
    case "flag":
      if (belief.yes === 1) return "yes";
      return belief.yes === 0 ? "no" : `yes: ${chance(belief.yes)}`;
    case "odds": {
      const sorted = [...belief.odds].filter(([, share]) => share > 0).sort((a, b) => b[1] - a[1]);
      const first = sorted[0];
      if (first === undefined) return "unknown";
      if (sorted.length === 1) return gradeWord(first[0]);
      return sorted.map(([grade, share]) => `${gradeWord(grade)} ${chance(share)}`).join(", ");
    }
    case "number": return reading(belief.value, belief.sd, row.unit);
    case "numbers": return belief.values.map((each) => reading(each.value, each.sd, row.unit)).join(", ");
  }
}

// The JSON that the engine takes for this belief.
export function beliefOut(belief: Belief): unknown {
  switch (belief.kind) {
    case "unknown": return null;
    case "unseen": return "unseen";
    case "not determinable": return "not determinable";
    case "flag": return belief.yes === 1 ? true : belief.yes === 0 ? false : belief.yes;
    case "odds": {
      const some = [...belief.odds].filter(([, share]) => share > 0);
      const only = some[0];
      return some.length === 1 && only !== undefined ? only[0] : Object.fromEntries(some);
    }
    case "number": return belief.sd === null ? belief.value : { value: belief.value, sd: belief.sd };
    case "numbers": return belief.values.map((each) => (each.sd === null ? each.value : { value: each.value, sd: each.sd }));
  }
}

export const groupWords: Readonly<Record<string, string>> = {
  patient: "Patient", indication: "Why open it", lesion: "Lesion", "on CT": "On CT", on_ct: "On CT", distal: "Distal vessel", "distal vessel": "Distal vessel", collateral: "Collaterals",
  procedure: "Procedure",
};
