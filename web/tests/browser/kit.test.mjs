// SPDX-License-Identifier: Apache-2.0
// The kit on the page, against the real program: a fit asked by a newcomer, the shelf searched, a list previewed and kept,
// a label read, and Plan's column of the tray.
import assert from "node:assert/strict";
import { mkdir, readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { becomes, openBrowser } from "./browser.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
const kPictures = fileURLToPath(new URL("../../test-results/pictures/", import.meta.url));
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
let browser;
let page;
const region = (name) => page.getByRole("region", { name, exact: true });
const flat = (text) => text.replace(/\s+/g, " ").trim();

before(async () => {
  await mkdir(kPictures, { recursive: true });
  browser = await openBrowser();
  page = browser.page;
  page.setDefaultTimeout(12000);
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
});
after(() => browser.close());

async function accessible() {
  await page.evaluate(kAxe);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa"] }));
  assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes.map((node) => node.target.join(" ")).join(", ")}`), []);
}

test("will the ultrasound catheter go beside the microcatheter in this 7 French guide, and by how much", async () => {
  await page.goto(`${kOrigin}/#/kit`);
  const fit = region("Does it fit?");
  await fit.getByLabel("Through which lumen").fill("GC-7A 100");
  await fit.getByLabel("Through which lumen").press("Tab");
  for (const device of ["MC-A 135", "IV-R"]) {
    await fit.getByLabel("What goes in").fill(device);
    await fit.getByLabel("What goes in").press("Enter");
  }
  const answer = fit.locator(".fit-disc");
  await answer.getByText("tight, 0.07 mm to spare").waitFor();
  assert.match(flat(await answer.textContent()), /in this order: ?1 (IV-R ?2 MC-A 135|MC-A 135 ?2 IV-R)/); // both orders need the same room
  assert.equal(await answer.locator("svg .disc-shaft").count(), 3);
  assert.match(flat(await answer.textContent()), /flow left \d+ %/);
});

test("before any device is named: kinds are answered for all of the shelf, and a tap draws one", async () => {
  const fit = region("Does it fit?");
  for (const device of ["MC-A 135", "IV-R"]) await fit.getByRole("button", { name: `Take out ${device}`, exact: true }).click();
  await fit.getByLabel("Through which lumen").fill("7 French guide");
  await fit.getByLabel("Through which lumen").press("Tab");
  for (const kind of ["ultrasound catheter", "microcatheter"]) {
    await fit.getByLabel("What goes in").fill(kind);
    await fit.getByLabel("What goes in").press("Enter");
  }
  const list = fit.getByRole("region", { name: "Combinations", exact: true });
  await list.getByText("Of 20 combinations on the shelf 2 fit, 11 are tight, 7 do not pass.").waitFor();
  assert.match(flat(await list.locator("li").first().textContent()), /fits, 0\.13 mm to spare ?GC-7A.*2\.06 mm: IV-R, then MC-B/);
  await page.screenshot({ path: `${kPictures}kit-kinds-1920.png` });
  await accessible();
  await list.locator("button").filter({ hasText: "MC-A" }).filter({ hasText: "tight, 0.07 mm" }).first().click();
  await fit.locator(".fit-disc").getByText("tight, 0.07 mm to spare").waitFor();
  await list.waitFor({ state: "detached" });
  await fit.getByLabel("Through which lumen").fill("GC-7A 100");
  await fit.getByLabel("Through which lumen").press("Tab");
});

test("a size that is not understood is told in a sentence", async () => {
  const fit = region("Does it fit?");
  await fit.getByLabel("What goes in").fill("2.6");
  await fit.getByRole("button", { name: "Put it in" }).click();
  await fit.getByText("it has no unit").waitFor();
  await fit.getByRole("button", { name: "Take out 2.6" }).click();
  await fit.getByText("tight, 0.07 mm to spare").waitFor();
});

