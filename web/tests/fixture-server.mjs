// SPDX-License-Identifier: Apache-2.0
// A small stand-in for the engine that speaks docs/wire.md with synthetic runs and one invented case, for work on the
// page alone and for checks that need a server which misbehaves (silence, slow frames). It computes nothing clinical:
// the scores are fixed examples.
//   node tests/fixture-server.mjs [PORT]
import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { extname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const kWeb = fileURLToPath(new URL("..", import.meta.url));
const kTypes = { ".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml" };

// The engine's own dictionary, as it was recorded.
const kFacts = JSON.parse(await readFile(new URL("recorded/facts.json", import.meta.url), "utf8")).facts;
const kScores = [{
  id: "j-cto", name: "J-CTO", question: "wire", endpoint: "wire across within 30 min", polarity: "higher is harder", status: "FULL", status_why: "",
  low: 0, high: 5, step: 1, items: [{ id: "length", label: "Occlusion length", facts: ["length_angio_mm"], points: [{ points: 1, when: "over 20 mm" }] },
    { id: "bend", label: "Bend", facts: ["bend_angio_deg"], points: [{ points: 1, when: "over 45°" }] }],
  groups: [{ low: 0, high: 0, name: "easy" }, { low: 1, high: 1, name: "intermediate" }, { low: 2, high: 2, name: "difficult" }, { low: 3, high: 5, name: "very difficult" }],
  population: "An example of a cohort", not_for: "An example", performance: "An example", sources: ["example"],
}, {
  id: "castle", name: "CASTLE", question: "success", endpoint: "technical failure", polarity: "higher is harder", status: "POINTS", status_why: "An example of why.",
  low: 0, high: 6, step: 1, items: [], groups: [{ low: 0, high: 1, name: "0-1" }, { low: 2, high: 2, name: "2" }, { low: 3, high: 3, name: "3" }, { low: 4, high: 6, name: ">=4" }],
  population: "", not_for: "", performance: "", sources: ["example"],
}, ...[["mace-2022", "MACE", "harm", "CHECK", 7], ["jr-cto", "JR-CTO", "channel", "POINTS", 4], ["ca-aki-2004", "CA-AKI", "kidney", "FULL", 40],
  ["cl", "CL", "success", "CHECK", 8], ["held", "Held", "success", "HOLD", 5], ["w-cto", "W-CTO", "wire", "POINTS", 6.5]].map(([id, name, question, status, high]) => ({
  id, name, question, status, status_why: "An example of why this status was given.", endpoint: "an example of an endpoint", polarity: "higher is riskier", low: 0, high,
  step: high === 6.5 ? 0.5 : 1, items: [], groups: [{ low: 0, high: 2, name: "low" }, { low: 3, high: 99, name: "high" }],
  rates: [{ what: "an example", cohort: "derivation, 100 cases", source: "example", checked: "seen", by_group: status === "FULL" ? [{ group: "low", low: 0.02, high: 0.02 }, { group: "high", low: 0.3, high: 0.4 }] : null }],
  population: "", not_for: "", performance: "", sources: ["example"] }))];
const kMore = [
  { id: "mace-2022", name: "MACE", status: "CHECK", applies: true, low: 1, high: 5, reachable: [1, 2, 3, 4, 5], missing: ["strategy_category"], by_strategy: [
    { strategy: "antegrade", totals: { 1: 0.7, 2: 0.3 }, low: 1, high: 2, reachable_groups: ["low"], outcome: [{ what: "serious event", value: 0.02, low: 0.02, high: 0.02, source: "example", cohort: "", checked: true }] },
    { strategy: "dissection", totals: { 2: 0.7, 3: 0.3 }, low: 2, high: 3, reachable_groups: ["low", "high"], outcome: [] },
    { strategy: "retrograde", totals: { 3: 0.7, 4: 0.3 }, low: 3, high: 4, reachable_groups: ["high"], outcome: [] }] },
  { id: "jr-cto", name: "JR-CTO", status: "POINTS", applies: true, of: "c1", totals: { 1: 1 }, low: 1, high: 1, reachable: [1], group: { low: 1 } },
  { id: "ca-aki-2004", name: "CA-AKI", status: "FULL", applies: true, totals: { 4: 0.1, 6: 0.5, 7: 0.4 }, low: 4, high: 7, reachable: [4, 6, 7], group: { high: 1 }, outcome: [{ what: "creatinine rise", value: 0.14, low: 0.14, high: 0.14, source: "example", cohort: "derivation, 100 cases", checked: true }] },
  { id: "cl", name: "CL", status: "CHECK", applies: false, why: "made for first attempts; an earlier attempt failed" },
  { id: "held", name: "Held", status: "HOLD", applies: true, findings: [{ label: "blunt stump", facts: [], probability: 0.7, favourable: false }, { label: "interventional collateral", facts: [], probability: 1, favourable: true }] },
  { id: "w-cto", name: "W-CTO", status: "POINTS", applies: true, totals: { 2: 0.2, 3.5: 0.5, 4.5: 0.3 }, low: 2, high: 4.5, reachable: [2, 3.5, 4.5], group: { low: 0.2, high: 0.8 } },
];

// A vessel that fills from the left, a catheter of 6 French at the upper left; darkness follows the filling.
function frameOf(image, index) {
  const { rows, columns, bits } = image;
  const out = bits === 16 ? new Uint16Array(rows * columns) : new Uint8Array(rows * columns);
  const top = bits === 16 ? 2 ** image.bits_stored - 1 : 255;
  const front = (columns * 0.9 * index) / image.frames;
  const beat = Math.sin(index / 3) * rows * 0.01;
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < columns; x++) {
      let light = 0.62 + 0.1 * Math.sin(x / 71) * Math.cos(y / 53) + (((x * 7919 + y * 104729 + index * 31) % 97) / 97 - 0.5) * 0.05;
      const vessel = Math.abs(y - rows * 0.5 - Math.sin((x / columns) * 5) * rows * 0.12 - beat);
      const gap = x > columns * 0.42 && x < columns * 0.55;
      if (!gap && x < front && vessel < rows * 0.012) light -= 0.28 * (1 - vessel / (rows * 0.012));
      if (Math.abs(y - x * 0.9) < rows * 0.009 && x < columns * 0.3) light -= 0.2;
      out[y * columns + x] = Math.max(0, Math.min(1, light)) * top;
    }
  }
  return Buffer.from(out.buffer);
}
function imageOf(hash, frames, edge, bits, stored, more = {}) {
  return { hash, modality: "XA", kind: "X-ray angiogram", transfer_syntax: { uid: "1.2.840.10008.1.2.1", name: "Explicit VR Little Endian" },
    rows: edge, columns: edge, frames, samples: 1, bits, bits_stored: stored, inverse: false, frame_ms: Array.from({ length: frames }, (_, i) => (i * 1000) / (edge > 600 ? 30 : 15)),
    timing: "frame time", rate_hz: edge > 600 ? 30 : 15, view: { primary_deg: 31, secondary_deg: 0, text: "LAO 31 CRA 0" }, sid_mm: 1100, sod_mm: 750,
    detector_spacing_mm: [0.2, 0.2], spacing_from: "imager pixel spacing", window: { center: 2 ** (stored - 1), width: 2 ** stored }, shutter: null,
    pixel_size: { mm_per_px: 0.136, sd_mm_per_px: 0.011, method: "by geometry, at the isocentre" },
    filling: Array.from({ length: frames }, (_, i) => 0.2 + 0.5 * Math.sin((i / frames) * Math.PI)), remarks: [], ...more };
}
const kHash = (letter) => letter.repeat(64);

