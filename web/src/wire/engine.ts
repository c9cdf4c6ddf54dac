// SPDX-License-Identifier: Apache-2.0
// Every request to the engine. Answers pass the parsers of shapes.ts; failures become one EngineError whose message is
// a sentence for the reader.
import { likeAnswer } from "../like/like-shape";
import { auditAnswer, outboxAnswer } from "../practice/audit-shape";
import { signal } from "@preact/signals";
import * as shapes from "./shapes";
import type { Parser } from "./parse";
import type { ImagePoint } from "./units";
import { ladderAnswer } from "./ladder";

export class EngineError extends Error {
  readonly status: number;
  readonly where: string;
  constructor(status: number, what: string, where: string, toDo: string) {
    super([what, toDo].filter((piece) => piece !== "").join(": "));
    this.name = "EngineError";
    this.status = status;
    this.where = where;
  }
}

const kAway = "The engine does not answer: nothing was saved; check that the program still runs, then try again";

export function faultOf(status: number, body: string): EngineError {
  try {
    const fault = shapes.parseError(JSON.parse(body), "");
    return new EngineError(status, fault.what, fault.where, fault.to_do);
  } catch {
    return new EngineError(status, `The engine refused with status ${status}`, "", "try again, or open the page from its printed address");
  }
}

// The engine asks for a password: nobody came in from this browser, or the session has ended.
export const turnedAway = signal(false);

// A busy engine names the seconds after which to ask again: what only reads does so, and nobody is told.
const kTries = 8;
async function asked(path: string, init: RequestInit): Promise<Response> {
  for (let tries = 1; ; tries += 1) {
    const reply = await fetch(path, { credentials: "same-origin", ...init });
    const rest = Number(reply.headers.get("retry-after") ?? NaN);
    if (reply.status !== 503 || init.method !== undefined || !(rest > 0) || tries >= kTries) return reply;
    await new Promise((done) => { setTimeout(done, Math.min(5, rest) * 1000); });
    init.signal?.throwIfAborted();
  }
}

async function answer<T>(path: string, parser: Parser<T>, init: RequestInit): Promise<T> {
  let reply: Response;
  try {
    reply = await asked(path, init);
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") throw error;
    throw new EngineError(0, kAway, path, "");
  }
  const body = await reply.text();
  if (reply.status === 401) turnedAway.value = true;
  if (!reply.ok) throw faultOf(reply.status, body);
  return parser(JSON.parse(body), "");
}

export const get = <T>(path: string, parser: Parser<T>, signal?: AbortSignal): Promise<T> =>
  answer(path, parser, signal ? { signal } : {});
export const post = <T>(path: string, parser: Parser<T>, body: unknown, signal?: AbortSignal): Promise<T> =>
  answer(path, parser, {
    method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body),
    ...(signal ? { signal } : {}),
  });

// For the tools that keep their requests beside themselves.
export const getJson = get;
export const postJson = post;
export const postTable = <T>(path: string, parser: Parser<T>, table: Blob): Promise<T> =>
  answer(path, parser, { method: "POST", headers: { "content-type": "text/csv" }, body: table });
export const postFile = <T>(path: string, parser: Parser<T>, file: Blob): Promise<T> =>
  answer(path, parser, { method: "POST", headers: { "content-type": "application/octet-stream" }, body: file });

export const readVersion = () => get("/api/version", shapes.versionAnswer);
export const readMe = (signal?: AbortSignal) => get("/api/me", shapes.meAnswer, signal);
export const logIn = (name: string, password: string) => post("/api/login", shapes.logInAnswer, { name, password });
export const logOut = () => post("/api/logout", shapes.nothing, {});
export const readFacts = () => get("/api/facts", shapes.factsAnswer);
export const readScores = () => get("/api/scores", shapes.scoresAnswer);
export const readSources = () => get("/api/sources", shapes.sourcesAnswer);
export const readCases = () => get("/api/cases", shapes.casesAnswer);
export const openCase = (title: string, room: string) => post("/api/cases", shapes.newCaseAnswer, { title, room });
export const readCase = (id: string, signal?: AbortSignal) => get(`/api/cases/${encodeURIComponent(id)}`, shapes.caseAnswer, signal);
// The case at an instant: as it was, or (`known`) as it was known then.
export const readPast = (id: string, at: string, known: boolean, signal?: AbortSignal) =>
  get(`/api/cases/${encodeURIComponent(id)}/at/${encodeURIComponent(at)}${known ? "?known" : ""}`, shapes.caseAnswer, signal);
