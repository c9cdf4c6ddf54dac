// SPDX-License-Identifier: Apache-2.0
// Suppositions, the two pasts, the warning of another case in the room, and a graphics card that goes away: in the real
// page against the real engine.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { becomes, openBrowser } from "./browser.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
let browser;
let page;
let caseId;

before(async () => {
  browser = await openBrowser({ width: 1024, height: 768 });
  page = browser.page;
  page.setDefaultTimeout(12000);
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
  await page.goto(kOrigin);
  await page.locator(".case-line").first().waitFor();
  caseId = await post("/api/cases", { title: "LAD, invented for a check", room: "Lab Q" }).then((made) => made.id);
});
after(() => browser.close());

const post = (path, body) => page.evaluate(async ([to, what]) => (await fetch(to, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(what) })).json(), [path, body]);
const get = (path) => page.evaluate(async (from) => (await fetch(from)).json(), path);
const kDigits = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
let made = 0;
const ulid = () => {
  let time = Date.now();
  let head = "";
  for (let i = 0; i < 10; i++) { head = kDigits[time % 32] + head; time = Math.floor(time / 32); }
  made += 1;
  return head + Array.from({ length: 16 }, (_, at) => kDigits[(made * 7 + at * 11 + Math.floor(Math.random() * 32)) % 32]).join("");
};
const write = (id, kind, data, more = {}) => {
  const now = new Date().toISOString();
  return post(`/api/cases/${id}/entries`, { entries: [{ v: 1, id: ulid(), at: now, written: now, by: "QA", device: "page", kind, data, ...more }] }).then((answer) => answer.entries[0]);
};
const jcto = () => page.getByRole("region", { name: "How hard?" }).locator(".lead", { hasText: "J-CTO" }).first().locator("p").first().textContent();
const noFault = async () => {
  await page.evaluate(kAxe);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa"] }));
  assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes[0]?.html}`), []);
};

test("a supposition moves the pictures and writes nothing", async () => {
  for (const [fact, value] of [["stump_angio", "tapered"], ["calcification_angio", "none"], ["bend_angio_deg", { value: 20, sd: 4 }], ["length_angio_mm", { value: 12, sd: 1 }], ["previous_failed_attempts", 0]]) {
    const stored = await write(caseId, "fact", { fact, value, mark: "stated" });
    assert.ok(stored?.seq > 0, JSON.stringify(stored));
  }
  await page.goto(`${kOrigin}/#/case/${caseId}/plan`);
  const before = await jcto();
  assert.match(before, /Total 0/);
  const seq = (await get(`/api/cases/${caseId}`)).seq;
  const whatIf = page.getByRole("region", { name: "What if?" });
  await whatIf.getByRole("combobox", { name: "Suppose a fact" }).selectOption({ label: "Occlusion length, angiogram" });
  const slider = whatIf.getByRole("slider", { name: "Suppose Occlusion length, angiogram" });
  await slider.focus();
  for (let i = 0; i < 28; i++) await page.keyboard.press("ArrowRight");
  await page.waitForFunction(() => document.querySelector(".how-hard .lead")?.textContent?.includes("Total 1"));
  assert.ok(await whatIf.getByRole("table", { name: "Scores that change" }).getByText("J-CTO", { exact: true }).isVisible());
  await noFault();
  if (process.env.PICTURES) await page.screenshot({ path: `${process.env.PICTURES}/what-if.png` });
  await whatIf.getByRole("combobox", { name: "Suppose a fact" }).selectOption({ label: "Stump, angiogram" });
  await whatIf.getByRole("combobox", { name: "Suppose Stump, angiogram" }).selectOption("blunt");
  await page.waitForFunction(() => document.querySelector(".how-hard .lead")?.textContent?.includes("Total 2"));
  await whatIf.getByRole("button", { name: "No longer suppose Stump, angiogram" }).click();
  await page.waitForFunction(() => document.querySelector(".how-hard .lead")?.textContent?.includes("Total 1"));
  await whatIf.getByRole("button", { name: "As it stands" }).click();
  await page.waitForFunction((was) => document.querySelector(".how-hard .lead p")?.textContent === was, before);
  assert.equal((await get(`/api/cases/${caseId}`)).seq, seq, "no entry was written");
});