export function startFixture({ port = 0, web = join(kWeb, "dist") } = {}) {
  const images = new Map([
    [kHash("a"), imageOf(kHash("a"), 60, 512, 8, 8, { remarks: [{ level: "note", text: "Synthetic run, invented." }] })],
    [kHash("b"), imageOf(kHash("b"), 90, 1024, 16, 12, { view: { primary_deg: -28, secondary_deg: -22, text: "RAO 28 CAU 22" } })],
    [kHash("c"), imageOf(kHash("c"), 20, 512, 8, 8, { view: null, pixel_size: null, sid_mm: null, sod_mm: null, remarks: [{ level: "warning", text: "No geometry in this file: pixels only." }] })],
  ]);
  const facts = new Map([["age_years", { value: 67, mark: "stated" }], ["occluded_vessel", { value: "LCX", mark: "read" }],
    ["stump_angio", { value: { blunt: 0.7, tapered: 0.3 }, mark: "read" }], ["calcification_angio", { value: "mild", mark: "read" }],
    ["length_angio_mm", { value: { value: 19.2, sd: 2.4 }, mark: "measured" }]]);
  const journal = [{ seq: 1, id: "01ARZ3NDEKTSV4RRFFQ69G5FA1", kind: "case", at: "2026-11-24T09:00:00.000Z", recorded: "2026-11-24T09:00:00.000Z", by: "AB", device: "demo", text: "case opened", amends: null, status: "counts", data: {} }];
  const calibrations = new Map();
  const state = { silent: false, listeners: new Set(), requests: [] };
  const frames = new Map();
  const caseState = () => ({
    case: { id: "example", title: "Circumflex, cap not seen at the marginal", room: "Room 2", invented: true, summary: "circumflex, 19 ± 2 mm, cap not seen" },
    seq: journal.length, now: new Date().toISOString(), past: null,
    facts: [...facts].map(([key, fact]) => ({ name: key.split("/")[0], of: key.split("/")[1] ?? "", at: "2026-11-24T09:05:00.000Z", by: "AB", entry: null, note: "", origin: null, because: [], rule: null, history: [], ...fact })),
    channels: ["c1"], images: [...images.values()].map((image, i) => ({ hash: image.hash, label: `run ${i + 1}`, entry: "", image, calibration: calibrations.get(image.hash) ?? null })),
    assessment: { seq: journal.length, waiting: { bend_angio_deg: ["j-cto"], prior_cabg: ["castle"] }, disagreement: [{ text: "J-CTO calls it difficult, CASTLE easy: they were made for different questions.", scores: ["j-cto", "castle"] }], remarks: [], scores: [
      { id: "j-cto", name: "J-CTO", status: "FULL", applies: true, totals: null, low: 1, high: 4, reachable: [1, 2, 3, 4], missing: ["bend_angio_deg"], group: null, reachable_groups: ["intermediate", "difficult", "very difficult"], outcome: [], items: [], decides: { fact: "bend_angio_deg", what: "The bend moves the total by 1." }, assumed: {}, notes: [], sources: ["example"] },
      { id: "castle", name: "CASTLE", status: "POINTS", applies: true, totals: { 1: 0.62, 2: 0.38 }, low: 1, high: 2, reachable: [1, 2], missing: [], group: { "0-1": 0.62, 2: 0.38 }, reachable_groups: [], outcome: [], items: [], decides: null, assumed: {}, notes: [], sources: ["example"] }, ...kMore] },
    journal, not_understood: 0,
  });
  const tellAll = (text) => { for (const each of state.listeners) each.write(text); };
  const beat = setInterval(() => { if (!state.silent) tellAll(`event: beat\ndata: {"now":"${new Date().toISOString()}"}\n\n`); }, 2000);

  const take = (entry) => {
    if (entry.kind === "fact") facts.set(entry.data.of ? `${entry.data.fact}/${entry.data.of}` : entry.data.fact, { value: entry.data.value, mark: entry.data.mark, entry: entry.id, by: entry.by, at: entry.at, origin: entry.data.origin ?? null });
    if (entry.kind === "calibration") calibrations.set(entry.data.image, { entry: entry.id, ...entry.data });
    journal.push({ seq: journal.length + 1, recorded: new Date().toISOString(), text: `${entry.kind}: ${JSON.stringify(entry.data).slice(0, 60)}`, amends: null, status: "counts", ...entry });
    tellAll(`event: case\nid: example.${journal.length}\ndata: {"case":"example","seq":${journal.length},"recorded":""}\n\n`);
    return { id: entry.id, seq: journal.length, recorded: "", hash: "", again: false };
  };
  const body = async (request) => {
    const pieces = [];
    for await (const piece of request) pieces.push(piece);
    return Buffer.concat(pieces);
  };
  const answer = async (request, reply, url) => {
    const json = (value, status = 200) => { reply.writeHead(status, { "content-type": "application/json" }); reply.end(JSON.stringify(value)); };
    const path = url.pathname;
    const frame = path.match(/^\/api\/images\/(\w+)\/frames\/(\d+)-(\d+)$/);
    if (frame) {
      const image = images.get(frame[1]);
      const list = [];
      for (let at = Number(frame[2]); at <= Number(frame[3]); at++) {
        const drawn = Math.floor(at / 15) * 15; // six different pictures of a run are enough, and quick to make
        const key = `${frame[1]}/${drawn}`;
        if (!frames.has(key)) frames.set(key, frameOf(image, drawn));
        list.push(frames.get(key));
      }
      reply.writeHead(200, { "content-type": "application/octet-stream", "cache-control": "immutable, max-age=31536000" });
      return reply.end(Buffer.concat(list));
    }
    if (path === "/api/events") {
      reply.writeHead(200, { "content-type": "text/event-stream", "cache-control": "no-store" });
      state.listeners.add(reply);
      request.on("close", () => state.listeners.delete(reply));
      return reply.write(`event: beat\ndata: {}\n\n`);
    }
    if (path === "/api/version") return json({ name: "fairlead", version: "fixture", schema: "" });
    if (path === "/api/facts") return json({ facts: kFacts });
    if (path === "/api/scores") return json({ scores: kScores });
    if (path === "/api/sources") return json({ sources: [{ id: "example", kind: "article", citation: "An example source, not an article", doi: "", checked: "", note: "" }] });
    if (path === "/api/cases") return json({ cases: [{ id: "example", title: "Circumflex, cap not seen at the marginal", room: "Room 2", invented: true, summary: "circumflex, 19 ± 2 mm, cap not seen", entries: journal.length, last_at: null }] });
    if (path === "/api/cases/example") return json(caseState());
    if (path === "/api/cases/example/entries") return json({ entries: JSON.parse(await body(request)).entries.map(take) });
    if (path === "/api/measure/pixel-size") return json({ mm_per_px: 0.142, sd_mm_per_px: 0.004, parts: [{ name: "clicks", sd: 0.003 }, { name: "catheter size", sd: 0.0026 }], method: "catheter 6 French, along the shaft", warnings: [] });
    if (path === "/api/measure/length") {
      const ask = JSON.parse(await body(request));
      const px = ask.points.slice(1).reduce((sum, p, i) => sum + Math.hypot(p.x - ask.points[i].x, p.y - ask.points[i].y), 0);
      return json({ length_mm: { value: px * ask.pixel_size.mm_per_px, sd: 1.4 }, parts: [{ name: "clicks", sd: 0.7 }, { name: "pixel size", sd: 0.9 }, { name: "foreshortening (not corrected)", sd: 0.8 }], method: "ruler", warnings: ["One view: the true length is this or longer."] });
    }
    if (path === "/api/images") {
      await body(request);
      return json({ error: { what: "The file is not DICOM", where: "first 132 bytes", to_do: "choose the run's own file, exported as DICOM" } }, 422);
    }
    if (path.startsWith("/api/")) return json({ error: { what: "No such path", where: path, to_do: "" } }, 404);
    const file = path === "/" ? "/index.html" : path;
    const bytes = await readFile(join(web, file));
    reply.writeHead(200, { "content-type": kTypes[extname(file)] ?? "application/octet-stream" });
    return reply.end(bytes);
  };
  const server = createServer((request, reply) => {
    const url = new URL(request.url, "http://127.0.0.1");
    state.requests.push(url.pathname);
    answer(request, reply, url).catch(() => { reply.writeHead(404); reply.end(); });
  });
  return new Promise((ready) => server.listen(port, "127.0.0.1", () => ready({
    address: `http://127.0.0.1:${server.address().port}/`, state,
    close: () => { clearInterval(beat); for (const each of state.listeners) each.end(); server.closeAllConnections(); server.close(); },
  })));
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  const { address } = await startFixture({ port: Number(process.argv[2] ?? 8421) });
  console.log(address);
}
