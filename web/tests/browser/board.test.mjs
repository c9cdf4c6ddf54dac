// SPDX-License-Identifier: Apache-2.0
// The run on the page, over the real engine: an invented hour is typed, the board and the wall show what the engine made
// of it, a line that is refused stays in the bar, trouble is one touch, and the whole can be rehearsed.
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
// Minutes ago, and what was typed then; invented.
const kHour = [
  [62, "timeout plan:1"], [60, "access femoral right 8F 45cm ultrasound"], [58, "guide a in 8F 90cm"], [57, "hep 8000"], [52, "act 344"],
  [50, "contrast +30"], [49, "ak 0.21"], [48, "bp 138/76"], [46, "start AW"], [45, "wire a in polymer 0.8g 190cm"], [44, "mc a in 135cm"],
  [30, "contrast +22"], [28, "ak 0.66"], [22, "space a w1 extraplaque views"], [16, "switch ADR outside-plaque"], [12, "phase tracking"], [6, "ak 0.92"],
];
let browser;
let page;
let id;

const panel = () => page.evaluate(async (id) => (await fetch(`/api/cases/${id}/panels/run`)).json(), id);
const type = async (line) => {
  await page.getByLabel("Log: what happened").fill(line);
  await page.getByLabel("Log: what happened").press("Enter");
};
async function noFault() {
  await page.evaluate(kAxe);
  const found = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"] }));
  assert.deepEqual(found.violations.map((rule) => `${rule.id}: ${rule.nodes[0]?.html}`), []);
}

before(async () => {
  browser = await openBrowser();
  page = browser.page;
  page.setDefaultTimeout(12000);
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
  await page.goto(kOrigin);
  id = await page.evaluate(async () => (await (await fetch("/api/cases")).json()).cases.find((each) => each.title.startsWith("Circumflex")).id);
  const refused = await page.evaluate(async ({ id, hour }) => {
    const failed = [];
    for (const [ago, text] of hour) {
      const body = JSON.stringify({ text, by: "AB", at: new Date(Date.now() - ago * 60_000).toISOString(), write: true, confirm: true });
      const reply = await fetch(`/api/cases/${id}/log`, { method: "POST", headers: { "content-type": "application/json" }, body });
      if (reply.status !== 200) failed.push([text, await reply.text()]);
    }
    return failed;
  }, { id, hour: kHour });
  assert.deepEqual(refused, []);
  await mkdir(kPictures, { recursive: true });
});
after(() => browser.close());

test("the board shows what the engine folded from the journal", async () => {
  const found = await panel();
  assert.equal(found.active.strategy, "ADR");
  await page.goto(`${kOrigin}/#/case/${id}/run`);
  await page.getByRole("heading", { name: /Attempt 2: .*\(ADR\)/ }).waitFor();
  await page.getByLabel("Written by").fill("AB");
  await page.getByRole("region", { name: "Attempt" }).getByText(/tracking, 1[123] min/).waitFor();
  const body = page.getByRole("region", { name: "In the body" });
  await body.getByText(/▲.*outside plaque|▲.*extraplaque/).first().waitFor();
  await page.getByRole("region", { name: "Contrast", exact: true }).getByText(`${found.totals.contrast_ml.value} mL`, { exact: false }).first().waitFor();
  const cautions = page.getByRole("region", { name: "Applies now" });
  assert.equal(await cautions.locator("li.caution").count(), found.cautions.length);
  assert.ok(found.cautions.length > 0 && found.not_watched.length > 0);
  await cautions.getByText(found.cautions[0].text).waitFor();
});

test("which way now: the limits first, then the minutes that make no odds, then the two ways on, of the attempt that runs", async () => {
  const answer = await page.evaluate(async (id) => (await fetch(`/api/cases/${id}/panels/ladder`)).json(), id);
  assert.equal(answer.run.strategy, "ADR");
  assert.equal(answer.run.phase, "tracking");
  assert.deepEqual(answer.run.tried.map((each) => [each.strategy, Math.round(each.minutes)]), [["AW", 30]]);
  assert.ok(answer.budgets.find((each) => each.what === "minutes").used >= 58);
  const pane = page.getByRole("region", { name: "Which way now" });
  await pane.getByRole("region", { name: "Patience" }).waitFor();
  const text = await pane.textContent();
  assert.match(text, /(fits|no longer fits)/);
  assert.match(text, /makes no odds/);
  assert.ok(text.indexOf("fits") < text.indexOf("makes no odds") && text.indexOf("makes no odds") < text.indexOf("change now"));
  assert.match(text, /\d in 10|in 10/);
  assert.match(text, /Tried: AW 30 min/);
  assert.doesNotMatch(text, /\b(must|should|switch now|stop now|do not)\b/i);
  const kept = () => page.evaluate(async (id) => (await (await fetch(`/api/cases/${id}`)).json()).journal.some((each) => each.kind === "shown" && each.data.at_step === "phase" && /which way: .*makes no odds/.test(each.data.text)), id);
  await becomes(kept, true, "the journal keeps what the strip said");
  // What the operator rates as closed is an entry, and is planned for no longer until it is open again.
  const way = async (line) => {
    await page.waitForFunction((typed) => document.getElementById("log-bar")?.value === typed, line);
    await page.locator("#log-says .taken").waitFor();
    await page.getByLabel("Log: what happened").press("Enter");
  };
  await pane.getByRole("button", { name: "Rate AW as closed", exact: true }).click();
  await way("decide closed AW");
  await pane.getByText("AW: rated as closed").waitFor();
  await becomes(() => pane.getByRole("button", { name: "Rate AW as closed", exact: true }).count(), 0, "no longer planned for");
  await page.getByLabel("Log: what happened").fill("decide open AW");
  await way("decide open AW");
  await pane.getByRole("button", { name: "Rate AW as closed", exact: true }).waitFor();
});

