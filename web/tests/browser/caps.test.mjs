// SPDX-License-Identifier: Apache-2.0
// The caps of an occlusion marked on the page, and contrast and motion under the cine, against the real engine and its
// invented practice: a suggested frame is shown and not taken; one frame, two frames; length, bend, what was read.
import assert from "node:assert/strict";
import { mkdir, readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { becomes, openBrowser } from "./browser.mjs";
import { enter } from "./entering.mjs";

const kPictures = fileURLToPath(new URL("../../test-results/pictures/", import.meta.url));
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
let browser;
let page;

before(async () => {
  await mkdir(kPictures, { recursive: true });
  browser = await openBrowser();
  page = await enter(browser);
  await page.locator(".case-line").first().click();
  await page.locator("#picture canvas:visible").waitFor();
  await page.getByLabel("Written by").fill("AB");
});
after(() => browser.close());

const flat = (text) => (text ?? "").replace(/\s+/g, " ").trim();
const settled = () => page.locator(".bench[aria-busy=false]").waitFor();
const facts = () => page.evaluate(async () => (await (await fetch(`/api/cases/${location.hash.split("/")[2]}`)).json()).facts);
const shownFrame = () => page.getByLabel("Frame", { exact: true }).inputValue();
const place = async (x, y) => {
  const box = await page.locator("#picture").boundingBox();
  const side = Math.min(box.width, box.height);
  return [box.x + (box.width - side) / 2 + (x / 512) * side, box.y + (box.height - side) / 2 + (y / 512) * side];
};
const click = async (x, y) => page.mouse.click(...(await place(x, y)));
const length = async () => flat(await page.getByLabel("Occlusion length found", { exact: true }).textContent()).match(/([\d.]+) ± ([\d.]+) mm/).slice(1).map(Number);

test("a run opens at the frame suggested, unless the reader is at work", async () => {
  const go = page.getByRole("button", { name: /^Go to frame \d+, suggested/ });
  await go.waitFor();
  const suggested = /frame (\d+)/.exec(await go.getAttribute("aria-label"))[1];
  await becomes(shownFrame, suggested, "the frame suggested");
  assert.ok(Number(suggested) > 10, "contrast comes in the first second of the invented run");
  assert.ok(((await page.locator(".moments path.full").getAttribute("d")) ?? "").split("L").length > 5);
  await page.screenshot({ path: `${kPictures}moments-1920.png` });
  await page.getByLabel("Frame", { exact: true }).fill("2");
  await go.click();
  assert.equal(await shownFrame(), suggested);
});

test("both caps in one frame give a length that names its method", async () => {
  await page.getByRole("button", { name: "Caps", exact: true }).click();
  await click(200, 220);
  await click(180, 200);
  await click(270, 220);
  await page.getByLabel("Occlusion length found", { exact: true }).waitFor();
  await settled();
  const [, sd] = await length();
  await page.getByText(/both caps in one frame/).waitFor();
  assert.match(flat(await page.getByLabel("Bend found", { exact: true }).textContent()), /more than 45° in /);
  assert.equal(await page.locator(".close-up canvas").count(), 2);
  await page.screenshot({ path: `${kPictures}caps-1920.png` });
  await page.getByRole("button", { name: "One frame on", exact: true }).click();
  await page.getByRole("radio", { name: /far cap$/ }).check();
  await click(270, 220);
  await page.getByText(/two frames of one run/).waitFor();
  await settled();
  const [, later] = await length();
  assert.ok(later > sd, `${later} > ${sd}: two moments are less sure than one`);
});

test("the panel passes the accessibility check, dark and light", async () => {
  for (const scheme of ["dark", "light"]) {
    await page.emulateMedia({ colorScheme: scheme });
    await page.evaluate(kAxe);
    const { violations } = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa"] }));
    assert.deepEqual(violations.map((each) => `${each.id}: ${each.nodes[0]?.html}`), []);
  }
});

test("length and grade are written with where they come from", async () => {
  await page.getByRole("button", { name: "Accept length", exact: true }).click();
  await page.getByText("Length accepted").first().waitFor();
  await page.getByRole("radio", { name: "blunt", exact: true }).check();
  await page.getByRole("button", { name: "Accept what was read", exact: true }).click();
  await page.getByText("What was read of the cap").first().waitFor();
  const list = await facts();
  const found = list.find((each) => each.name === "length_angio_mm");
  assert.equal(found.mark, "measured");
  assert.match(found.origin.method, /^gap 1, one view, two frames of one run/);
  assert.ok(found.origin.parts.some((part) => part.name.startsWith("two moments")));
  assert.equal(list.find((each) => each.name === "stump_angio").mark, "read");
  await page.setViewportSize({ width: 1024, height: 768 });
  await page.screenshot({ path: `${kPictures}caps-1024.png` });
  assert.deepEqual(browser.faults, []);
});
