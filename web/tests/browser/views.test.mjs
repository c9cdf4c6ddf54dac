// SPDX-License-Identifier: Apache-2.0
// Seen from where?, and Dose and skin, in the real page against the real engine: what is shown is what the engine answers,
// by mouse and by keyboard; nothing commands.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { becomes, openBrowser } from "./browser.mjs";
import { enter, newCase } from "./entering.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const kReport = await readFile(new URL("../../../tests/data/dicom/rdsr/rdsr.dcm", import.meta.url));
let browser;
let page;
let caseId;

const get = (path) => page.evaluate(async (from) => (await fetch(from)).json(), path);
const noFault = async () => {
  await page.evaluate(kAxe);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa"] }));
  assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes[0]?.html}`), []);
};
const picture = async (name) => {
  if (process.env.PICTURES) await page.screenshot({ path: `${process.env.PICTURES}/${name}.png`, fullPage: false });
};
const column = () => page.getByRole("region", { name: "Seen from where?", exact: true });
const drawer = () => page.getByRole("complementary", { name: "Dose and skin", exact: true });

before(async () => {
  browser = await openBrowser({ width: 1920, height: 1080 });
  page = await enter(browser);
  caseId = await newCase(page, "views", "");
  await page.goto(`${kOrigin}/#/case/${caseId}/appraise`);
});
after(() => browser.close());

test("a dose report that is added says what it holds, and the skin follows", async () => {
  await page.getByRole("button", { name: "Dose and skin", exact: true }).click();
  await drawer().getByText("Nothing is known of any radiation in this case.").waitFor();
  await drawer().locator("input[type=file]").setInputFiles({ name: "any.dcm", mimeType: "application/dicom", buffer: kReport });
  await drawer().getByRole("region", { name: "Totals" }).waitFor();
  const skin = await get(`/api/cases/${caseId}/panels/skin`);
  assert.equal(skin.events, 3);
  assert.equal(Math.abs(skin.air_kerma_gy - 0.0497) < 1e-9, true); // the report's own parameters: tests/data/dicom/README.md
  const said = await drawer().textContent();
  assert.match(said, /0\.050 Gy.*0\.050 Gy/s);
  assert.match(said, /They agree within 2 %/);
  assert.match(said, /local medical physicist/i);
  assert.doesNotMatch(said, /\b(must|should)\b/i);
  await noFault();
  await picture("skin-drawer-1920");
  await drawer().getByRole("button", { name: "Close the drawer", exact: true }).click();
  await drawer().waitFor({ state: "detached" });
});

test("the map shows the engine's views, and a key reads any other", async () => {
  await page.goto(`${kOrigin}/#/case/${caseId}/plan`);
  await column().getByRole("region", { name: "Views in figures" }).waitFor();
  const answer = await get(`/api/cases/${caseId}/panels/views`);
  const shown = await column().locator(".view-table th b").allTextContents();
  assert.equal(shown[0], answer.best[0].view);
  assert.equal(shown.at(-1), answer.barrel.view);
  assert.match(await column().textContent(), /model, not this patient/);
  const map = column().getByRole("group", { name: /View map/ });
  await map.focus();
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("ArrowLeft");
  assert.match(await column().getByRole("status").textContent(), /% hidden, \d+ % overlapped, dose rate [\d.]+ times frontal, skin there [\d.]+ Gy/);
  assert.doesNotMatch(await column().textContent(), /\b(must|should|do not)\b/i);
  await noFault();
  await column().scrollIntoViewIfNeeded();
  await picture("views-1920");
});

test("a weight that is moved asks anew, and nothing is written", async () => {
  const seq = (await get(`/api/cases/${caseId}`)).seq;
  await column().getByText("The stretch and the weights").click();
  const slider = column().getByRole("slider", { name: /Working views hide less than/ });
  await slider.focus();
  const asked = page.waitForResponse((response) => response.url().includes("limit=20"));
  await page.keyboard.press("ArrowLeft");
  const answer = await (await asked).json();
  assert.equal(answer.limit_pct, 20);
  assert.equal((await get(`/api/cases/${caseId}`)).seq, seq);
});

