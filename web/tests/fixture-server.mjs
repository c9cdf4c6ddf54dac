// SPDX-License-Identifier: Apache-2.0
// A small stand-in for the engine that speaks docs/wire.md with synthetic runs and one invented case, for work on the
// page alone and for checks that need a server which misbehaves (silence, slow frames). It computes nothing clinical:
// dictionary, scores and assessment are answers recorded from the engine.
//   node tests/fixture-server.mjs [PORT]
import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { extname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const kWeb = fileURLToPath(new URL("..", import.meta.url));
const kTypes = { ".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml" };

// The engine's own dictionary, as it was recorded.
const kFacts = JSON.parse(await readFile(new URL("recorded/facts.json", import.meta.url), "utf8")).facts;
const recorded = async (name) => JSON.parse(await readFile(new URL(`recorded/${name}.json`, import.meta.url), "utf8"));
const kScores = await recorded("scores");
const kSources = await recorded("sources");
const kAssessment = await recorded("assessment");
const [kLadder, kTray, kRun, kGrammar] = await Promise.all(["ladder", "tray", "run", "grammar"].map(recorded));
const [kSkin, kViews] = await Promise.all(["skin", "views"].map(recorded));

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
    assessment: { ...kAssessment, seq: journal.length },
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
    const moments = path.match(/^\/api\/images\/(\w+)\/moments$/);
    if (moments) {
      const n = images.get(moments[1]).frames;
      return json({ contrast: Array(n).fill(1), motion_px: Array(n).fill(0), of_beat: Array(n).fill(null), r_waves: [], suggested: null, because: "Contrast hardly changes over this run: no frame stands out." });
    }
    if (path === "/api/events") {
      reply.writeHead(200, { "content-type": "text/event-stream", "cache-control": "no-store" });
      state.listeners.add(reply);
      request.on("close", () => state.listeners.delete(reply));
      return reply.write(`event: beat\ndata: {}\n\n`);
    }
    if (path === "/api/me") return json({ asks_for_passwords: false, person: { name: "", role: "administrator" } });
    if (path === "/api/version") return json({ name: "fairlead", version: "fixture", schema: "" });
    if (path === "/api/facts") return json({ facts: kFacts });
    if (path === "/api/scores") return json(kScores);
    if (path === "/api/sources") return json(kSources);
    if (path === "/api/cases") return json({ cases: [{ id: "example", title: "Circumflex, cap not seen at the marginal", room: "Room 2", invented: true, summary: "circumflex, 19 ± 2 mm, cap not seen", entries: journal.length, last_at: null }] });
    if (path === "/api/cases/example") return json(caseState());
    if (path === "/api/cases/example/entries") return json({ entries: JSON.parse(await body(request)).entries.map(take) });
    if (path === "/api/ladder") return json({ ...kLadder, seq: journal.length });
    if (path === "/api/cases/example/panels/tray") return json({ ...kTray, seq: journal.length });
    if (path === "/api/cases/example/panels/skin") return json({ ...kSkin, seq: journal.length });
    if (path === "/api/cases/example/panels/views") return json({ ...kViews, seq: journal.length });
    if (path === "/api/cases/example/panels/run") return json({ ...kRun, seq: journal.length, now: new Date().toISOString() });
    if (path === "/api/log/grammar") return json(kGrammar);
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
