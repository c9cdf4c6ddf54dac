// SPDX-License-Identifier: Apache-2.0
// Measures, not checks: a pullback of 3,000 frames on the page. `npm run test:browser -- long-pullback.bench.mjs`, with
// PULLBACK=FILE.dcm for another than an invented one of 400 x 400 pixels (FRAMES=3000, SIZE=400, SECONDS=10 change it). Prints how soon lines stand, how long the whole reading takes, how many frames a
// second are shown while the lengthwise view is dragged, and what engine, child and page hold.
import { execFile } from "node:child_process";
import { mkdtemp, readFile } from "node:fs/promises";
import { readdirSync, readFileSync, readlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { promisify } from "node:util";
import { openBrowser } from "./browser.mjs";
import { removed } from "./leaving.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
const kFrames = process.env.FRAMES ?? "3000";
const kSize = process.env.SIZE ?? "400";
const kSeconds = Number(process.env.SECONDS ?? "10");
const status = (pid, key) => Number((readFileSync(`/proc/${pid}/status`, "utf8").match(new RegExp(`^${key}:\\s+(\\d+)`, "m")) ?? [])[1] ?? 0) / 1024;
const words = (pid) => readFileSync(`/proc/${pid}/cmdline`, "utf8").split(/[\0 ]/); // a browser's children join theirs with blanks
function processes(wanted) {
  return readdirSync("/proc").filter((each) => /^\d+$/.test(each)).filter((pid) => {
    try { return wanted(words(pid), pid); } catch { return false; }
  });
}
const most = new Map();
function watchMemory(profile) {
  const note = (name, mb) => most.set(name, Math.max(most.get(name) ?? 0, mb));
  return setInterval(() => {
    for (const pid of processes((line, pid) => readlinkSync(`/proc/${pid}/exe`) === process.env.FAIRLEAD_PROGRAM && !words(pid).includes("phantom"))) { // the one that makes the file is the same program
      try { note(words(pid).includes("_decode") ? "child" : "engine", status(pid, "VmHWM")); } catch { /* it has ended */ }
    }
    for (const pid of processes((line) => line.includes("--type=renderer") && line.some((each) => each.includes(profile)))) {
      try { note("page", status(pid, "VmRSS")); } catch { /* it has ended */ }
    }
  }, 200);
}

async function invented() {
  const folder = await mkdtemp(join(tmpdir(), "fairlead-ivus-"));
  await promisify(execFile)(process.env.FAIRLEAD_PROGRAM, ["phantom", "ivus", "--scene", "plaque-far-outside", "--frames", kFrames, "--size", kSize, "-o", folder]);
  const bytes = await readFile(join(folder, "pullback.dcm"));
  await removed(folder);
  return bytes;
}

test("a long pullback, measured", async () => {
  const browser = await openBrowser();
  const { page } = browser;
  page.setDefaultTimeout(120000);
  const memory = watchMemory("fairlead-page-");
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
  await page.goto(kOrigin);
  await page.evaluate(() => localStorage.setItem("fairlead-writer", "AB"));
  const id = await page.evaluate(async () => (await (await fetch("/api/cases")).json()).cases[0].id);
  const bytes = process.env.PULLBACK ? await readFile(process.env.PULLBACK) : await invented();
  const began = performance.now();
  const reply = await fetch(`${kOrigin}/api/images?case=${id}`, { method: "POST", body: bytes, headers: { "content-type": "application/octet-stream", cookie: process.env.FAIRLEAD_COOKIE, origin: kOrigin } });
  const { hash } = await reply.json();
  console.log(`brought in after ${((performance.now() - began) / 1000).toFixed(1)} s: ${bytes.length >> 20} MB, ${hash?.slice(0, 8)}`);
  await page.goto(`${kOrigin}/#/case/${id}/appraise`);
  const runs = page.getByRole("region", { name: "Runs" }).getByRole("button", { name: /frames/ });
  await runs.last().waitFor();
  const opened = performance.now();
  await runs.last().click();
  await page.locator(".round-layer path.over.media").first().waitFor();
  console.log(`lines stand ${((performance.now() - opened) / 1000).toFixed(2)} s after it is opened`);
  const bench = page.getByRole("region", { name: "Pullback, read", exact: true });
  const asked = performance.now();
  await bench.getByRole("button", { name: "Read the pullback", exact: true }).click();
  await bench.getByRole("heading", { name: "Into the facts" }).waitFor();
  console.log(`all of it is read ${((performance.now() - asked) / 1000).toFixed(1)} s after it is asked for`);
  const box = await page.getByRole("slider", { name: "Along the pullback", exact: true }).boundingBox();
  await page.evaluate(() => {
    globalThis.ticks = [];
    globalThis.shownAtFirst = Number(document.querySelector("#picture").getAttribute("data-shown"));
    const tick = (at) => { globalThis.ticks.push(at); requestAnimationFrame(tick); };
    requestAnimationFrame(tick);
  });
  // Dragged from within, a step at each refresh: the driver's own mouse reaches the page some 40 times a second only.
  await page.evaluate(({ box, seconds }) => new Promise((done) => {
    const along = document.querySelector(".along");
    along.setPointerCapture = () => undefined; // no such pointer is down
    along.hasPointerCapture = () => true;
    const send = (kind, x) => along.dispatchEvent(new PointerEvent(kind, { pointerId: 77, clientX: x, clientY: box.y + 20, buttons: 1, bubbles: true }));
    send("pointerdown", box.x + 5);
    const until = performance.now() + 1000 * seconds;
    let step = 0;
    const tick = () => {
      send("pointermove", box.x + 5 + ((step++ * 3) % (box.width - 10)));
      if (performance.now() < until) requestAnimationFrame(tick);
      else { send("pointerup", box.x + 5); delete along.hasPointerCapture; delete along.setPointerCapture; done(); }
    };
    requestAnimationFrame(tick);
  }), { box, seconds: kSeconds });
  const seen = await page.evaluate(() => ({ ticks: globalThis.ticks, shown: Number(document.querySelector("#picture").getAttribute("data-shown")) - globalThis.shownAtFirst }));
  const gaps = seen.ticks.slice(1).map((at, index) => at - seen.ticks[index]).sort((a, b) => a - b);
  const span = (seen.ticks.at(-1) - seen.ticks[0]) / 1000;
  console.log(`dragged for ${span.toFixed(1)} s: ${(gaps.length / span).toFixed(1)} refreshes and ${(seen.shown / span).toFixed(1)} frames of the pullback a second; ` +
    `between refreshes: median ${gaps[gaps.length >> 1].toFixed(1)} ms, 95 % within ${gaps[Math.floor(gaps.length * 0.95)].toFixed(1)} ms, longest ${gaps.at(-1).toFixed(0)} ms`);
  clearInterval(memory);
  console.log(`most held, MB: ${[...most].map(([what, mb]) => `${what} ${mb.toFixed(0)}`).join(", ")}`);
  await browser.close();
});