test("which view to leave and what instead is the first line, in Plan, beside the run and in the drawer; the chosen one is on the wall", async () => {
  // 4 Gy typed in one view: that is the view to leave, whatever else is drawn.
  const id = await page.evaluate(async () => {
    const post = async (path, body) => (await fetch(path, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) })).json();
    const made = (await post("/api/cases", { title: "leave", room: "" })).id;
    for (const text of ["view LAO40 CRA25", "ak 4Gy"]) await post(`/api/cases/${made}/log`, { text, by: "AB", zone_min: 0, write: true });
    return made;
  });
  const answer = await get(`/api/cases/${id}/panels/views`);
  assert.equal(answer.spare.from.view, "LAO 40 CRA 25");
  const says = async (where) => {
    const note = where.getByRole("note", { name: "View to leave, and what instead", exact: true });
    await note.waitFor();
    const said = await note.textContent();
    assert.match(said, /To leave LAO 40 CRA 25 skin [\d.]+ Gy/);
    assert.ok(said.includes(`Instead ${answer.spare.to.view}`), said);
    assert.doesNotMatch(said, /\b(must|should|do not)\b/i);
    return note;
  };
  await page.goto(`${kOrigin}/#/case/${id}/plan`);
  await says(column());
  assert.ok(await column().locator(".bead.hot").count() > 0, "skin already exposed is on the map");
  // The channel of the model heart is on the map and in the table.
  assert.ok(answer.collateral !== null);
  await column().locator(".view-mark text", { hasText: "K" }).first().waitFor();
  assert.equal(await column().locator("tr", { has: page.locator(".view-letter", { hasText: /^K$/ }) }).locator("b").textContent(), answer.collateral.view);
  await column().scrollIntoViewIfNeeded();
  await picture("leave-plan-1920");
  await noFault();
  await page.getByLabel("Written by").fill("AB");
  await page.getByLabel("Written by").press("Tab");
  await column().getByRole("button", { name: `Choose ${answer.spare.to.view} to work in`, exact: true }).last().click();
  await column().getByText("✓ chosen").first().waitFor();
  await page.goto(`${kOrigin}/#/case/${id}/run`);
  await says(page.getByRole("region", { name: "Skin", exact: true }));
  await picture("leave-run-1920");
  await page.getByRole("region", { name: "Skin", exact: true }).getByRole("button", { name: "Dose and skin", exact: true }).click();
  await says(drawer());
  const body = drawer().getByRole("group", { name: /The body in space/ });
  await body.locator(".body-shade").first().waitFor();
  assert.equal(await drawer().getByRole("combobox", { name: /^The beam of/ }).inputValue(), "1");
  const seen = () => body.locator("svg").getAttribute("aria-label");
  const before = await seen();
  await body.focus();
  await page.keyboard.press("ArrowRight");
  await becomes(async () => (await seen()) !== before, true, "an arrow key turns the body");
  await picture("leave-drawer-1920");
  await page.goto(`${kOrigin}/#/wall/${id}`);
  await page.locator(".wall-head").getByText(answer.spare.to.view).waitFor();
  await picture("leave-wall-1920");
  await noFault();
  await page.goto(`${kOrigin}/#/case/${caseId}/plan`);
  await column().getByRole("region", { name: "Views in figures" }).waitFor();
});

test("on a small screen in the light theme, and beside the budgets of the run", async () => {
  await page.setViewportSize({ width: 1024, height: 768 });
  await page.goto(`${kOrigin}/#/case/${caseId}/run`);
  await page.getByRole("region", { name: "Skin", exact: true }).waitFor();
  await picture("skin-run-1024");
  await page.goto(`${kOrigin}/#/case/${caseId}/plan`);
  await column().getByRole("region", { name: "Views in figures" }).waitFor();
  await page.evaluate(() => { document.documentElement.dataset.theme = "light"; });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  assert.ok(wide <= 0, `the page is ${wide} px too wide`);
  await noFault();
  await column().scrollIntoViewIfNeeded();
  await picture("views-1024");
  assert.deepEqual(browser.faults, []);
});
