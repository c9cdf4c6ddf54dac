// SPDX-License-Identifier: Apache-2.0
// The report on the page: gaps with a way to each, own words, signing, differences, files to take away. Over the invented
// run of case 4, whose entries are known.
import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { mkdir, readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { becomes, openBrowser } from "./browser.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
const kCase = "01M2NG00X0DEM0CASE00000004";
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
  await mkdir(kPictures, { recursive: true });
});
after(() => browser.close());
const noFault = async () => {
  await page.evaluate(kAxe);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa"] }));
  assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes[0]?.html}`), []);
};
const report = () => page.evaluate(async (id) => (await fetch(`/api/cases/${id}/report`)).json(), kCase);
const gaps = () => page.locator(".record-gaps li").count();

test("shows what the engine compiled, and every gap once at the side", async () => {
  await page.goto(`${kOrigin}/#/case/${kCase}/record`);
  await page.getByRole("heading", { name: "Strategies", exact: true }).waitFor();
  const found = await report();
  await becomes(gaps, found.gaps, "as many gaps at the side as in the report");
  assert.equal(await page.locator(".record-sheet .gap").count(), found.gaps);
  assert.ok(await page.locator(".record-sheet .invented").isVisible(), "marked invented");
  assert.ok(await page.getByText("wire outside the plaque").first().isVisible(), "why the first strategy was left");
  await noFault();
  await page.screenshot({ path: pictureFile("record-dark-1920.png") });
});

test("a gap leads to where it is filled", async () => {
  await page.getByRole("button", { name: "State it: Left ventricular ejection fraction", exact: true }).click();
  await page.locator("aside").getByText("Left ventricular ejection fraction").first().waitFor();
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: /^Type it: Gate: Time-out/ }).click();
  await becomes(() => page.evaluate(() => location.hash.endsWith("/run")), true, "on the stage where lines are typed");
  await page.goBack();
  await page.getByRole("heading", { name: "Strategies", exact: true }).waitFor();
});

test("words of one's own stay, signing keeps them, and what is amended shows as a difference", async () => {
  await page.getByLabel("Written by").fill("AB");
  const box = page.getByLabel("In your own words: Indication", { exact: true });
  await box.fill("Two drugs, still class 3.");
  await page.getByRole("button", { name: "Keep these words", exact: true }).click();
  await becomes(async () => (await report()).sections.find((each) => each.id === "indication").words.map((each) => each.text), ["Two drugs, still class 3."]);
  await page.getByRole("button", { name: "Sign this report", exact: true }).click();
  await page.getByText("Nothing has changed since the last signature.", { exact: true }).waitFor();
  await box.fill("Two drugs, still class 3; wishes it.");
  await page.getByRole("button", { name: "Keep these words", exact: true }).click();
  await page.getByRole("button", { name: "Sign version 2", exact: true }).waitFor();
  await page.locator(".record-changes li.now", { hasText: "wishes it" }).waitFor();
  await page.locator(".record-changes li.then", { hasText: "still class 3. (AB" }).waitFor();
  await noFault();
});

test("the files are what they say they are", async () => {
  const kinds = await page.evaluate(async (id) => {
    const kind = async (ending) => {
      const reply = await fetch(`/api/cases/${id}/report${ending}`);
      return [reply.status, reply.headers.get("content-type"), (await reply.text()).slice(0, 9)];
    };
    return [await kind(".pdf"), await kind(".pdf?paper=letter"), await kind(".html")];
  }, kCase);
  assert.deepEqual(kinds, [[200, "application/pdf", "%PDF-1.5\n"], [200, "application/pdf", "%PDF-1.5\n"], [200, "text/html; charset=utf-8", "<!doctype"]]);
});

test("the bundle is valid by the official R4 schema, and a spoilt one is not", async () => {
  const { default: Validator } = await import("@asymmetrik/fhir-json-schema-validator");
  const schema = new Validator();
  const bundle = await page.evaluate(async (id) => (await fetch(`/api/cases/${id}/fhir.json`)).json(), kCase);
  const faultsOf = (resource) => schema.validate(resource, true);
  assert.deepEqual(faultsOf(bundle), []);
  const kinds = new Set(bundle.entry.map(({ resource }) => resource.resourceType));
  assert.deepEqual([...kinds].sort(), ["Device", "DiagnosticReport", "Encounter", "MedicationAdministration", "Observation", "Patient", "Procedure"]);
  const addresses = new Set(bundle.entry.map((each) => each.fullUrl));
  assert.equal(addresses.size, bundle.entry.length, "each resource has an address of its own");
  for (const reference of JSON.stringify(bundle).matchAll(/"reference":"([^"]+)"/g)) assert.ok(addresses.has(reference[1]), reference[1]);
  bundle.entry[0].resource.gender = "sometimes";
  assert.notDeepEqual(faultsOf(bundle), [], "the validator looks into the entries, and can say no");
});

test("works on a small light screen by keyboard", async () => {
  await page.setViewportSize({ width: 1024, height: 768 });
  await page.getByRole("button", { name: /Change to the light theme/ }).click();
  await page.locator("body").click({ position: { x: 5, y: 5 } });
  await page.keyboard.press("5");
  await becomes(() => page.evaluate(() => location.hash.endsWith("/journal")), true);
  await page.keyboard.press("4");
  await page.getByRole("heading", { name: "Strategies", exact: true }).waitFor();
  await noFault();
  await page.screenshot({ path: pictureFile("record-light-1024.png") });
});

test("nothing was said on the console", () => assert.deepEqual(browser.faults, []));
