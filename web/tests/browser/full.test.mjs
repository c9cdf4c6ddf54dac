// SPDX-License-Identifier: Apache-2.0
// The disk fills under the engine while a recorder types: the page keeps each entry, says why it waits, and delivers them
// once each and in order when there is room again. A file system of its own (tmpfs); where none may be mounted, skipped.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { mkdtemp, open, rm, unlink } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { after, before, test } from "node:test";
import { openBrowser } from "./browser.mjs";

const kDist = fileURLToPath(new URL("../../dist", import.meta.url));
const kTyped = 5;
let disk = "", mounted = false, program, printed, origin, browser, page, id, cookie;

// Somebody else's file takes all the room that is left.
async function fill() {
  const file = await open(join(disk, "others"), "a");
  for (const bytes of [65536, 512, 1]) {
    try { for (;;) await file.write(Buffer.alloc(bytes, 46)); } catch (error) { assert.equal(error.code, "ENOSPC"); }
  }
  await file.close();
}
const send = (path, body) => fetch(`${origin}${path}`, { method: "POST", headers: { "content-type": "application/json", cookie }, body: JSON.stringify(body) });
const texts = async () => (await (await fetch(`${origin}/api/cases/${id}`, { headers: { cookie } })).json()).journal.map((line) => line.text);

before(async () => {
  disk = await mkdtemp(join(tmpdir(), "fairlead-full-"));
  try { execFileSync("mount", ["-t", "tmpfs", "-o", "size=24m", "tmpfs", disk], { stdio: "ignore" }); mounted = true; } catch { return; }
  program = spawn(process.env.FAIRLEAD_PROGRAM, ["serve", "--listen", "127.0.0.1:0", "--data", join(disk, "data"), "--web", kDist], { stdio: ["ignore", "pipe", "inherit"] });
  printed = await new Promise((found, failed) => {
    let text = "";
    program.stdout.on("data", (bytes) => { text += bytes; const url = text.match(/http:\/\/\S+start=\S+/); if (url) found(url[0]); });
    program.on("exit", (code) => failed(new Error(`the program ended with ${code}`)));
  });
  program.removeAllListeners("exit");
  origin = new URL(printed).origin;
  browser = await openBrowser();
  page = browser.page;
  page.setDefaultTimeout(20000);
  await page.goto(printed);
  cookie = (await browser.context.cookies()).map(({ name, value }) => `${name}=${value}`).join("; ");
  id = (await (await send("/api/cases", { title: "a full disk, invented", room: "4" })).json()).id;
});
after(async () => {
  await browser?.close();
  if (program) await new Promise((gone) => { program.on("exit", gone); program.kill("SIGKILL"); });
  if (mounted) execFileSync("umount", ["-l", disk]);
  await rm(disk, { recursive: true, force: true });
});

test("the disk fills in mid-case: the page keeps what is typed, says so, and delivers it once there is room", async (t) => {
  if (!mounted) return t.skip("no file system of its own may be mounted here");
  await page.goto(`${origin}/#/case/${id}/run`);
  await page.getByLabel("Written by").fill("AB");
  const bar = page.getByLabel("Log: what happened");
  const type = async (line) => {
    await bar.fill(line);
    await bar.press("Enter");
    await page.waitForFunction(() => document.getElementById("log-bar")?.value === "");
  };
  await type("note before it was full");
  await page.waitForFunction(() => document.querySelector(".timeline")?.textContent?.includes("before it was full"));
  await fill();
  // The reserve for the last entries is used up by others, until the engine refuses.
  let status = 200;
  for (let n = 0; n < 3000 && status === 200; n++) status = (await send(`/api/cases/${id}/log`, { text: `note ${"x".repeat(3500)}`, by: "CD", write: true })).status;
  assert.equal(status, 503, "the disk never filled");
  for (let n = 0; n < kTyped; n++) await type(`note kept ${n}`);
  const key = page.locator(".waiting-key");
  await key.getByText(`${kTyped} entries wait`).waitFor();
  await key.getByText("the disk is full").waitFor();
  await key.click();
  const drawer = page.getByRole("complementary", { name: "Waiting entries" });
  await drawer.getByText(/The engine cannot write: the disk is full/).waitFor();
  assert.equal(await drawer.getByRole("region", { name: "Waiting entries" }).getByRole("listitem").count(), kTyped);
  assert.equal((await texts()).filter((text) => text.includes("kept")).length, 0);
  await page.reload(); // what waits is in the browser's own store
  await page.locator(".waiting-key").getByText(`${kTyped} entries wait`).waitFor();
  await unlink(join(disk, "others"));
  await page.locator(".waiting-key").waitFor({ state: "detached" });
  const kept = (await texts()).map((text) => /kept (\d)/.exec(text)?.[1]).filter((each) => each !== undefined).map(Number);
  assert.deepEqual(kept, [0, 1, 2, 3, 4], "each once, in order");
  const others = browser.faults.filter((fault) => !/status of (503|400)/.test(fault));
  assert.deepEqual(others, []);
});