// By hand: 9 + 100 + 1 + 4 + 7 + 4 + 13 + 3 = 141 cm; 135 is 6 short, 150 has 9 to spare.
test("does the microcatheter reach through the channel, which device runs out first, and what of the wire", async () => {
  const reach = region("Does it reach?");
  await reach.getByLabel("Where to").selectOption({ label: "right coronary, by a septal channel" });
  await reach.getByLabel("Through which guide").fill("100");
  await reach.getByLabel("Through which guide").press("Tab");
  for (const device of ["MC-A 135", "MC-A 150", "GW-CL 190", "GW-EX 340"]) {
    await reach.getByLabel("What goes along").fill(device);
    await reach.getByLabel("What goes along").press("Enter");
  }
  await reach.getByText("Lengths that were measured").click();
  // An answer that arrives while the next length is being typed leaves it in its field.
  await page.route("**/api/kit/reach", async (route) => { await new Promise((done) => setTimeout(done, 300)); await route.continue().catch(() => undefined); }); // it may be gone by then
  const answered = page.waitForResponse((each) => each.url().endsWith("/api/kit/reach"));
  await reach.getByLabel("left main, cm", { exact: true }).fill("2");
  await reach.getByLabel("left main, cm", { exact: true }).press("Tab");
  await reach.getByLabel("RCA, cm", { exact: true }).fill("13");
  await answered;
  await reach.getByText("the tip must stand at 142 cm").waitFor();
  assert.equal(await reach.getByLabel("RCA, cm", { exact: true }).inputValue(), "13");
  await page.unroute("**/api/kit/reach");
  for (const [name, cm] of [["left main", "1"], ["LAD to septal", "4"], ["septal channel", "7"], ["posterior descending", "4"], ["RCA", "13"]]) {
    await reach.getByLabel(`${name}, cm`, { exact: true }).fill(cm);
    await reach.getByLabel(`${name}, cm`, { exact: true }).press("Tab");
  }
  await reach.locator('svg[aria-label*="MC-A 150: +9"]').waitFor(); // with the usual lengths it is 141 cm too, but +10
  await reach.getByText("the tip must stand at 141 cm").waitFor();
  assert.match(flat(await reach.textContent()), /Runs out first: MC-A 135, −6 cm/);
  assert.match(flat(await reach.getByRole("region", { name: "Brought out of the other guide", exact: true }).textContent()), /GW-CL 190 ?too short: not snared.*GW-EX 340 ?may be snared/);
  await reach.getByRole("region", { name: "Taking the microcatheter off that wire", exact: true }).waitFor();
  await page.screenshot({ path: `${kPictures}kit-reach-1920.png`, fullPage: true });
  await accessible();
});

test("the shelf is searched by what is needed, as one would say it", async () => {
  const shelf = region("On the shelf");
  await shelf.getByLabel("What is needed").fill("microcatheter, inner lumen ≥ 0.40 mm, ≥ 150 cm");
  await page.waitForFunction(() => document.querySelectorAll(".shelf-list tbody tr").length === 2);
  await shelf.getByText("MC-B 150").waitFor();
});

test("a label is read, and a wrong check digit is told", async () => {
  const label = region("Read a label");
  await label.getByLabel("GS1 text, scanned or typed").fill("(01)09521234543213(17)250101(10)ABC123");
  await label.getByRole("button", { name: "Read", exact: true }).click();
  await label.getByText("✕ expired 2025-01-01").waitFor();
  await label.getByLabel("GS1 text, scanned or typed").fill("010952012345678117271231");
  await label.getByRole("button", { name: "Read", exact: true }).click();
});

test("the page of the kit is accessible in both themes, and is pictured", async () => {
  await region("Wires, soft to stiff").getByText("GW-T40 190").waitFor();
  await region("When the guide does not hold").getByText("a guide extension", { exact: true }).waitFor();
  await accessible();
  await page.screenshot({ path: `${kPictures}kit-dark-1920.png` });
  await page.getByRole("button", { name: "Change to the light theme" }).click();
  await accessible();
  await page.setViewportSize({ width: 1024, height: 768 });
  await page.screenshot({ path: `${kPictures}kit-light-1024.png` });
  await page.getByRole("button", { name: "Change to the dark theme" }).click();
  await page.setViewportSize({ width: 1920, height: 1080 });
});

async function openPlan() {
  await page.goto(`${kOrigin}/#/cases`);
  await page.locator(".case-line").first().click();
  await page.getByRole("link", { name: "Plan" }).click();
  await page.locator(".what-with[aria-busy=false]").waitFor();
}

test("Plan's tray shows fit discs, the reach ruler, what is missing and the pick list", async () => {
  await openPlan();
  const tray = region("What with?");
  assert.ok((await tray.locator(".fit-disc svg.disc").count()) >= 3);
  assert.ok((await tray.locator(".ruler svg").count()) >= 1);
  // The ways stand as the ladder beside them has them, each with its chance.
  const ids = (place) => page.locator(`${place} li.rung b`).allTextContents();
  await page.locator(".which-way li.rung b").first().waitFor();
  const ladder = (await ids(".which-way")).filter((id) => !/^(Prepare|Stop)/.test(id));
  assert.ok(ladder.length > 0);
  await becomes(() => ids(".tray-ways"), ladder, "the ways of the tray");
  assert.match(flat(await tray.locator(".tray-ways").textContent()), /in 10/);
  for (const each of ["AW", "ADR", "RDR", "RW"]) { // the whole ladder by hand, whatever the limits leave of it
    const button = tray.getByRole("button", { name: each, exact: true });
    if ((await button.getAttribute("aria-pressed")) !== "true") await button.click();
  }
  await tray.getByText("If a wire must come out of the other guide").waitFor();
  assert.match(flat(await tray.locator(".bail-out").textContent()), /pericardial drainage set/);
  await tray.getByRole("heading", { name: /^Pick list/ }).click();
  assert.ok((await tray.locator(".pick-table tbody tr").count()) > 10);
  await accessible();
  await page.screenshot({ path: `${kPictures}what-with-dark-1920.png`, fullPage: false });
  await tray.screenshot({ path: `${kPictures}what-with-column.png` });
});

