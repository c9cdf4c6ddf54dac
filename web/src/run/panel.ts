// SPDX-License-Identifier: Apache-2.0
// The engine's panel of the run (docs/wire.md), from the wire to what the board draws. Words and marks only: every figure
// is the engine's.
import { anything, arrayOf, count, fallback, maybe, number, object, text, truth, type Parsed } from "../wire/parse";
import { figure } from "../words/number";
import type { Board, Caution, Clotting, Device, Drill, Gate, Gauge, Lane, Limit } from "./board";
import { deviceWords, phaseWords, spaceWords, strategyNames } from "./words";

const band = object({ low: number, mid: number, high: number });
const last = maybe(object({ value: number, at: text }));
const budget = object({
  used: maybe(number), used_at: maybe(text), limit: maybe(number), limit_says: fallback(text, ""), reserve: fallback(number, 0), left: maybe(number),
  band: anything, rate: maybe(object({ low: number, mid: number, high: number, prior: truth, readings: count })), minutes_left: maybe(band),
});
type Budget = Parsed<typeof budget>;
const quantiles = object({ p5: maybe(number), p50: maybe(number), p95: maybe(number) }); // null: long after the last dose there is none
const attempt = object({
  strategy: text, channel: fallback(text, ""), start: text, end: maybe(text),
  phases: fallback(arrayOf(object({ phase: text, start: text, end: maybe(text) })), []),
});
const device = object({
  kind: text, tag: fallback(text, ""), side: fallback(text, ""), length_cm: maybe(number), size_f: maybe(number), tip_g: maybe(number),
  depth_cm: maybe(number), diameter_mm: maybe(number), class: fallback(text, ""), lumens: fallback(text, ""), kit: fallback(text, ""), site: fallback(text, ""),
  externalised: fallback(truth, false), in_aorta: fallback(truth, false),
  place: maybe(object({ space: text, proof: fallback(text, "") })), externalise: maybe(object({ verdict: text })),
});
type WireDevice = Parsed<typeof device>;
const caution = object({
  rule: text, severity: text, since: text, text, short: fallback(text, ""), watches: fallback(text, ""), evidence: fallback(text, ""), source: fallback(text, ""),
  clears: fallback(text, ""), can_be_accepted: truth, accepted: maybe(object({ why: text })),
});
const gate = object({ gate: text, title: text, items: arrayOf(object({ item: text, says: text, state: text, why: fallback(text, ""), known: fallback(text, "") })) });
const drill = object({
  kind: text, site: fallback(text, ""), title: text, since: text, says: fallback(text, ""), evidence: fallback(text, ""), reverse_heparin: fallback(text, ""),
  kit: fallback(arrayOf(object({ item: text, state: text })), []),
  steps: arrayOf(object({ item: text, says: text, state: text, at: maybe(text), due: maybe(text), tick: text })),
});
const panel = object({
  seq: number, now: text, holds_until: maybe(text),
  session: maybe(object({ start: text, access: maybe(text), end: maybe(text), minutes: maybe(number) })),
  active: maybe(attempt), attempts: fallback(arrayOf(attempt), []), in_body: fallback(arrayOf(device), []),
  milestones: maybe(object({ distal_proven: maybe(text), distal_proven_by: fallback(text, "") })),
  totals: object({ contrast_ml: last, air_kerma_gy: last, kerma_area_gycm2: last }),
  budgets: object({ time_min: budget, contrast_ml: budget, air_kerma_gy: budget, kerma_area_gycm2: budget, fluoro_min: budget, egfr: maybe(number), contrast_to_kidney: maybe(number) }),
  anticoagulation: object({
    analyser: fallback(text, ""), target_s: maybe(number), lower_s: maybe(number), upper_s: maybe(number),
    last: maybe(object({ act_s: number, off_scale: truth, at: text })), awaited_since: maybe(text),
    forecast: maybe(object({ act_now_s: quantiles, act_in_30_s: quantiles, next_sample_in_min: number, suspect_sample: truth, outside_model: truth })),
    no_forecast: fallback(text, ""), acts: fallback(arrayOf(object({ at: text, act_s: number })), []),
  }),
  cautions: fallback(arrayOf(caution), []),
  not_watched: fallback(arrayOf(object({ lacks: text, rules: arrayOf(text), since: maybe(text) })), []),
  rules_changed: fallback(arrayOf(object({ rule: text, off: truth, severity: maybe(text), why: fallback(text, ""), owner: fallback(text, ""), version: fallback(text, ""), at: fallback(text, "") })), []),
  gates: fallback(arrayOf(gate), []), drills: fallback(arrayOf(drill), []),
});
type Panel = Parsed<typeof panel>;

