// SPDX-License-Identifier: Apache-2.0
// Two views on the page: invented runs whose truth the generator tells, marked by mouse and by keys, measured by the real
// engine, turned by mouse, finger and keys, accepted, and opened again from the fact.
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
// `UPDATE=1` renews the guide's picture; otherwise it goes beside the results.
const kGuide = fileURLToPath(new URL("../../../docs/pictures/pair-dark-1920.png", import.meta.url));
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
// Space is drawn by software here: no graphics card is needed.
const kFlags = ["--enable-unsafe-swiftshader"];
let browser;
let page;
let folder;
let truth;
let caseId;

before(async () => {
  await mkdir(kPictures, { recursive: true });
  folder = await mkdtemp(join(tmpdir(), "fairlead-pair-"));
  const made = spawnSync(process.env.FAIRLEAD_PROGRAM, ["phantom", "xa", "-o", folder, "--scene", "short-right", "--seed", "7", "--grade", "clean"], { encoding: "utf8" });
  assert.equal(made.status, 0, made.stderr);
  truth = JSON.parse(await readFile(join(folder, "truth.json"), "utf8"));
  browser = await openBrowser({ flags: kFlags });
  page = await enter(browser, 12000);
  caseId = await newCase(page, "RCA, invented for a check", "Lab Q");
  for (const run of truth.runs.slice(0, 2)) {
    await bringIn(page, caseId, join(folder, run.file));
  }
  await page.goto(`${kOrigin}/#/case/${caseId}/appraise`);
  await page.getByLabel("Written by").fill("AB");
});
after(async () => {
  await browser?.close();
  await removed(folder);
});

const side = () => page.getByRole("region", { name: "Measured in two views" });
const space = () => page.locator(".space-view");
const settled = () => page.locator(".pair-side[aria-busy=false]").waitFor();
const flat = (text) => text.replace(/\s+/g, " ").trim();
const noFault = async () => {
  await page.evaluate(kAxe);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa"] }));
  assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes[0]?.html}`), []);
};
const runOf = (key) => truth.runs[key === "a" ? 0 : 1];
const nodeAt = (key, vessel, index) => runOf(key).vessels.find((each) => each.name === vessel).path_px[index];
const occluded = () => truth.vessels.find((each) => each.name === truth.occlusion.vessel);
const capIndex = (cap) => {
  const far = (node) => Math.hypot(...node.map((each, axis) => each - truth.occlusion[cap][axis]));
  return occluded().centreline_mm.reduce((best, node, index, all) => (far(node) < far(all[best]) ? index : best), 0);
};
// Where a place of the picture stands on the screen, when the whole picture is shown.
const onScreen = async (key, [column, row]) => {
  const box = await page.locator(`#pair-${key}`).boundingBox();
  const scale = Math.min(box.width / runOf(key).columns, box.height / runOf(key).rows);
  return [box.x + (box.width - runOf(key).columns * scale) / 2 + (column + 0.5) * scale, box.y + (box.height - runOf(key).rows * scale) / 2 + (row + 0.5) * scale];
};
const click = async (key, vessel, index) => page.mouse.click(...(await onScreen(key, nodeAt(key, vessel, index))));
const hold = (word) => side().getByRole("radio", { name: new RegExp(`^${word}`) }).check({ force: true });
const lengthFound = async () => Number((await side().getByLabel("Length found").textContent()).match(/\d+(\.\d+)?/)[0]);
const along = (points) => points.slice(1).reduce((sum, at, index) => sum + Math.hypot(...at.map((each, axis) => each - points[index][axis])), 0);

test("two runs are put side by side, and their angle is told before anything is marked", async () => {
  await page.getByRole("button", { name: "Two views", exact: true }).click();
  await page.locator("#pair-a canvas:visible").waitFor();
  await page.locator("#pair-b canvas:visible").waitFor();
  // The run on the desk is A; the order of the runs in the case is that of the files.
  const runs = await page.getByRole("combobox", { name: "Run of view A" }).locator("option").count();
  assert.equal(runs, 2);
  await page.getByRole("combobox", { name: "Run of view A" }).selectOption({ index: 0 });
  await page.getByRole("combobox", { name: "Run of view B" }).selectOption({ index: 1 });
  const [a, b] = ["a", "b"].map((key) => [runOf(key).primary_deg, runOf(key).secondary_deg].map((each) => (each * Math.PI) / 180));
  const cosine = Math.cos(a[1]) * Math.cos(b[1]) * Math.cos(a[0] - b[0]) + Math.sin(a[1]) * Math.sin(b[1]);
  await page.getByText(`${Math.round((Math.acos(Math.abs(cosine)) * 180) / Math.PI)}° between the views`).waitFor();
});