test("the case is seen as it was and as it was known, and nothing is written into a past", async () => {
  const first = await write(caseId, "fact", { fact: "lvef_pct", value: 35, mark: "stated" });
  await new Promise((done) => setTimeout(done, 30));
  const journal = (await get(`/api/cases/${caseId}`)).journal;
  const original = journal.find((line) => line.seq === first.seq);
  // Amended later to another value of the same moment: as it was, 55; as it was known, 35.
  await write(caseId, "fact", { fact: "lvef_pct", value: 55, mark: "stated" }, { at: original.at, amends: original.id });
  await page.goto(`${kOrigin}/#/case/${caseId}/journal`);
  await page.getByLabel("Written by").fill("QA");
  const row = page.getByRole("table", { name: "Journal of the case" }).getByRole("row", { name: /35/ }).first();
  await row.getByRole("button").first().click();
  await page.getByRole("button", { name: "See it as it was known then" }).click();
  await page.getByText("As it was known on").waitFor();
  const lvef = async () => page.evaluate(async () => {
    const query = new URLSearchParams(location.hash.split("?")[1]);
    const found = await (await fetch(`/api/cases/${location.hash.split("/")[2]}/at/${encodeURIComponent(query.get("at"))}${query.has("known") ? "?known" : ""}`)).json();
    return found.facts.find((each) => each.name === "lvef_pct")?.value;
  });
  assert.equal(await lvef(), 35);
  const shownRows = () => page.getByRole("table", { name: "Journal of the case" }).getByRole("row").count();
  await becomes(shownRows, first.seq + 1, "later entries are not in it");
  await page.getByLabel("Note for the journal").fill("too late");
  await page.getByRole("button", { name: "Write the note" }).click();
  await page.getByText("nothing can be written into a past").waitFor();
  await noFault();
  await page.getByRole("button", { name: "As it was", exact: true }).click();
  await page.getByText("As it was on").waitFor();
  await becomes(lvef, 55);
  await page.reload();
  await page.getByText("As it was on").waitFor();
  await page.getByRole("button", { name: "Back to now" }).click();
  await page.waitForFunction((rows) => document.querySelectorAll("table.journal tbody tr").length === rows, first.seq + 1);
  await becomes(() => page.locator(".past-line").count(), 0);
});

test("another case that is written to in the same room is told of in every stage", async () => {
  assert.equal(await page.locator(".neighbour-line").count(), 0);
  const other = await post("/api/cases", { title: "RCA <b>also</b> invented", room: "Lab Q" });
  await write(other.id, "note", { text: "a note" });
  for (const stage of ["appraise", "plan", "journal"]) {
    await page.goto(`${kOrigin}/#/cases`);
    await page.goto(`${kOrigin}/#/case/${caseId}/${stage}`);
    await page.getByText("Another case is open in Lab Q").waitFor();
    const [line, stageBox] = [await page.locator(".neighbour-line").boundingBox(), await page.locator("#stage").boundingBox()];
    assert.ok(line.height >= 40 && line.y + line.height <= stageBox.y + 1, `the line stands above ${stage}, not under it`);
  }
  assert.ok((await page.locator(".neighbour-line").textContent()).includes("RCA <b>also</b> invented"), "a title is shown as text");
});

test("the picture stays when the graphics card goes away", async () => {
  await page.goto(`${kOrigin}/?painter=webgl2#/cases`);
  await page.locator(".case-line", { hasText: "runs" }).or(page.locator(".case-line")).last().waitFor();
  const withRuns = (await get("/api/cases")).cases.find((each) => each.entries > 5 && each.id !== caseId);
  await page.goto(`${kOrigin}/?painter=webgl2#/case/${withRuns.id}/appraise`);
  await page.locator("#picture canvas.picture[data-painter=webgl2]:visible").waitFor();
  await page.waitForTimeout(300);
  await page.evaluate(() => document.querySelector("#picture canvas.picture").getContext("webgl2").getExtension("WEBGL_lose_context").loseContext());
  await page.locator("#picture canvas.picture[data-painter='2d']:visible").waitFor();
  const spread = await page.waitForFunction(() => {
    const canvas = document.querySelector("#picture canvas.picture");
    const data = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data;
    const greys = new Set();
    for (let at = 0; at < data.length; at += 52 * 4) greys.add(data[at]);
    return greys.size > 20 ? greys.size : false;
  });
  assert.ok(await spread.jsonValue());
});

test("nothing is wrong on the console", () => assert.deepEqual(browser.faults, []));
