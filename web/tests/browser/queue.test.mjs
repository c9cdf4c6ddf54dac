// SPDX-License-Identifier: Apache-2.0
// The engine is killed in the middle of a run; thirty entries are typed without it; the page is read anew and its tab is
// closed; the engine starts again: each entry is in the journal once and in order, and the one that it refuses lies in a
// tray. Real program, real browser, the program killed as a power cut would.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdtemp } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { after, before, test } from "node:test";
import { openBrowser } from "./browser.mjs";
import { removed } from "./leaving.mjs";

const kDist = fileURLToPath(new URL("../../dist", import.meta.url));
const kTyped = 30;
let folder, program, origin, browser, page, id;

async function startProgram(words) {
  const child = spawn(process.env.FAIRLEAD_PROGRAM, [...words, "--data", folder, "--web", kDist], { stdio: ["ignore", "pipe", "inherit"] });
  const printed = await new Promise((found, failed) => {
    let text = "";
    child.stdout.on("data", (bytes) => {
      text += bytes;
      const url = text.match(/http:\/\/\S+start=\S+/);
      if (url) found(url[0]);
    });
    child.on("exit", (code) => failed(new Error(`the program ended with ${code}`)));
  });
  child.removeAllListeners("exit");
  return { child, printed };
}
const killed = (child) => new Promise((gone) => { child.on("exit", gone); child.kill("SIGKILL"); });
const lines = async () => (await (await fetch(`${origin}/api/cases/${id}`, { headers: { cookie: program.cookie } })).json()).journal;
const bar = () => page.getByLabel("Log: what happened");
async function type(line) {
  await bar().fill(line);
  await bar().press("Enter");
  await page.waitForFunction(() => document.getElementById("log-bar")?.value === "");
}

before(async () => {
  folder = await mkdtemp(join(tmpdir(), "fairlead-queue-"));
  program = await startProgram(["demo", "--port", "0"]);
  origin = new URL(program.printed).origin;
  browser = await openBrowser();
  page = browser.page;
  page.setDefaultTimeout(20000);
  await page.goto(program.printed);
  program.cookie = (await browser.context.cookies()).map(({ name, value }) => `${name}=${value}`).join("; ");
  id = (await (await fetch(`${origin}/api/cases`, { headers: { cookie: program.cookie } })).json()).cases[0].id;
});
after(async () => {
  await browser.close();
  await killed(program.child);
  await removed(folder);
});

test("an entry typed into the log bar is in the journal", async () => {
  await page.goto(`${origin}/#/case/${id}/run`);
  await page.getByLabel("Written by").fill("AB");
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.reload(); // from now on the page's files come by way of its own keeper
  await type("note before the cut");
  await page.waitForFunction(() => document.querySelector(".timeline")?.textContent?.includes("before the cut"));
  assert.ok((await lines()).some((line) => line.text.includes("before the cut"))); // what the screen showed may follow it
  await page.waitForTimeout(2500); // the engine writes down who was let in with its next beat
});

test("killed, thirty entries, read anew, tab closed, started again: each once, in order", async () => {
  assert.deepEqual(browser.faults, []);
  await killed(program.child);
  const began = Date.now();
  for (let i = 0; i < kTyped / 2; i++) await type(`note cut ${i}`);
  await type("act 36");
  await page.getByText(/^Frozen since/).first().waitFor();
  await page.reload();
  await page.getByRole("button", { name: `${kTyped / 2 + 1} entries wait` }).waitFor();
  for (let i = kTyped / 2; i < kTyped; i++) await type(`note cut ${i}`);
  await page.close();
  page = await browser.context.newPage();
  page.setDefaultTimeout(20000);
  await page.goto(`${origin}/#/case/${id}/run`);
  await page.getByRole("button", { name: `${kTyped + 1} entries wait` }).waitFor();
  await page.waitForTimeout(Math.max(0, 7000 - (Date.now() - began)));
  program = { ...(await startProgram(["serve", "--listen", `127.0.0.1:${new URL(origin).port}`])), cookie: program.cookie };
  await page.getByRole("button", { name: /^1 refused$/ }).waitFor();
  const cut = (await lines()).map((line) => /cut (\d+)/.exec(line.text)?.[1]).filter((each) => each !== undefined).map(Number);
  assert.deepEqual(cut, Array.from({ length: kTyped }, (_, i) => i));
});

test("the refused one lies in the tray with its reason, and goes only when it is taken out", async () => {
  await page.getByRole("button", { name: /^1 refused$/ }).click();
  const drawer = page.getByRole("complementary", { name: "Waiting entries" });
  const refused = drawer.getByRole("region", { name: "Refused entries" });
  await refused.getByText("act 36").waitFor();
  assert.doesNotMatch(await refused.locator(".warn").textContent(), /136|236|360/, "no other number is proposed");
  await drawer.getByRole("button", { name: "Take it out" }).click();
  await refused.getByText("None.").waitFor();
  await page.getByRole("button", { name: /refused/ }).waitFor({ state: "detached" });
});

test("the live page lives again, and nothing but the cut itself was reported", async () => {
  await page.locator(".link.live").waitFor();
  await type("note after the cut");
  await page.waitForFunction(() => document.querySelector(".timeline")?.textContent?.includes("after the cut"));
  const others = browser.faults.filter((fault) => !/ERR_CONNECTION|ERR_INCOMPLETE|ERR_EMPTY|ERR_FAILED|status of 400/.test(fault));
  assert.deepEqual(others, []);
});
