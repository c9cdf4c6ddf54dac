// SPDX-License-Identifier: Apache-2.0
// On invented runs whose truth the generator tells. A trace with a second route asks for one more click, and the click decides.
// The occlusion's length between caps that two runs of one pose show: the near cap in one run, the far cap in the other,
// accepted, and opened again with both pictures.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdir, mkdtemp, readFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { becomes, openBrowser } from "./browser.mjs";
import { bringIn, enter, newCase } from "./entering.mjs";
import { removed } from "./leaving.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
const kPictures = fileURLToPath(new URL("../../test-results/pictures/", import.meta.url));
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
let browser;
let page;
let folder;
let caseId;
const truths = {};

// One heart and one pose, rendered twice: with another noise and with breathing, which begins at rest: the frames marked below
// show the heart in one place.
const kFrames = { clean: 36, typical: 0 };
before(async () => {
  await mkdir(kPictures, { recursive: true });
  folder = await mkdtemp(join(tmpdir(), "fairlead-one-pose-"));
  browser = await openBrowser();
  page = await enter(browser);
  caseId = await newCase(page, "RCA in one pose, invented for a check", "Lab Q");
  for (const grade of ["clean", "typical"]) {
    const made = spawnSync(process.env.FAIRLEAD_PROGRAM, ["phantom", "xa", "-o", join(folder, grade), "--scene", "short-right", "--seed", "7", "--grade", grade], { encoding: "utf8" });
    assert.equal(made.status, 0, made.stderr);
    truths[grade] = JSON.parse(await readFile(join(folder, grade, "truth.json"), "utf8"));
    await bringIn(page, caseId, join(folder, grade, truths[grade].runs[0].file));
  }
  await page.goto(`${kOrigin}/#/case/${caseId}/appraise`);
  await page.locator("#picture canvas:visible").waitFor();
  await page.getByLabel("Written by").fill("AB");
});
after(async () => {
  await browser?.close();
  await removed(folder);
});

const flat = (text) => (text ?? "").replace(/\s+/g, " ").trim();
const settled = () => page.locator(".bench[aria-busy=false]").waitFor();
const openRun = async (index, frame) => {
  await page.locator(".strip .run").nth(index).click();
  await becomes(() => page.locator(".strip .run").nth(index).getAttribute("aria-pressed"), "true");
  await page.locator("#picture canvas:visible").waitFor();
  await page.getByLabel("Frame", { exact: true }).fill(String(frame + 1));
};
const capPlace = (grade, cap) => truths[grade].runs[0].caps.find((each) => each.frame === kFrames[grade])[`${cap}_px`];
const click = async ([x, y]) => {
  const box = await page.locator("#picture").boundingBox();
  const side = Math.min(box.width, box.height);
  await page.mouse.click(box.x + (box.width - side) / 2 + ((x + 0.5) / 512) * side, box.y + (box.height - side) / 2 + ((y + 0.5) / 512) * side);
};
const lengthFound = async () => flat(await page.getByLabel("Occlusion length found", { exact: true }).textContent());

test("a trace with a second route draws it dashed and asks for one more click, which decides", async () => {
  const course = truths.clean.runs[0].vessels.find((each) => each.name === "D1").path_px;
  await openRun(0, kFrames.clean);
  await page.getByRole("button", { name: "Trace", exact: true }).click();
  await click(course[5]);
  await settled();
  await click(course[60]);
  await page.getByLabel("Length traced", { exact: true }).waitFor();
  await settled();
  await page.getByText(/^▲ Two routes cost nearly alike/).waitFor();
  const dashed = page.locator("#picture path.over.asked");
  assert.ok(((await dashed.getAttribute("d")) ?? "").split("L").length > 20);
  assert.equal(await page.locator("#picture path.over.asked-at").count(), 1);
  await page.screenshot({ path: `${kPictures}trace-asks-1920.png` });
  await page.evaluate(kAxe);
  const { violations } = await page.evaluate(() => globalThis.axe.run(".bench", { runOnly: ["wcag2a", "wcag2aa"] }));
  assert.deepEqual(violations.map((each) => `${each.id}: ${each.nodes[0]?.html}`), []);
  await page.setViewportSize({ width: 1024, height: 768 });
  await page.screenshot({ path: `${kPictures}trace-asks-1024.png` });
  await page.setViewportSize({ width: 1920, height: 1080 });
  await click(course[32]);
  await becomes(() => page.locator(".handle").count(), 3, "the click goes between the two");
  await settled();
  await becomes(() => page.getByText(/^▲ Two routes cost nearly alike/).count(), 0, "and is not asked for again");
  assert.equal(await dashed.count(), 0);
});

