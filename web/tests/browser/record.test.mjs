// SPDX-License-Identifier: Apache-2.0
// The report on the page: gaps with a way to each, own words, signing, differences, files to take away. Over the invented
// run of case 4, whose entries are known.
import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
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

test("what another system knows is shown first, and taken over with where it came from", async () => {
  await page.goto(`${kOrigin}/#/case/${kCase}/record`);
  const observation = { resourceType: "Observation", status: "final", code: { coding: [{ system: "http://loinc.org", code: "10230-1" }] }, effectiveDateTime: "2026-09-10",
    valueQuantity: { value: 45, system: "http://unitsofmeasure.org", code: "%" } };
  await page.getByLabel(/^A FHIR R4 file/).setInputFiles({ name: "known.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(observation)) });
  const take = page.getByRole("button", { name: "Take over 1 fact", exact: true });
  await take.waitFor();
  const lvef = () => page.evaluate(async (id) => (await (await fetch(`/api/cases/${id}`)).json()).facts.find((each) => each.name === "lvef_pct")?.value ?? null, kCase);
  assert.equal(await lvef(), null, "nothing is written before it is asked for");
  await take.click();
  await becomes(lvef, 45);
  await noFault();
});

test("a frame, the timeline and a clip are chosen, and taken out again", async () => {
  await page.goto(`${kOrigin}/#/case/${kCase}/record`);
  const pictures = async () => (await report()).pictures.map((each) => each.title);
  await page.getByRole("button", { name: "Timeline into the report", exact: true }).click();
  await becomes(pictures, ["Timeline of the visit"]);
  await page.getByRole("button", { name: "Choose from run 1", exact: true }).click();
  await page.getByLabel("Words below it", { exact: true }).fill("the cap");
  await page.getByRole("button", { name: "Frame 1 into the report", exact: true }).click();
  await becomes(async () => (await pictures()).length, 2);
  const seen = () => page.locator(".record-shots img").evaluateAll((all) => all.map((each) => each.naturalWidth > 0));
  await becomes(seen, [true, true], "both pictures are painted");
  await page.locator(".record-shots").scrollIntoViewIfNeeded();
  await noFault();
  await page.screenshot({ path: kPictures + "record-pictures-dark-1920.png" });
  await page.getByRole("button", { name: "These frames into the lesson", exact: true }).click();
  await page.getByRole("button", { name: "Build the lesson", exact: true }).click();
  await page.getByText(/^1 clip waits: /).waitFor();
  const first = page.getByRole("region", { name: "Lesson", exact: true }).locator("details").first();
  await first.locator("summary").click();
  await first.getByLabel(/^Words for the audience/).fill("Begin where the cap is clear, said Vantongeren to baker.");
  await first.getByRole("button", { name: "Keep for the lesson", exact: true }).click();
  await page.getByText(/Vantongeren: out/).waitFor();
  await page.getByRole("button", { name: "baker: stays", exact: true }).click(); // nobody but the reader can tell
  const lesson = page.getByRole("link", { name: "Take the lesson", exact: true });
  await becomes(async () => /mask=baker/.test(await lesson.getAttribute("href")), true, "it goes with the lesson");
  const taken = await page.evaluate(async (from) => (await fetch(from)).text(), await lesson.getAttribute("href"));
  assert.ok(!/baker|Vantongeren/.test(taken) && taken.includes("Begin where the cap is clear"));
  await noFault();
  await page.getByRole("button", { name: "Take out: picture 2", exact: true }).click();
  await becomes(pictures, ["Timeline of the visit"]);
});

test("a picture leaves without names only once somebody has looked at it", async () => {
  const tar = () => page.evaluate(async (id) => {
    const bytes = new Uint8Array(await (await fetch(`/api/cases/${id}/deidentified.tar`)).arrayBuffer());
    const text = new TextDecoder("latin1").decode(bytes);
    const names = []; // of the archive's members, POSIX.1-2017 pax: a block of 512 bytes, then the content
    for (let at = 0; at + 512 <= text.length && text[at] !== "\0";) {
      const field = (from, length) => text.slice(at + from, at + from + length).split("\0")[0];
      names.push(field(0, 100));
      at += 512 + Math.ceil(parseInt(field(124, 12), 8) / 512) * 512;
    }
    return { pictures: names.filter((name) => /images\/.+/.test(name)).length, named: text.includes(id), list: text.includes("nobody has looked") };
  }, kCase);
  const before = await tar();
  assert.deepEqual(before, { pictures: 0, named: false, list: true });
  await page.getByRole("button", { name: "Look for writing in the pictures", exact: true }).click();
  await page.getByText(/of 1 not looked at yet/).waitFor();
  await page.getByRole("button", { name: /^run 1/ }).click();
  await page.getByLabel("A box by keyboard: column, row, width, height", { exact: true }).fill("0,0,40,20");
  await page.getByRole("button", { name: "Add this box", exact: true }).click();
  await noFault();
  await page.screenshot({ path: pictureFile("record-look-dark-1920.png") });
  await page.getByRole("button", { name: "I looked: paint 1 box", exact: true }).click();
  await page.getByText("All were looked at.", { exact: true }).waitFor();
  const after = await tar();
  assert.ok(after.pictures > 0 && !after.named && !after.list);
});

test("the lesson works from a disk with the network off, in a lecture and alone", async () => {
  const html = await page.evaluate(async (id) => (await fetch(`/api/cases/${id}/lesson.html`)).text(), kCase);
  const file = fileURLToPath(new URL("../../test-results/lesson.html", import.meta.url));
  await writeFile(file, html);
  const alone = await browser.context.newPage();
  await browser.context.setOffline(true);
  try {
    await alone.goto(pathToFileURL(file).href);
    const where = () => alone.locator("#where").textContent();
    await becomes(where, `1 of ${(html.match(/<section>/g) ?? []).length}`);
    // The clip that was chosen above, and looked at since: it plays, from the disk.
    const shownFrame = () => alone.locator("figure.clip").first().evaluate((box) => [...box.querySelectorAll("img")].findIndex((each) => !each.hidden && each.naturalWidth > 0));
    assert.equal(await alone.locator("figure.clip").count(), 1);
    const end = await alone.locator("main>section").evaluateAll((all) => all.findIndex((each) => each.querySelector("figure.clip")));
    for (let at = 0; at < end; at += 1) await alone.keyboard.press("ArrowRight");
    await becomes(shownFrame, 0);
    await alone.keyboard.press("p");
    await becomes(async () => (await shownFrame()) > 2, true, "the clip goes on by itself");
    await alone.screenshot({ path: kPictures + "lesson-clip.png" });
    await alone.keyboard.press("Home");
    await alone.keyboard.press("ArrowRight");
    await alone.keyboard.press("1");
    await becomes(() => alone.locator("main>section:not([hidden]) .then").isVisible(), true, "what was done shows after a choice");
    assert.ok((await alone.locator("main>section:not([hidden]) pre").textContent()).length > 40, "what the screens said then is there");
    await alone.keyboard.press("v");
    await alone.keyboard.press("ArrowRight");
    await alone.keyboard.press("ArrowRight");
    await becomes(where, "Choose first: keys 1 to 9", "alone nothing goes on before a choice");
    await alone.keyboard.press("2");
    await alone.keyboard.press("3");
    await becomes(async () => /^2 of \d+\. [01] of 1 as it was done then, \d+ to come$/.test(await where()), true, "the first choice stands and is counted");
    await alone.evaluate(kAxe);
    const found = await alone.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa"] }));
    assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes[0]?.html}`), []);
    await alone.screenshot({ path: kPictures + "lesson-alone.png" });
  } finally {
    await browser.context.setOffline(false);
    await alone.close();
  }
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