function limitsOf(found: Budget, decimals: number, unit: string): Limit[] {
  if (found.limit === null) return [];
  const limits: Limit[] = [{ at: found.limit, says: `${figure(found.limit, decimals)} ${unit}${found.limit_says === "" ? "" : `: ${found.limit_says}`}`, grave: true }];
  if (found.reserve > 0) limits.unshift({ at: found.limit - found.reserve, says: `${figure(found.limit - found.reserve, decimals)} ${unit} with ${figure(found.reserve, decimals)} kept for finishing`, grave: false });
  return limits;
}

function forecastOf(found: Budget, decimals: number, unit: string): Gauge["forecast"] {
  if (found.used === null || found.rate === null) return null;
  const at = (rate: number) => (found.used ?? 0) + rate * 30;
  const says = `at this rate in 30 min ${figure(at(found.rate.mid), decimals)} (${figure(at(found.rate.low), decimals)}–${figure(at(found.rate.high), decimals)}) ${unit}${found.rate.prior ? ", published, not yours" : ""}`;
  return { low: at(found.rate.low), mid: at(found.rate.mid), high: at(found.rate.high), says };
}

function gaugeOf(id: Gauge["id"], title: string, found: Budget, decimals: number, unit: string, more = ""): Gauge {
  const left = found.minutes_left;
  const [low, mid, high] = left === null ? ["", "", ""] : [left.low, left.mid, left.high].map((each) => figure(each, 0));
  const until = left === null ? "" : `${mid}${low === high ? "" : ` (${low}–${high})`} min until the limit less the reserve`;
  return {
    id, title, used: found.used, decimals, unit, typedAt: found.used_at, runsSince: null, forecast: forecastOf(found, decimals, unit),
    limits: limitsOf(found, decimals, unit), keptBack: found.limit === null || found.reserve <= 0 ? null : found.reserve, says: [until, more].filter((each) => each !== "").join(" · "),
  };
}

// The console's other counters have no gauge of their own; empty while nothing is logged.
const counterOf = (name: string, found: Budget, unit: string): string =>
  found.used === null ? "" : `${name} ${figure(found.used, 0)}${found.limit === null ? "" : ` of ${figure(found.limit, 0)}`} ${unit}`;

type Triple = { readonly low: number; readonly mid: number; readonly high: number };
const tripleOf = (q: Parsed<typeof quantiles>): Triple | null => (q.p5 === null || q.p50 === null || q.p95 === null ? null : { low: q.p5, mid: q.p50, high: q.p95 });

function clottingOf(found: Panel["anticoagulation"], now: string): Clotting {
  const { forecast, last: sample } = found;
  const at = forecast === null ? null : tripleOf(forecast.act_now_s);
  const then = forecast === null ? null : tripleOf(forecast.act_in_30_s);
  const later = new Date(Date.parse(now) + 30 * 60_000).toISOString();
  const warnings = forecast === null ? [] : [forecast.suspect_sample ? "the last sample does not fit: sample, line or analyser?" : "", forecast.outside_model ? "outside what the model allows: the data alone hold" : ""];
  const due = forecast === null || at === null ? "" : forecast.next_sample_in_min < 1 ? "a sample is due" : `a sample is due in ${figure(forecast.next_sample_in_min, 0)} min`;
  const analyser = found.analyser === "H" ? "high-reading analyser" : found.analyser === "L" ? "low-reading analyser" : "";
  return {
    act: sample?.act_s ?? null, offScale: sample?.off_scale ?? false, at: sample?.at ?? null, waiting: found.awaited_since,
    low: found.lower_s ?? found.target_s, high: found.upper_s, now: at,
    course: at === null || then === null ? [] : [{ at: now, ...at }, { at: later, ...then }],
    dueAt: null, says: [due, ...warnings, forecast === null ? found.no_forecast : "", analyser].filter((each) => each !== "").join(" · "),
  };
}

function deviceOf(found: WireDevice): Device {
  const space = found.place === null ? "" : spaceWords(found.place.space);
  const verdict = found.externalise === null || found.externalise.verdict === "" ? "" : `to externalise: ${found.externalise.verdict}`;
  return {
    tag: found.tag, words: deviceWords(found), space: [space, found.externalised ? "externalised" : "", found.in_aorta ? "in the aorta" : ""].filter((each) => each !== "").join(", "),
    proof: found.place === null || found.place.proof === "" ? "" : found.place.proof === "none" ? "not proven" : found.place.proof === "views" ? "two views" : found.place.proof,
    grave: found.place !== null && ["extraplaque", "outside"].includes(found.place.space), note: verdict,
  };
}