test("by mouse: caps, branches and the vessel beside them give the length that the generator knows", async () => {
  const name = occluded().name;
  const [near, far] = [capIndex("proximal_cap_mm"), capIndex("distal_cap_mm")];
  await hold("Near cap");
  await click("a", name, near);
  await side().getByText("The point must lie along the dashed line in view B.").waitFor();
  await page.locator(".view-frame .pair-guide").first().waitFor({ state: "attached" });
  await click("b", name, near);
  await hold("Far cap");
  for (const key of ["a", "b"]) await click(key, name, far);
  await hold("Points both show");
  const branches = truth.vessels.filter((each) => each.kind === "artery" && each.name !== name).slice(0, 4);
  for (const branch of branches) for (const key of ["a", "b"]) await click(key, branch.name, 0);
  await hold("Vessel before");
  for (const key of ["a", "b"]) for (let i = near - 25; i < near - 2; i += 8) await click(key, name, i);
  await hold("Vessel after");
  for (const key of ["a", "b"]) for (let i = far + 3; i < far + 26; i += 8) await click(key, name, i);
  await side().getByRole("radio", { name: "stood still" }).check({ force: true });
  await settled();
  const truly = along(truth.occlusion.course_mm);
  const said = flat(await side().getByLabel("Length found").textContent());
  assert.match(said, /^\d+\.\d+ ± \d+\.\d+ mm$/);
  const [value, sd] = said.match(/\d+\.\d+/g).map(Number);
  assert.ok(Math.abs(value - truly) < 3 * sd && Math.abs(value - truly) < 1.5, `${said} against ${truly.toFixed(2)} mm`);
  await noFault();
});

test("space is turned by mouse, by finger and by keys, and says from where it is seen", async () => {
  await space().locator("canvas").waitFor();
  const seen = () => space().getAttribute("aria-label").then((text) => text.match(/seen ([^.]*)/)[1]);
  const first = await seen();
  const box = await space().boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - 160, y, { steps: 4 });
  await page.mouse.up();
  const turnedFrom = (was, what) => becomes(async () => (await seen()) !== was, true, what);
  await turnedFrom(first, "the mouse turns it");
  const byMouse = await seen();
  await space().focus();
  for (let i = 0; i < 9; i++) await page.keyboard.press("ArrowRight");
  await turnedFrom(byMouse, "keys turn it");
  const byKeys = await seen();
  const hand = await browser.context.newCDPSession(page);
  await hand.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [{ x, y }] });
  for (let i = 1; i <= 4; i++) await hand.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: [{ x: x + 45 * i, y }] });
  await hand.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  await turnedFrom(byKeys, "a finger turns it");
  await page.getByRole("button", { name: "From the front" }).click();
  await becomes(seen, first);
  await page.screenshot({ path: process.env.UPDATE === "1" ? kGuide : `${kPictures}pair-1920.png` });
  // The picture is not empty: what is drawn has more than the ground's colour.
  const colours = new Set();
  const shot = await space().screenshot();
  for (let i = 0; i < shot.length; i += 97) colours.add(shot[i]);
  assert.ok(shot.length > 6000 && colours.size > 60, `the course is drawn: ${shot.length} bytes, ${colours.size} kinds`);
});