async function nobodyWrites() {
  await page.setViewportSize({ width: 1024, height: 768 });
  await page.evaluate(() => localStorage.removeItem("fairlead-writer"));
  await page.reload();
  await page.getByLabel("Who writes here?").waitFor();
}

test("on a tablet the limits, the minutes and both bars stand on the first screen, above the budgets", async () => {
  await nobodyWrites();
  const pane = page.getByRole("region", { name: "Which way now" });
  await page.getByLabel("Who writes here?").fill("AB");
  await page.getByRole("button", { name: "It is me", exact: true }).click();
  await becomes(() => page.getByLabel("Who writes here?").count(), 0, "asked no longer");
  await pane.getByRole("region", { name: "Patience" }).waitFor();
  const places = await page.evaluate(() => ({
    bars: [...document.querySelectorAll(".run-patience .patience-track")].map((each) => each.getBoundingClientRect().bottom),
    foot: document.querySelector(".run-foot > .log, .run-foot > .rehearsal").getBoundingClientRect().top,
    pane: document.querySelector(".run-patience").getBoundingClientRect().bottom, gauges: document.querySelector(".gauges").getBoundingClientRect().top,
  }));
  assert.equal(places.bars.length, 2);
  for (const bottom of places.bars) assert.ok(bottom <= places.foot, JSON.stringify(places));
  assert.ok(places.gauges >= places.pane, "above the budgets");
  await page.setViewportSize({ width: 1920, height: 1080 });
});

test("what the page has to say covers no key of the log", async () => {
  await nobodyWrites();
  await type("bp 126");
  await page.locator(".notice.trouble").waitFor();
  const [said, log] = [await page.locator(".notice.trouble").boundingBox(), await page.locator(".run-foot > .log").boundingBox()];
  assert.ok(said.y + said.height <= log.y + 1, JSON.stringify([said, log]));
  await page.getByRole("button", { name: "Close this message", exact: true }).click();
  await page.getByLabel("Log: what happened").fill("");
  await page.getByLabel("Written by").fill("AB");
  await becomes(() => page.getByLabel("Who writes here?").count(), 0, "named at the rail: not asked here");
  await page.setViewportSize({ width: 1920, height: 1080 });
});

test("it keeps the rules of accessibility, and its targets 44 px, in both themes", async () => {
  for (const [theme, width, height] of [["dark", 1920, 1080], ["light", 1024, 768]]) {
    await page.setViewportSize({ width, height });
    await page.evaluate((name) => localStorage.setItem("fairlead-theme", name), theme);
    await page.reload();
    await page.getByRole("heading", { name: /Attempt 2/ }).waitFor();
    await noFault();
    const small = await page.locator("button:visible").evaluateAll((list) => list.map((each) => [each.textContent, each.getBoundingClientRect()]).filter(([, box]) => box.width > 0 && (box.height < 43.5 || box.width < 43.5)).map(([words]) => words));
    assert.deepEqual(small, []);
    const trouble = await page.getByRole("button", { name: "Trouble", exact: true }).boundingBox();
    assert.ok(trouble.height >= 96 && trouble.width >= 96, JSON.stringify(trouble));
    await page.screenshot({ path: pictureFile(`run-${theme}-${width}.png`) });
  }
  await page.setViewportSize({ width: 1920, height: 1080 });
});

test("why it will not go: what is commonly tried, what the shelf has, and the reason for the log, not yet written", async () => {
  // What the board said at a step, and what the demo still brings in, is written at any time: typed entries alone are counted.
  const typed = () => page.evaluate(async (id) => (await (await fetch(`/api/cases/${id}`)).json()).journal.filter((line) => line.kind === "run").map((line) => line.text), id);
  const before = await typed();
  await page.getByText("Why it will not go", { exact: false }).first().click();
  await page.getByRole("button", { name: "Nobody can say where the cap is", exact: true }).click();
  await page.getByText(/dual-lumen microcatheter over the wire that is in · .*invented shelf/).waitFor();
  await page.getByRole("button", { name: "Log: stopped, cap-unclear", exact: true }).click();
  assert.equal(await page.getByLabel("Log: what happened").inputValue(), "stopped cap-unclear");
  await page.getByLabel("Log: what happened").fill("");
  assert.deepEqual(await typed(), before);
  await noFault();
});

