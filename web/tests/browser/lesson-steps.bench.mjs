// SPDX-License-Identifier: Apache-2.0
// How many steps and how much time it takes to build a lesson in Record from a case that is logged: words for the audience at every decision and at the end,
// speaker's notes at two, one clip at each of the first decisions, the look at its run, names, the file. Steps are counted as they are done; what a
// person needs for each is the keystroke-level model's (Commun ACM 1980;23:396-410: a key 0.28 s for an average typist, pointing 1.1 s, a press 0.1 s, a
// change of hand 0.4 s, thinking before a step 1.35 s), what the page needs is measured.
//   npm run test:browser -- --program ../build/test/bin/fairlead lesson-steps.bench.mjs
import assert from "node:assert/strict";
import { mkdir } from "node:fs/promises";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { becomes, openBrowser } from "./browser.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
const kCase = "01M2NG00X0DEM0CASE00000004";
const kPictures = fileURLToPath(new URL("../../test-results/pictures/", import.meta.url));
const kKey = 0.28, kPoint = 1.1, kPress = 0.1, kHand = 0.4, kThink = 1.35, kLookAtRun = 15, kWordsOfThought = 20; // the last two chosen: looking through one run, thinking of one sentence
const kSentence = "We went on though the tip had not moved for ten minutes: change earlier.";
let browser;
let page;
let clicks = 0, keys = 0, looks = 0, sentences = 0;

before(async () => {
  browser = await openBrowser({ width: 1024, height: 768 });
  page = browser.page;
  page.setDefaultTimeout(20000);
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
  await mkdir(kPictures, { recursive: true });
});
after(() => browser.close());

const press = async (what) => { clicks += 1; await what.click(); };
const type = async (what, words) => { clicks += 1; keys += words.length; await what.fill(words); };

test("a lesson is built in less than ten minutes", async () => {
  const begun = Date.now();
  await page.goto(`${kOrigin}/#/case/${kCase}/record`);
  await page.getByRole("heading", { name: "Strategies", exact: true }).waitFor();
  await page.getByRole("button", { name: /Change to the light theme/ }).click(); // for the picture: no step of the lesson
  await type(page.getByLabel("Written by"), "AB");
  const lesson = page.getByRole("region", { name: "Lesson", exact: true });
  await press(page.getByRole("button", { name: "Build the lesson", exact: true }));
  await lesson.locator("details").first().waitFor();
  const points = await lesson.locator("details").count();
  for (let at = 0; at < points; at += 1) {
    const here = lesson.locator("details").nth(at);
    await press(here.locator("summary"));
    await type(here.getByLabel(/^Words for the audience/), kSentence);
    await press(here.getByRole("button", { name: "Keep for the lesson", exact: true }));
    await becomes(() => here.getByRole("button", { name: "Keep for the lesson", exact: true }).count(), 0, "kept", 20000);
    sentences += 1;
    if (at >= 2) continue;
    await type(here.getByLabel(/^For the speaker/), kSentence);
    await press(here.getByRole("button", { name: "Keep for the lesson", exact: true }));
    await becomes(() => here.getByRole("button", { name: "Keep for the lesson", exact: true }).count(), 0, "kept", 20000);
    sentences += 1;
  }
  await lesson.screenshot({ path: kPictures + "lesson-build-light-1024.png" });
  const run = page.getByRole("button", { name: "Choose from run 1", exact: true });
  await press(run);
  const clips = 4;
  for (let at = 0; at < clips; at += 1) {
    await type(page.getByLabel("Words below it", { exact: true }), "the cap in this view");
    clicks += 3; // the two numbers and the decision
    keys += 4;
    await page.getByLabel("Clip from frame", { exact: true }).fill(String(1 + at));
    await page.getByLabel("to frame", { exact: true }).fill(String(20 + at));
    await page.getByLabel(/^Shown at/).selectOption({ index: Math.min(at + 1, points - 1) });
    await press(page.getByRole("button", { name: "These frames into the lesson", exact: true }));
    await lesson.getByText(new RegExp(`, ${at + 1} clips?\\.`)).waitFor();
  }
  await press(page.getByRole("button", { name: "Look for writing in the pictures", exact: true }));
  await page.getByText(/of \d+ not looked at yet/).waitFor();
  await press(page.getByRole("button", { name: /^run 1/ }));
  await press(page.getByRole("button", { name: /^I looked: / }));
  looks += 1;
  await becomes(() => lesson.getByText(/clips? waits?: /).count(), 0, "no clip waits", 10000);
  const waiting = page.waitForEvent("download");
  await press(lesson.getByRole("link", { name: "Take the lesson", exact: true }));
  await (await waiting).path();
  const machine = (Date.now() - begun) / 1000;
  const person = clicks * (kThink + kPoint + kPress) + keys * kKey + sentences * 2 * kHand + looks * kLookAtRun + sentences * kWordsOfThought;
  console.log(`points ${points}, clips ${clips}, steps ${clicks}, keys ${keys}; page ${machine.toFixed(1)} s, a person's ${(person / 60).toFixed(1)} min`);
  assert.ok(machine + person < 600, `${machine} + ${person} s`);
});
