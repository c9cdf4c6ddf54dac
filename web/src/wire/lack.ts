// SPDX-License-Identifier: Apache-2.0
// A way of the ladder with what it asks for and the shelf does not have (docs/wire.md, "Kit").
import { arrayOf, number, object, oneOf, text, truth } from "./parse";

export const lackShape = object({ what: text, state: oneOf("ready", "doubtful", "missing"), remark: text });
export const wayLackShape = object({
  id: text, words: text, chance: text, p_cross: number, in_plan: truth, under_way: truth, strategies: arrayOf(text), asked: truth, missing: arrayOf(lackShape),
});