test("accepted: the fact carries both frames, every click and the parts of its spread, and opens again as it was", async () => {
  const shown = await lengthFound();
  await side().getByRole("button", { name: /^Accept occlusion length/ }).click();
  await page.getByText("Accepted: occlusion length").waitFor();
  const fact = async () => page.evaluate(async (id) => {
    const found = await (await fetch(`/api/cases/${id}`)).json();
    const now = found.facts.find((each) => each.name === "length_angio_mm");
    return { now, entry: found.journal.find((each) => each.id === now?.entry)?.data ?? null };
  }, caseId);
  const { now, entry } = await fact();
  assert.equal(now.mark, "measured");
  assert.match(now.origin.method, /^pair \d+: two views, \d+° apart$/);
  assert.ok(now.origin.parts.length >= 2);
  // Both pictures stand in the entry with the table and every click, and the engine gives the same from them again.
  const [a, b] = entry.origin.views;
  const clicks = (name) => Object.fromEntries([["a", a], ["b", b]].map(([key, view]) => [key, view.marks.find((each) => each.name === name).points.map(({ x, y }) => [x, y])]));
  const one = (name) => { const both = clicks(name); return { a: both.a[0], b: both.b[0] }; };
  assert.ok(entry.origin.views.length === 2 && b.table === "still" && a.image !== b.image, JSON.stringify(entry.origin));
  assert.equal(entry.note, undefined, "nothing is said twice");
  const again = await page.evaluate(async (body) => (await fetch("/api/pair/measure", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) })).json(), {
    frames: { a: { image: a.image, frame: a.frame }, b: { image: b.image, frame: b.frame } }, table: "still",
    marks: a.marks.filter((each) => each.name.startsWith("point ")).map(({ name }) => ({ name, at: one(name) })),
    occlusion: { near_cap: one("near cap"), far_cap: one("far cap"), before: clicks("vessel before"), after: clicks("vessel after") },
  });
  // The engine's own answer holds the same places as what is sent to be measured.
  assert.deepEqual([now.two_views.frames.a.image, now.two_views.frames.b.frame, now.two_views.occlusion.near_cap, now.two_views.occlusion.after], [a.image, b.frame, one("near cap"), clicks("vessel after")]);
  assert.ok(Math.abs(again.occlusion.length_mm.value - now.value.value) < 0.01, `${again.occlusion?.length_mm.value} and ${now.value.value}`);
  await side().getByRole("button", { name: "Clear all" }).click();
  await side().getByRole("button", { name: "Back to one view" }).click();
  await page.getByRole("region", { name: "What we know" }).getByRole("button", { name: "Occlusion length, angiogram" }).click();
  await page.getByRole("complementary", { name: "Fact" }).getByRole("button", { name: "Show its two views" }).click();
  await becomes(lengthFound, shown);
});

test("by keys: a mark is nudged and taken away, a cap is marked at the crosshair", async () => {
  await hold("Far cap");
  const handle = page.locator("#pair-a .handle").first();
  await handle.focus();
  const before = await lengthFound();
  for (let i = 0; i < 3; i++) await page.keyboard.press("Shift+ArrowRight");
  await becomes(async () => (await lengthFound().catch(() => before)) !== before, true, "the length follows the cap");
  await page.keyboard.press("Delete");
  await becomes(() => page.locator("#pair-a .handle").count(), 0);
  // The first Enter shows the crosshair in the middle; arrows take it to the cap, so that what is marked fits the other view.
  await page.locator("#pair-a").focus();
  await page.keyboard.press("Enter");
  const [column, row] = nodeAt("a", occluded().name, capIndex("distal_cap_mm"));
  for (const [far, plus, minus] of [[Math.round(column - runOf("a").columns / 2), "ArrowRight", "ArrowLeft"], [Math.round(row - runOf("a").rows / 2), "ArrowDown", "ArrowUp"]]) {
    const key = far < 0 ? minus : plus;
    for (let i = 0; i < Math.floor(Math.abs(far) / 10); i++) await page.keyboard.press(`Shift+${key}`);
    for (let i = 0; i < Math.abs(far) % 10; i++) await page.keyboard.press(key);
  }
  await page.keyboard.press("Enter");
  await becomes(() => page.locator("#pair-a .handle").count(), 1);
  // Answered before the runs change: nothing of it is under way in the next check.
  await becomes(async () => Math.abs((await lengthFound().catch(() => 0)) - before) < 1, true, "the cap marked by keys gives the length again");
  await settled();
});

test("views that cannot tell depth are refused in words", async () => {
  await page.getByRole("combobox", { name: "Run of view B" }).selectOption({ index: 0 });
  await page.getByText("below 15° depth cannot be told").waitFor();
});

test("on a small screen everything is there, and nothing is wrong on the console", async () => {
  await page.setViewportSize({ width: 1024, height: 768 });
  await page.getByRole("button", { name: "Back to one view" }).click();
  await page.getByRole("region", { name: "What we know" }).getByRole("button", { name: "Occlusion length, angiogram" }).click();
  await page.getByRole("complementary", { name: "Fact" }).getByRole("button", { name: "Show its two views" }).click();
  await side().getByLabel("Length found").waitFor();
  await settled();
  await space().locator("canvas").waitFor();
  await noFault();
  const small = await page.evaluate(() => [...document.querySelectorAll(".pair-stage button, .pair-stage select, .pair-stage fieldset label")]
    .filter((each) => each.offsetParent !== null && !each.classList.contains("handle")).map((each) => [each.textContent, each.getBoundingClientRect()])
    .filter(([, box]) => box.height < 43.5 || box.width < 43.5).map(([text, box]) => `${text} ${box.width.toFixed(0)} x ${box.height.toFixed(0)}`));
  assert.deepEqual(small, [], "targets of 44 px");
  await page.screenshot({ path: `${kPictures}pair-1024.png` });
  assert.deepEqual(browser.faults, []);
});

