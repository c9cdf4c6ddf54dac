// SPDX-License-Identifier: Apache-2.0
// What the board asks of the engine: the run's panel, the table of the log bar, and what it makes of one line.
import { get, post } from "../wire/engine";
import { ladderAnswer } from "../wire/ladder";
import { lackShape, wayLackShape } from "../wire/lack";
import { arrayOf, count, object, truth, type Parsed } from "../wire/parse";
import * as shapes from "../wire/shapes";
import { grammarAnswer } from "./grammar";
import { runAnswer } from "./panel";

export const zoneMin = (): number => -new Date().getTimezoneOffset();

export type Then = { readonly at: string; readonly known: boolean } | null; // null: now
const asOf = (then: Then): string => (then === null ? "" : `?at=${encodeURIComponent(then.at)}${then.known ? "&known" : ""}`);
export const readRun = (id: string, then: Then, signal?: AbortSignal) => get(`/api/cases/${encodeURIComponent(id)}/panels/run${asOf(then)}`, runAnswer, signal);
export const readLadder = (id: string, then: Then, signal?: AbortSignal) => get(`/api/cases/${encodeURIComponent(id)}/panels/ladder${asOf(then)}`, ladderAnswer, signal);

export const readGrammar = () => get("/api/log/grammar", grammarAnswer);
// Nothing is kept: a preview of a line that is being typed, so one that makes no sense yet is an answer and no error.
export const readLine = (id: string, text: string, by: string, signal?: AbortSignal) =>
  post(`/api/cases/${encodeURIComponent(id)}/log`, shapes.lineAnswer, { text, by: by === "" ? "?" : by, zone_min: zoneMin(), typing: true }, signal);

// What the ways of the run lack of the shelf.
const lackingAnswer = object({ seq: count, shelf_known: truth, invented: truth, bailout: arrayOf(lackShape), ways: arrayOf(wayLackShape) });
export type LackingAnswer = Parsed<typeof lackingAnswer>;
export type LackingWay = Parsed<typeof wayLackShape>;
export type Lack = Parsed<typeof lackShape>;
export const readLacking = (id: string, signal?: AbortSignal) => get(`/api/cases/${encodeURIComponent(id)}/panels/lacking`, lackingAnswer, signal);
