// SPDX-License-Identifier: Apache-2.0
// The practice's figures on the page, over the invented past cases with their built-in drift and the one invented run that ended.
import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { mkdir, readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { becomes, openBrowser } from "./browser.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
const kGuide = fileURLToPath(new URL("../../../docs/pictures/", import.meta.url));
const kPictures = fileURLToPath(new URL("../../test-results/pictures/", import.meta.url));
const pictureFile = (name) => (process.env.UPDATE === "1" && existsSync(kGuide + name) ? kGuide : kPictures) + name;
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
let browser;
let page;

before(async () => {
  browser = await openBrowser();
  page = browser.page;
  page.setDefaultTimeout(12000);
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
});
after(() => browser.close());
const noFault = async () => {
  await page.evaluate(kAxe);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa"] }));
  assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes[0]?.html}`), []);
};

test("the charts find the drift that was built in, and say how sure that is", async () => {
  await page.goto(`${kOrigin}/#/practice`);
  await page.getByRole("heading", { name: /181 cases/ }).waitFor();
  assert.ok(await page.locator(".audit-summary .invented").isVisible(), "marked invented");
  const found = await page.evaluate(async () => (await fetch("/api/practice/audit")).json());
  assert.ok(found.series.worse_signals.some((at) => at >= 100), "a signal after the 121st case");
  assert.ok(await page.getByText("worth a review of those cases, not a verdict").isVisible());
  await becomes(() => page.locator(".audit-sheet circle.signal:not(.good)").count(), found.series.worse_signals.length);
  await noFault();
  await mkdir(kPictures, { recursive: true });
  await page.screenshot({ path: pictureFile("practice-dark-1920.png") });
});

test("what one's own attempts changed is shown by strategy, with the published beside it, and nothing is in force by itself", async () => {
  const found = await page.evaluate(async () => (await fetch("/api/practice/learning")).json());
  const pane = page.getByRole("region", { name: "What your own attempts changed" });
  for (const each of found.strategies) await pane.getByRole("region", { name: `Learnt of ${each.id}`, exact: true }).waitFor();
  assert.ok(found.attempts > 100 && found.in_force.own_attempts === 0, JSON.stringify([found.attempts, found.in_force]));
  assert.match(await pane.textContent(), /published, not yours/);
  assert.ok(await pane.getByRole("button", { name: "Put in force for this lab", exact: true }).isDisabled(), "somebody has to say who accepts it");
  await pane.getByLabel("Initials", { exact: true }).fill("AB");
  await pane.getByLabel("Role that answers for it", { exact: true }).fill("head of the lab");
  await pane.getByRole("button", { name: "Put in force for this lab", exact: true }).click();
  await pane.getByText(/In force: learned/).waitFor();
  await becomes(() => page.evaluate(async () => (await (await fetch("/api/priors")).json()).own_attempts), found.attempts);
});

test("the slice stands in the address and survives a reload", async () => {
  await page.getByLabel("Operator", { exact: true }).fill("AB");
  await page.keyboard.press("Enter");
  await page.getByLabel("Operator", { exact: true }).blur();
  await page.waitForFunction(() => location.hash.includes("by=AB") && document.querySelector(".audit-summary h2")?.textContent !== "181 cases invented");
  const words = await page.locator(".audit-summary h2").textContent();
  await page.reload();
  await page.waitForFunction((was) => document.querySelector(".audit-summary h2")?.textContent === was, words);
  await page.getByLabel("Operator", { exact: true }).fill("nobody");
  await page.getByLabel("Operator", { exact: true }).blur();
  await page.getByText("No case lies in this slice.").waitFor();
});

test("first attempts and difficulty are slices too, and the answer says how sure a difference is", async () => {
  const whole = await page.evaluate(async () => (await fetch("/api/practice/audit")).json());
  const first = await page.evaluate(async () => (await fetch("/api/practice/audit?first_attempts=true")).json());
  assert.ok(first.cases < whole.cases && first.cases > 100, `${first.cases}`);
  await page.goto(`${kOrigin}/#/practice`);
  await page.getByRole("heading", { name: /181 cases/ }).waitFor();
  assert.ok(await page.getByText(/% that the odds of failure were above the published ones at equal J-CTO/).isVisible());
  await page.getByLabel("First attempts only", { exact: true }).check();
  await page.getByRole("heading", { name: new RegExp(`^${first.cases} cases`) }).waitFor();
  assert.match(page.url(), /first_attempts=true/);
  await page.getByLabel("J-CTO from", { exact: true }).fill("3");
  await page.getByLabel("J-CTO from", { exact: true }).blur();
  const hard = await page.evaluate(async () => (await fetch("/api/practice/audit?first_attempts=true&j_cto_from=3")).json());
  await page.getByRole("heading", { name: new RegExp(`^${hard.cases} cases`) }).waitFor();
  await page.getByRole("button", { name: "This year", exact: true }).click();
  await becomes(() => page.evaluate(() => /since=\d{4}-01-01/.test(location.hash)), true);
});