// The assessment of the case's facts with others put in their place; nothing is written.
export const assess = (caseId: string, facts: Readonly<Record<string, unknown>>, signal?: AbortSignal) =>
  post("/api/assess", shapes.assessment, { case: caseId, facts }, signal);

export const readAudit = (query: string, signal?: AbortSignal) => get(`/api/practice/audit${query === "" ? "" : `?${query}`}`, auditAnswer, signal);
export const readOutbox = (signal?: AbortSignal) => get("/api/practice/outbox", outboxAnswer, signal);
export const readLike = (caseId: string, signal?: AbortSignal) => get(`/api/cases/${encodeURIComponent(caseId)}/panels/like`, likeAnswer, signal);
// Which way, with facts and limits supposed; nothing is written.
export const askLadder = (ask: { readonly case: string; readonly facts: Readonly<Record<string, unknown>>; readonly session: unknown; readonly doubts: boolean }, signal?: AbortSignal) =>
  post("/api/ladder", ladderAnswer, ask, signal);

export interface EntryOut {
  readonly v: 1;
  readonly id: string;
  readonly at: string;
  readonly written: string;
  readonly by: string;
  readonly device: "page";
  readonly kind: "fact" | "calibration" | "note" | "run" | "withdraw";
  readonly data: Readonly<Record<string, unknown>>;
  readonly amends?: string;
}
export const writeEntries = (caseId: string, entries: readonly EntryOut[]) =>
  post(`/api/cases/${encodeURIComponent(caseId)}/entries`, shapes.entriesAnswer, { entries });

// Stored values of frames first..last, both included; at most 16.
export async function readFrames(hash: string, first: number, last: number, signal: AbortSignal): Promise<ArrayBuffer> {
  const reply = await fetch(`/api/images/${hash}/frames/${first}-${last}`, { signal, credentials: "same-origin" });
  if (!reply.ok) throw faultOf(reply.status, await reply.text());
  return reply.arrayBuffer();
}

const bare = (points: readonly ImagePoint[]) => points.map(({ x, y }) => ({ x, y }));

export const measureCatheter = (
  ask: { image: string; frame: number; points: readonly ImagePoint[]; french: number; how: "across" | "along" },
  signal?: AbortSignal,
) => post("/api/measure/pixel-size", shapes.pixelSizeAnswer, { ...ask, points: bare(ask.points) }, signal);
export const measureGeometry = (image: string, signal?: AbortSignal) =>
  post("/api/measure/pixel-size", shapes.pixelSizeAnswer, { image }, signal);
export const measureLength = (
  ask: { image: string; frame: number; points: readonly ImagePoint[]; pixel_size: shapes.PixelSize },
  signal?: AbortSignal,
) => post("/api/measure/length", shapes.lengthAnswer, { ...ask, points: bare(ask.points) }, signal);

export async function readTree(ask: { image: string; frame: number; from: { x: number; y: number }; turns?: boolean }, signal: AbortSignal): Promise<ArrayBuffer> {
  const reply = await fetch("/api/measure/tree", {
    method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(ask), signal, credentials: "same-origin",
  });
  if (!reply.ok) throw faultOf(reply.status, await reply.text());
  return reply.arrayBuffer();
}
interface Place {
  readonly x: number;
  readonly y: number;
}
export const measureTrace = (
  ask: { image: string; frame: number; points: readonly Place[]; pixel_size?: shapes.PixelSize; strokes?: readonly (readonly Place[])[] },
  signal?: AbortSignal,
) => post("/api/measure/trace", shapes.traceAnswer, ask, signal);

export interface Upload {
  readonly done: Promise<shapes.Sent>;
  readonly cancel: () => void;
}
// XHR, since fetch cannot tell how much of a body has been sent.
export function sendImage(caseId: string, file: Blob, progress: (share: number) => void): Upload {
  const request = new XMLHttpRequest();
  const done = new Promise<shapes.Sent>((resolve, reject) => {
    request.open("POST", `/api/images?case=${encodeURIComponent(caseId)}`);
    request.setRequestHeader("content-type", "application/octet-stream");
    request.upload.onprogress = (event) => { if (event.lengthComputable) progress(event.loaded / event.total); };
    request.onerror = () => reject(new EngineError(0, kAway, "", ""));
    request.onabort = () => reject(new DOMException("cancelled", "AbortError"));
    request.onload = () => {
      if (request.status !== 200) {
        reject(faultOf(request.status, request.responseText));
        return;
      }
      try {
        resolve(shapes.uploadAnswer(JSON.parse(request.responseText), ""));
      } catch (error) {
        reject(error);
      }
    };
    request.send(file);
  });
  return { done, cancel: () => request.abort() };
}