test("one strategy less asks for less, by keyboard", async () => {
  const tray = region("What with?");
  for (const each of ["RW", "RDR"]) {
    const button = tray.getByRole("button", { name: each, exact: true });
    if ((await button.getAttribute("aria-pressed")) !== "true") continue; // the ladder leaves it out already
    await button.focus();
    await page.keyboard.press("Space");
  }
  await page.waitForFunction(() => document.querySelector(".tray-side.retrograde") === null);
  await page.setViewportSize({ width: 1024, height: 768 });
  await tray.screenshot({ path: `${kPictures}what-with-1024.png` });
  await page.setViewportSize({ width: 1920, height: 1080 });
});

test("a package that was used goes into the journal with lot and serial; the same serial again is told", async () => {
  await page.goto(`${kOrigin}/#/kit`);
  await page.getByLabel("Written by").fill("AB");
  const label = region("Read a label");
  await label.getByLabel("GS1 text, scanned or typed").fill("01095201234567881727123110A1B2C3<GS>21S0001");
  await label.getByRole("button", { name: "Read", exact: true }).click();
  await label.getByRole("button", { name: /^Used/ }).click();
  await label.getByText("This very package is in the journal already").waitFor();
});

test("a label scanned into the log makes the stock fall, and an unknown number is a provisional item", async () => {
  const left = () => page.evaluate(async () => { const answer = await (await fetch("/api/kit/shelf?need=coil")).json(); return { count: answer.devices.find((each) => each.name === "CO-18").count, provisional: answer.provisional.length }; });
  const before = await left();
  const id = await page.evaluate(async () => (await (await fetch("/api/cases")).json()).cases[0].id);
  await page.goto(`${kOrigin}/#/case/${id}/run`);
  const bar = page.getByLabel("Log: what happened");
  for (const [label, says] of [["(01)09520900000715(10)INV90843", /used; CO-18/], ["(01)09521234543213(10)NOBODY", /provisional item 09521234543213, not on the shelf/]]) {
    await bar.fill(label);
    await page.waitForFunction(() => document.querySelector("#log-says .taken") !== null);
    assert.match(await page.locator("#log-says").textContent(), says);
    await bar.press("Enter");
    await page.waitForFunction(() => document.getElementById("log-bar")?.value === "");
    await page.waitForFunction((text) => document.querySelector(".timeline")?.textContent?.includes(text), label.slice(4, 18));
  }
  assert.equal((await left()).count, before.count - 1);
  assert.equal((await left()).provisional, before.provisional + 1);
});

test("a list is previewed with the line of each fault, and kept when somebody says so", async () => {
  await page.goto(`${kOrigin}/#/kit`);
  const list = region("A new list");
  const csv = "\ufeffBezeichnung;Klasse;Außendurchmesser (mm);lumen_in;Nutzlänge (cm);Bestand\r\nFK 7;Führungskatheter;2,37;0,081;100;2\r\nodd;spoon;;;;\r\nMC 1;Mikrokatheter;2,8 Fr;0,016;135;3\r\n";
  await list.getByLabel("CSV as a spreadsheet saved it").setInputFiles({ name: "list.csv", mimeType: "text/csv", buffer: Buffer.from(csv, "utf8") });
  await list.getByText("2 of 3 lines taken").waitFor();
  assert.match(flat(await list.locator(".preview tbody tr").first().textContent()), /^3 .*there is no class 'spoon'/);
  await page.screenshot({ path: `${kPictures}kit-import-dark-1920.png` });
  await page.getByLabel("Written by").fill("AB");
  await list.getByRole("button", { name: "Make it the lab's shelf" }).click();
  await page.getByText("The list is the lab's shelf now: 2 devices").waitFor();
  await region("On the shelf").getByLabel("What is needed").fill("");
  await page.waitForFunction(() => document.querySelectorAll(".shelf-list tbody tr").length === 2);
  const lab = await page.evaluate(async () => (await fetch("/api/lab?name=shelf")).json());
  assert.equal(lab.knowledge[0].by, "AB");
  assert.equal(lab.knowledge[0].text.devices.length, 2);
});

test("nothing went wrong on the console but the refusals that were asked for", () => {
  assert.deepEqual(browser.faults.filter((each) => !each.includes("status of 400")), []);
});
