// SPDX-License-Identifier: Apache-2.0
// Every question about devices. The engine answers; nothing is worked out here.
import { getJson, postJson, postTable } from "../wire/engine";
import * as shapes from "./shapes";

// Without strategies: those of the ladder, in its order.
export const askTray = (caseId: string, strategies: readonly string[], radial: string, signal: AbortSignal) =>
  getJson(`/api/cases/${encodeURIComponent(caseId)}/panels/tray?${[strategies.length === 0 ? "" : `strategies=${strategies.join(",")}`, radial === "" ? "" : `radial_mm=${encodeURIComponent(radial)}`].filter((each) => each !== "").join("&")}`,
    shapes.trayAnswer, signal);
export const askFit = (lumen: string, items: readonly string[], signal: AbortSignal) =>
  postJson("/api/kit/fit", shapes.fitAnswer, { lumens: [lumen], items }, signal);
export const askReach = (body: Readonly<Record<string, unknown>>, signal: AbortSignal) => postJson("/api/kit/reach", shapes.reachAnswer, body, signal);
export const searchShelf = (need: string, signal: AbortSignal) => getJson(`/api/kit/shelf?need=${encodeURIComponent(need)}`, shapes.shelfAnswer, signal);
export const importList = (file: Blob, keepAs: string) =>
  postTable(`/api/kit/import${keepAs === "" ? "" : `?keep=1&by=${encodeURIComponent(keepAs)}`}`, shapes.importAnswer, file);
export const readLabel = (label: string) => postJson("/api/kit/label", shapes.labelAnswer, { label });
export const askWires = () => getJson("/api/kit/wires", shapes.wiresAnswer);
export const askSupport = () => getJson("/api/kit/support", shapes.supportAnswer);