test("the near cap in one run and the far cap in the other give a length, and say by which method", async () => {
  await openRun(0, kFrames.clean);
  await page.getByRole("button", { name: "Caps", exact: true }).click();
  await click(capPlace("clean", "proximal"));
  await page.getByText("Mark the far cap in this frame").waitFor();
  await openRun(1, kFrames.typical);
  await page.getByRole("radio", { name: /far cap$/ }).check({ force: true });
  await click(capPlace("typical", "distal"));
  await page.getByLabel("Occlusion length found", { exact: true }).waitFor();
  await settled();
  await page.getByText(/two runs of one pose/).first().waitFor();
  await page.getByText(/Whether the table stood still between the two runs is not known/).waitFor();
  // Between the caps as the picture shows them, by the generator: the straight line at the isocentre's scale.
  const [a, b] = [capPlace("clean", "proximal"), capPlace("typical", "distal")];
  const run = truths.clean.runs[0];
  const truly = (Math.hypot(a[0] - b[0], a[1] - b[1]) * run.detector_spacing_mm * run.sod_mm) / run.sid_mm;
  const [value, sd] = (await lengthFound()).match(/[\d.]+/g).map(Number);
  assert.ok(Math.abs(value - truly) < 1.5, `${value} against ${truly.toFixed(1)} mm in the picture`);
  assert.ok(sd > 0.5, `${sd} mm: two runs are never that sure`);
  assert.equal(await page.locator(".close-up canvas").count(), 2);
});

test("accepted, the fact names both runs and frames, and opens both pictures again", async () => {
  const shown = await lengthFound();
  await page.getByRole("button", { name: "Accept length", exact: true }).click();
  await page.getByText("Length accepted").first().waitFor();
  const fact = (await page.evaluate(async (id) => (await (await fetch(`/api/cases/${id}`)).json()).facts, caseId)).find((each) => each.name === "length_angio_mm");
  assert.match(fact.origin.method, /^gap \d+, one view, two runs of one pose/);
  const views = fact.origin.views;
  assert.deepEqual(views.map((each) => each.marks.map((mark) => mark.name)), [["near cap"], ["far cap"]]);
  assert.deepEqual([fact.note, views.every((each) => each.frame >= 0)], ["", true]);
  assert.notEqual(views[0].image, views[1].image);
  await page.keyboard.press("Escape");
  await page.getByRole("region", { name: "What we know" }).getByRole("button", { name: "Occlusion length, angiogram" }).click();
  await page.getByRole("button", { name: "Show both caps", exact: true }).click();
  await page.getByLabel("Occlusion length found", { exact: true }).waitFor();
  await settled();
  await becomes(lengthFound, shown, "the length that was accepted");
  await page.getByText(/^Re-opened: accepted then as /).waitFor();
  await page.getByRole("img", { name: `The near cap, frame ${kFrames.clean + 1}, enlarged` }).waitFor();
  await page.getByRole("img", { name: `The far cap, frame ${kFrames.typical + 1}, enlarged` }).waitFor();
  await page.screenshot({ path: `${kPictures}one-pose-1920.png` });
  await page.setViewportSize({ width: 1024, height: 768 });
  await page.getByRole("button", { name: "Change to the light theme", exact: true }).click();
  await becomes(() => page.evaluate(() => document.documentElement.dataset.theme), "light", "the page's own light theme");
  await page.screenshot({ path: `${kPictures}one-pose-light-1024.png` });
  assert.deepEqual(browser.faults, []);
});