test("the measured segment is what Plan looks for views of; the view chosen stands on the board", async () => {
  await page.setViewportSize({ width: 1920, height: 1080 });
  await page.goto(`${kOrigin}/#/case/${caseId}/plan`);
  const column = page.getByRole("region", { name: "Seen from where?", exact: true });
  await column.getByText("◆ measured", { exact: true }).waitFor();
  const answer = await page.evaluate(async (id) => (await fetch(`/api/cases/${id}/panels/views`)).json(), caseId);
  const facts = () => page.evaluate(async (id) => (await (await fetch(`/api/cases/${id}`)).json()).facts, caseId);
  const measured = (await facts()).find((each) => each.name === "length_angio_mm");
  assert.equal(answer.segment.entry, measured.entry);
  assert.ok(Math.abs(answer.target.length_mm - along(truth.occlusion.course_mm)) < 1.5, `${answer.target.length_mm} mm`);
  // Foreshortening of the generator's own course from the view called best, in closed form: 1 - sum |d x t| / sum |t|.
  const best = answer.best[0];
  const [p, s] = [best.primary_deg, best.secondary_deg].map((each) => (each * Math.PI) / 180);
  const beam = [Math.sin(p) * Math.cos(s), -Math.cos(p) * Math.cos(s), Math.sin(s)];
  const pieces = truth.occlusion.course_mm.slice(1).map((at, index) => at.map((each, axis) => each - truth.occlusion.course_mm[index][axis]));
  const across = pieces.reduce((sum, t) => sum + Math.sqrt(Math.max(0, t.reduce((x, each) => x + each * each, 0) - t.reduce((x, each, axis) => x + each * beam[axis], 0) ** 2)), 0);
  const hidden = 100 * (1 - across / along(truth.occlusion.course_mm));
  assert.ok(Math.abs(hidden - best.foreshortening_pct) < 4, `${hidden.toFixed(1)} % by the generator, ${best.foreshortening_pct} % by the engine`);
  await column.getByText(/overlap not known: no other vessel is measured/).waitFor(); // and never 0 %
  await column.getByRole("button", { name: `Choose ${best.view} to work in` }).click();
  await column.getByText("Chosen to work in:").waitFor();
  assert.deepEqual((await facts()).find((each) => each.name === "working_view_deg").value, [best.primary_deg, best.secondary_deg]);
  await noFault();
  await column.scrollIntoViewIfNeeded();
  await page.screenshot({ path: `${kPictures}views-measured-1920.png` });
  await column.getByText("The stretch and the weights").click();
  await column.getByRole("radio", { name: "model heart" }).check({ force: true });
  await column.getByText("model, not this patient").waitFor();
  await page.goto(`${kOrigin}/#/case/${caseId}/run`);
  const board = page.getByRole("region", { name: "Working view", exact: true });
  await board.getByRole("button", { name: /^Log: view / }).click();
  assert.match(await page.locator("#log-bar").inputValue(), /^view (LAO|RAO)\d+ (CRA|CAU)\d+$/);
  await page.locator("#log-says").getByText(/view/).first().waitFor();
  await noFault();
  await page.screenshot({ path: `${kPictures}working-view-1920.png` });
  assert.deepEqual(browser.faults, []);
});

test("a course that was traced in one view is taken up in two views", async () => {
  await page.goto(`${kOrigin}/#/case/${caseId}/appraise`);
  await page.getByRole("button", { name: "Back to one view" }).click();
  await page.locator("#picture canvas:visible").waitFor();
  await page.getByRole("button", { name: "Trace", exact: true }).click();
  const box = await page.locator("#picture").boundingBox();
  const scale = Math.min(box.width / runOf("a").columns, box.height / runOf("a").rows);
  const near = capIndex("proximal_cap_mm");
  for (const index of [near - 30, near - 4]) {
    const [column, row] = nodeAt("a", occluded().name, index);
    await page.mouse.click(box.x + (box.width - runOf("a").columns * scale) / 2 + (column + 0.5) * scale, box.y + (box.height - runOf("a").rows * scale) / 2 + (row + 0.5) * scale);
  }
  await page.getByLabel("Length traced", { exact: true }).waitFor();
  await page.getByRole("button", { name: "Two views", exact: true }).click();
  await page.locator("#pair-a canvas:visible").waitFor();
  await side().getByRole("button", { name: "Clear all" }).click();
  await hold("Vessel before");
  await becomes(() => page.locator("#pair-a .handle").count(), 0);
  await side().getByRole("button", { name: "Take the trace of view A", exact: true }).click();
  await becomes(async () => (await page.locator("#pair-a .handle").count()) > 2, true, "its places are marked");
  assert.equal(await page.locator("#pair-b .handle").count(), 0);
  assert.deepEqual(browser.faults, []);
});
