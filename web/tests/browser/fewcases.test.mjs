// SPDX-License-Identifier: Apache-2.0
// Practice with no case, one and seven, on a program with a folder of its own: every figure says how little it rests on.
import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { readFile, mkdtemp, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { becomes, openBrowser } from "./browser.mjs";
import { ended, removed } from "./leaving.mjs";

const kDist = fileURLToPath(new URL("../../dist", import.meta.url));
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
let folder, server, browser, page, origin;

before(async () => {
  folder = await mkdtemp(join(tmpdir(), "fairlead-few-"));
  server = spawn(process.env.FAIRLEAD_PROGRAM, ["serve", "--data", folder, "--port", "0", "--web", kDist], { stdio: ["ignore", "pipe", "ignore"] });
  const printed = await new Promise((found, failed) => {
    let text = "";
    server.stdout.on("data", (bytes) => { text += bytes; const url = text.match(/http:\/\/\S+start=\S+/); if (url) found(url[0]); });
    server.on("exit", (code) => failed(new Error(`the program ended with ${code}`)));
  });
  origin = new URL(printed).origin;
  browser = await openBrowser();
  page = browser.page;
  page.setDefaultTimeout(15000);
  await page.goto(printed);
});
after(async () => {
  await browser?.close();
  await ended(server);
  await removed(folder);
});

// Invented rows; every second one failed.
const rows = (count) => Array.from({ length: count }, (_, i) => ({
  case: `few-${i}`, began: `2026-0${1 + i}-03T08:00:00Z`, by: "AB", vessel: "RCA", j_cto: i % 4, success: i % 2 === 0, complication: false, minutes: 60 + i, invented: true,
  tries: [{ strategy: "AW", minutes: 20, crossed: i % 2 === 0, ...(i % 2 === 0 ? {} : { reason: "cap-hard", stalled_min: 6 }) }],
}));
async function open(count) {
  if (count > 0) {
    const file = join(folder, `rows-${count}.json`);
    await writeFile(file, JSON.stringify({ cases: rows(count) }));
    const said = spawnSync(process.env.FAIRLEAD_PROGRAM, ["lab", "set", "past-cases", file, "--version", String(count), "--owner", "head of the lab", "--by", "AB", "--data", folder], { encoding: "utf8" });
    assert.equal(said.status, 0, said.stderr);
  }
  await page.goto(`${origin}/#/practice`);
  await page.reload();
  await page.getByRole("heading", { name: new RegExp(`^${count} cases?`) }).waitFor();
  await page.evaluate(kAxe);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa"] }));
  assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes[0]?.html}`), []);
  const drawn = await page.locator(".audit-sheet path").evaluateAll((paths) => paths.map((each) => each.getAttribute("d") ?? "").filter((d) => /NaN|Infinity|undefined/.test(d)));
  assert.deepEqual(drawn, [], "every line has a place");
  return (await page.locator("main").textContent()) ?? "";
}

test("no case: a sentence, no picture of nothing", async () => {
  const words = await open(0);
  assert.match(words, /No case lies in this slice/);
  await becomes(() => page.locator(".audit > .pane:not(.learning) svg.audit-sheet").count(), 0);
});

test("one case: figures with their whole width, no slope, no curve", async () => {
  const words = await open(1);
  assert.match(words, /100 % \(21 % to 100 %\), 1 of 1/); // Wilson, 1 of 1: 1 / (1 + 1.96²) to 1
  assert.match(words, /no slope of calibration and no learning curve/);
});

test("seven cases: the interval says that they settle nothing", async () => {
  const words = await open(7);
  assert.match(words, /57 % \(25 % to 84 %\), 4 of 7/); // Wilson by R 4.2: prop.test(4, 7, correct = FALSE)
  assert.match(words, /compatible with no difference at all|Chance alone seldom/);
  await page.emulateMedia({ media: "print" });
  assert.ok(!(await page.getByRole("form", { name: "Which cases" }).isVisible()), "filters are no part of a print");
  assert.ok(await page.getByRole("heading", { name: /^7 cases/ }).isVisible());
  await page.emulateMedia({ media: "screen" });
});

test("nothing is wrong on the console", () => assert.deepEqual(browser.faults, []));