function lanesOf(found: Panel): Lane[] {
  const of = (side: string) => found.in_body.filter((each) => each.side === side).map(deviceOf);
  const access = of("");
  const proven = found.milestones?.distal_proven ?? null;
  const lanes: Lane[] = [{ side: "antegrade", devices: of("antegrade") }, { side: "retrograde", devices: of("retrograde") }];
  if (access.length > 0) lanes.push({ side: "access", devices: access });
  lanes.push({ side: "far lumen", devices: [{ tag: "", words: proven === null ? "not reached" : "reached", space: "", proof: found.milestones?.distal_proven_by ?? "", grave: false, note: "" }] });
  return lanes;
}

const levelOf = (severity: string): Caution["level"] => (severity.startsWith("stop") ? "stop" : severity === "caution" ? "caution" : "info");
function cautionOf(found: Parsed<typeof caution>): Caution {
  return {
    id: found.rule, level: levelOf(found.severity), says: found.text, short: found.short === "" ? found.text : found.short, why: found.accepted === null ? "" : `Accepted: ${found.accepted.why}`,
    clears: found.clears, source: [found.evidence, found.source].filter((each) => each !== "").join(", "), since: found.since, accepted: found.accepted !== null, canAccept: found.can_be_accepted,
  };
}

const stateOf = (state: string): Gate["items"][number]["state"] => (state === "done" || state === "not" || state === "na" ? state : "open");
const kBeforeKit = new Set(["drain-set", "covered-stents", "coils", "snare"]); // items of the list *before*
function drillOf(found: Parsed<typeof drill>): Drill {
  return {
    id: found.kind, title: found.title, since: found.since, says: [`Local protocol decides. ${found.evidence}`, found.reverse_heparin === "" ? "" : `Reverse heparin: ${found.reverse_heparin}`].filter((each) => each !== "").join(" · "),
    steps: found.steps.map((step) => ({ id: step.item, says: step.says, at: step.state === "done" ? step.at : null, due: step.due, tick: step.tick })),
    kit: found.kit.map((item) => ({ id: item.item, inRoom: kBeforeKit.has(item.item) ? stateOf(item.state) : null })),
  };
}

export interface RunAnswer {
  readonly board: Board;
  readonly holdsUntil: number | null;
}

export function runAnswer(value: unknown, path: string): RunAnswer {
  const found = panel(value, path);
  const { active, session, budgets } = found;
  const phase = active?.phases[active.phases.length - 1];
  const kidney = budgets.egfr === null ? "eGFR not known" : `eGFR ${figure(budgets.egfr, 0)}${budgets.contrast_to_kidney === null ? "" : `, ratio ${figure(budgets.contrast_to_kidney, 1)}`}: a graded risk, no safe volume`;
  const time = gaugeOf("time", "Time", budgets.time_min, 0, "min"); // the engine counts its minutes, without breaks
  const over = session?.end != null; // nothing is forecast of what has ended
  const standing = (gauge: Gauge, says = "at the end"): Gauge => (over ? { ...gauge, forecast: null, says } : gauge);
  const beside = [counterOf("DAP", budgets.kerma_area_gycm2, "Gy·cm²"), counterOf("fluoroscopy", budgets.fluoro_min, "min")].filter((each) => each !== "").join(" · ");
  const board: Board = {
    seq: found.seq, now: found.now, begun: session?.access ?? null, ended: session?.end ?? null,
    attempt: active === null ? null : { number: found.attempts.length, strategy: active.strategy, name: strategyNames.get(active.strategy) ?? active.strategy, since: active.start },
    phase: phase === undefined || phase.phase === "" ? null : { word: phaseWords.get(phase.phase) ?? phase.phase, since: phase.start },
    gauges: [
      standing({ ...time, typedAt: null }),
      standing(gaugeOf("contrast", "Contrast", budgets.contrast_ml, 0, "mL", kidney), kidney),
      standing(gaugeOf("kerma", "Air kerma", budgets.air_kerma_gy, 1, "Gy", beside), beside === "" ? "at the end" : `at the end · ${beside}`),
    ],
    counted: { kerma: budgets.air_kerma_gy.used, area: budgets.kerma_area_gycm2.used, fluoro: budgets.fluoro_min.used },
    clotting: clottingOf(found.anticoagulation, found.now), lanes: lanesOf(found), cautions: found.cautions.map(cautionOf),
    notWatched: found.not_watched, changed: found.rules_changed,
    gates: found.gates.map((each) => ({ id: each.gate, title: each.title, items: each.items.map((item) => ({ id: item.item, says: item.says, state: stateOf(item.state), why: item.why, known: item.known })) })),
    drills: found.drills.map(drillOf),
  };
  return { board, holdsUntil: found.holds_until === null ? null : Date.parse(found.holds_until) };
}