test("a line is previewed before Enter, one that makes no sense is refused without another number", async () => {
  await page.getByLabel("Log: what happened").fill("act 36");
  const says = page.locator("#log-says");
  await says.locator(".refused").waitFor();
  assert.doesNotMatch(await says.textContent(), /136|236|360/);
  await page.getByLabel("Log: what happened").press("Enter");
  assert.equal(await page.getByLabel("Log: what happened").inputValue(), "act 36", "it stays to be mended");
  await page.getByLabel("Log: what happened").fill("act 285");
  await says.locator(".taken").waitFor();
  await page.getByLabel("Log: what happened").press("Enter");
  await page.getByRole("region", { name: "Journal, newest first" }).getByText(/ACT 285/i).first().waitFor();
  await becomes(async () => (await panel()).anticoagulation.last.act_s, 285, "the board has the last ACT");
});

test("by touch: a key, the pad, Enter; and the entry is taken back", async () => {
  await page.getByRole("button", { name: "Contrast +", exact: true }).click();
  const pad = page.getByRole("group", { name: /Words of contrast/ });
  await pad.getByRole("button", { name: "8", exact: true }).click();
  await page.locator("#log-says .taken").waitFor();
  await page.getByRole("button", { name: "Enter", exact: true }).click();
  await page.waitForFunction(() => document.getElementById("log-bar")?.value === "");
  const sum = async () => (await panel()).totals.contrast_ml.value;
  for (let tries = 0; tries < 40 && (await sum()) !== 60; tries++) await page.waitForTimeout(100);
  assert.equal(await sum(), 60);
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await page.getByRole("group", { name: "Undo" }).getByText(/contrast/i).waitFor();
  await page.getByRole("button", { name: "Take it back" }).click();
  for (let tries = 0; tries < 40 && (await sum()) !== 52; tries++) await page.waitForTimeout(100);
  assert.equal(await sum(), 52);
});

test("trouble is stamped by one touch; then which; its list runs with a clock, each tick an entry", async () => {
  await page.getByRole("button", { name: "Trouble", exact: true }).click();
  await page.getByRole("button", { name: "Low pressure" }).click();
  const drill = page.getByRole("region", { name: "Trouble" });
  await drill.getByRole("timer").waitFor();
  await drill.getByText("Local protocol decides", { exact: false }).waitFor();
  await drill.locator(".drill-steps button").first().click();
  await drill.locator(".drill-steps li.done").first().waitFor();
  const found = await panel();
  assert.ok(found.troubles.some((each) => each.kind === "hypotension" && each.active === "ADR"), JSON.stringify(found.troubles));
  await drill.getByRole("button", { name: "It is over" }).click();
  await page.getByRole("region", { name: "Trouble" }).waitFor({ state: "detached" });
});

test("the wall says six things and no more, in letters of 56 px, without identifiers or chances", async () => {
  await page.goto(`${kOrigin}/#/wall/${id}`);
  await page.locator(".wall-tile").first().waitFor();
  assert.equal(await page.locator(".wall-tile").count(), 6);
  const sizes = await page.evaluate(() => [...document.querySelectorAll(".wall *")].filter((each) => each.children.length === 0 && (each.textContent ?? "").trim() !== "" && !each.classList.contains("unseen")).map((each) => parseFloat(getComputedStyle(each).fontSize)));
  assert.ok(Math.min(...sizes) >= 55.9, `smallest ${Math.min(...sizes)}`);
  const words = await page.locator(".wall").innerText();
  assert.doesNotMatch(words, /in 10|per 1,000|chance|death|Example/);
  assert.match(words, /285/);
  assert.match(words, /tracking/);
  await page.screenshot({ path: pictureFile("wall-1920.png") });
  const over = await page.evaluate(() => [...document.querySelectorAll(".wall-tile")].filter((each) => each.scrollHeight > each.clientHeight + 1 || each.scrollWidth > each.clientWidth + 1).map((each) => each.className));
  assert.deepEqual(over, [], "nothing is cut off");
  await noFault();
});

test("the invented run can be rehearsed sixty times as fast, and what is typed meanwhile is not kept", async () => {
  await page.goto(`${kOrigin}/#/case/${id}/run`);
  // Counted by what was typed: pictures of the invented practice join its cases meanwhile.
  const typedLines = () => page.evaluate(async (id) => (await (await fetch(`/api/cases/${id}`)).json()).journal.filter((each) => each.kind === "run").length, id);
  const before = await typedLines();
  await page.getByRole("button", { name: "60×" }).click();
  const replay = page.getByRole("group", { name: "Rehearsal" });
  await replay.getByText("Rehearsal, invented").waitFor();
  await page.getByRole("heading", { name: /Attempt 1: .*\(AW\)/ }).waitFor({ timeout: 25000 }); // sixteen minutes into it
  await type("act 300");
  await page.getByText(/Rehearsal: read as/).waitFor();
  assert.equal(await typedLines(), before);
  await replay.getByRole("button", { name: "End" }).click();
  await page.getByRole("heading", { name: /Attempt 2/ }).waitFor();
});

test("the console stayed free of errors", () => assert.deepEqual(browser.faults, []));
