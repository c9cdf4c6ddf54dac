// SPDX-License-Identifier: Apache-2.0
// Which way? in the real page against the real engine: the robust first, nothing written by supposing, no command.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { openBrowser } from "./browser.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
let browser;
let page;
let column;
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

before(async () => {
  browser = await openBrowser({ width: 1920, height: 1080 });
  page = browser.page;
  page.setDefaultTimeout(15000);
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
  await page.goto(kOrigin);
  await page.locator(".case-line").first().waitFor();
  caseId = (await get("/api/cases")).cases[0].id;
  await page.goto(`${kOrigin}/#/case/${caseId}/plan`);
  column = page.getByRole("region", { name: "Which way?" });
  await column.getByRole("region", { name: "The ladder" }).waitFor();
});
after(() => browser.close());

test("the limits come first, then the minutes that make no odds, then the two bars, then the rungs", async () => {
  const names = await column.locator("section").evaluateAll((all) => all.map((each) => each.getAttribute("aria-label")));
  assert.deepEqual(names.slice(0, 4), ["What the limits allow", "Minutes that make no odds", "Patience", "The ladder"]);
  assert.match(await column.getByRole("region", { name: "The ladder" }).textContent(), /Prepare and come back.*Stop/s);
  assert.match(await column.textContent(), /published, not yours/);
  assert.match(await column.textContent(), /harm \d+ per 1,000/);
  assert.match(await column.textContent(), /\d in 10/);
  assert.match(await column.textContent(), /After \d+ more minutes \S+( c\d)? no longer fits \(\d+ to set up and at least \d+ to work\)/);
  assert.match(await column.textContent(), /Assumes that .*counts 5 crossings/);
  assert.match(await column.textContent(), /kept to the end of the limits: \d+ in 10/);
  await noFault();
  await picture("ways-1920");
});

test("what the column shows is what the engine answers", async () => {
  const answer = await get(`/api/cases/${caseId}/panels/ladder`);
  const rungs = await column.locator(".rung-name b").allTextContents();
  assert.deepEqual(rungs, [...answer.rungs.map((rung) => rung.id), "Prepare and come back", "Stop"]);
  assert.ok((await column.textContent()).includes(answer.p_cross.words));
});

test("never an order to the operator", async () => {
  assert.doesNotMatch(await column.textContent(), /\b(must|should|switch now|stop now|do not)\b/i);
});

test("a way rated as closed leaves the ladder, and nothing is written", async () => {
  // The demo may still be joining its images: what counts is what the page wrote.
  const written = async () => (await get(`/api/cases/${caseId}`)).journal.filter((each) => each.device === "page").length;
  const before = await written();
  const first = await column.locator(".rung-name b").first().textContent();
  await column.getByRole("button", { name: `${first} closed`, exact: true }).click();
  await page.waitForFunction((id) => ![...document.querySelectorAll(".which-way .rung-name b")].some((each) => each.textContent === id), first);
  await column.getByText("Supposed, nothing is written.").waitFor();
  await column.getByRole("button", { name: "As it stands" }).click();
  await page.waitForFunction((id) => document.querySelector(".which-way .rung-name b")?.textContent === id, first);
  const slider = column.getByRole("slider", { name: "Suppose minutes of the session" });
  await slider.focus();
  for (let i = 0; i < 12; i++) await page.keyboard.press("ArrowLeft");
  await page.waitForFunction(() => document.querySelector(".which-way")?.textContent?.includes("does not fit") || document.querySelectorAll(".which-way .rung").length === 2);
  await column.getByRole("button", { name: "As it stands" }).click();
  assert.equal(await written(), before);
});

test("the shelf understands every need of the list of failures", async () => {
  const text = await readFile(new URL("../../src/run/findings.ts", import.meta.url), "utf8");
  const needs = [...new Set([...text.matchAll(/need: "([^"]+)"/g)].map((each) => each[1]))];
  assert.ok(needs.length > 8);
  const refused = await page.evaluate(async (all) => {
    const bad = [];
    for (const need of all) if ((await fetch(`/api/kit/shelf?need=${encodeURIComponent(`${need} stock`)}`)).status !== 200) bad.push(need);
    return bad;
  }, needs);
  assert.deepEqual(refused, []);
});

test("where nothing fits the page says which limit, and promises no chance", async () => {
  // Nothing left: the limit of contrast is below what finishing costs.
  const slider = column.getByRole("slider", { name: "Suppose a limit of contrast" });
  await slider.focus();
  await page.keyboard.press("Home");
  await page.waitForFunction(() => document.querySelector(".which-way")?.textContent?.includes("No way fits: the contrast less what finishing costs does not allow it"));
  assert.match(await column.textContent(), /does not fit: contrast/);
  assert.doesNotMatch(await column.textContent(), /today within the limits; harm/);
  assert.equal(await column.locator(".rung").count(), 2);
  await picture("ways-nothing-1920");
  await column.getByRole("button", { name: "As it stands" }).click();
  await page.waitForFunction(() => document.querySelectorAll(".which-way .rung").length > 2);
});

test("how sure the order is comes by itself; and the published algorithms side by side", async () => {
  await column.getByRole("region", { name: "How sure is this order" }).waitFor();
  assert.match(await column.textContent(), /best in \d+ of 100 draws/);
  assert.match(await column.getByRole("region", { name: "The ladder" }).textContent(), /The figures (leave this order open|mostly agree on this order): best in \d+ of 100 draws/);
  await column.getByText("Each algorithm, and where they differ").click();
  assert.match(await column.textContent(), /Hybrid 2012.*Global consensus 2021/s);
  await noFault();
  await page.setViewportSize({ width: 1024, height: 768 });
  await picture("ways-1024");
  const past = await page.evaluate(() => {
    const column = document.querySelector(".which-way");
    return [...column.querySelectorAll("p, li, h3, svg, dt, dd")].filter((each) => !each.closest(".wide") && each.getBoundingClientRect().right > column.getBoundingClientRect().right + 1).length;
  });
  assert.equal(past, 0, "nothing stands out of the column");
  assert.deepEqual(browser.faults, []);
});