test("each published score with a probability is a yardstick of its own, and a curve shows whether the chances fit", async () => {
  await page.goto(`${kOrigin}/#/practice`);
  await page.getByRole("heading", { name: /181 cases/ }).waitFor();
  const found = await page.evaluate(async () => (await fetch("/api/practice/audit")).json());
  const scores = page.locator("section.pane").filter({ has: page.getByRole("heading", { name: /Against each published score/ }) });
  await becomes(() => scores.locator("circle.own").count(), found.by_score.filter((each) => each.against !== null).length);
  assert.ok(found.by_score.length >= 6, `${found.by_score.length}`);
  const fit = page.locator("section.pane").filter({ has: page.getByRole("heading", { name: /Do the published chances fit/ }) });
  await becomes(() => fit.locator("circle.own").count(), found.by_class.filter((each) => each.cases > 0).length);
  assert.equal(await fit.locator("path.own:not(.whisker)").count(), found.smooth.length > 0 ? 1 : 0);
});

test("each picture has its table, and all of it works on a small light screen", async () => {
  await page.goto(`${kOrigin}/#/practice`);
  await page.setViewportSize({ width: 1024, height: 768 });
  await page.getByRole("button", { name: /light theme/ }).click();
  await page.getByRole("heading", { name: /181 cases/ }).waitFor();
  const tables = page.locator(".audit-table > summary");
  await becomes(() => tables.count(), 14); // eleven charts, and one a strategy of what was learnt
  await tables.first().click();
  await becomes(async () => (await page.locator(".audit-table[open] tbody tr").count()) > 100, true);
  await noFault();
});

test("on paper the figures take the whole width, dark on white, and say what they are of", async () => {
  await page.goto(`${kOrigin}/#/practice?by=AB`);
  await page.getByRole("heading", { name: /^(?!181)\d+ cases/ }).waitFor();
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: 794, height: 1123 }); // A4 at 96 to the inch
  await becomes(async () => ((await page.locator(".audit-summary").boundingBox())?.width ?? 0) > 700, true);
  assert.ok(await page.getByText(/^Cases: operator AB\. Printed \d{4}-\d\d-\d\d\.$/).isVisible());
  assert.equal(await page.locator(".audit-filters").isVisible(), false);
  const colours = await page.locator(".audit-summary").evaluate((pane) => [getComputedStyle(pane).backgroundColor, getComputedStyle(pane).color]);
  assert.deepEqual(colours, ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]);
  const cut = await page.locator(".audit .pane").evaluateAll((panes) => panes.filter((pane) => pane.scrollWidth > pane.clientWidth + 1).map((pane) => pane.querySelector("h2")?.textContent));
  assert.deepEqual(cut, [], "nothing reaches over its edge");
  await page.screenshot({ path: `${kPictures}practice-print.png` });
  await page.emulateMedia({ media: null });
});

test("the run that ended is among the cases, with its attempts, and leaves as a table", async () => {
  const registry = await page.evaluate(async () => (await fetch("/api/practice/registry")).json());
  assert.equal(registry.visits.length, 1);
  assert.deepEqual(registry.visits[0].attempts.map((made) => [made.strategy, made.minutes]), [["AW", 24], ["ADR", 30], ["RDR", 56]]);  // read off demo/case-4.jsonl
  const table = await page.evaluate(async () => { const reply = await fetch("/api/practice/registry.csv?table=attempts"); return [reply.headers.get("content-type"), await reply.text()]; });
  assert.match(table[0], /text\/csv/);
  assert.equal(table[1].trim().split("\r\n").length, 4);
});

test("Plan shows the cases like this one when it is asked, with a shape and a word for each outcome", async () => {
  const cases = await page.evaluate(async () => (await fetch("/api/cases")).json());
  const id = cases.cases.find((each) => each.title.includes("three ways")).id;
  await page.goto(`${kOrigin}/#/case/${id}/plan`);
  const fold = page.locator(".like-pane");
  await fold.locator("summary").first().click();
  await becomes(() => fold.locator(".like-dot").count(), 10);
  const answer = await page.evaluate(async (of) => (await fetch(`/api/cases/${of}/panels/like`)).json(), id);
  assert.ok(answer.cases.every((each) => each.case !== id), "never the case itself");
  await becomes(() => fold.locator(".like-dot.success").count(), answer.cases.filter((each) => each.success === true).length);
  assert.ok(await fold.getByText("this is no comparison of strategies").isVisible());
  assert.equal(await fold.locator("tbody tr").count(), answer.cases.length + answer.by_first.length);
  await noFault();
  await fold.scrollIntoViewIfNeeded();
  await page.screenshot({ path: `${kPictures}like-light-1024.png` });
  await page.setViewportSize({ width: 1920, height: 1080 });
  await page.getByRole("button", { name: /dark theme/ }).click();
  await fold.scrollIntoViewIfNeeded();
  await noFault();
  await page.screenshot({ path: `${kPictures}like-dark-1920.png` });
});

test("nothing is wrong on the console", () => assert.deepEqual(browser.faults, []));
