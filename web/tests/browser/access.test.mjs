// SPDX-License-Identifier: Apache-2.0
// The page from another computer of the lab: TLS by the lab's own authority, a name and a password, and what each role
// is let do. The browser itself checks the certificate's key; the engine is the program.
import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { createHash, X509Certificate } from "node:crypto";
import { mkdir, mkdtemp, readFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { openBrowser } from "./browser.mjs";
import { ended, removed } from "./leaving.mjs";

const kWeb = fileURLToPath(new URL("../..", import.meta.url));
const kPictures = join(kWeb, "test-results", "pictures");
const kAxe = await readFile(join(kWeb, "node_modules", "axe-core", "axe.min.js"), "utf8");
const kPassword = "a sentence for the tests";
const kScript = "<img src=x onerror=globalThis.broken=1>";
let folder;
let server;
let origin;
let caseId;
let browser;
let page;

function run(words, input = "") {
  const ended = spawnSync(process.env.FAIRLEAD_PROGRAM, [...words, "--data", folder], { encoding: "utf8", input });
  assert.equal(ended.status, 0, `${words.join(" ")}: ${ended.stderr}`);
  return ended.stdout;
}
const addPerson = (name, role) => run(["people", "add", name, "--role", role, "--password-from", "-"], kPassword);

async function serve() {
  server = spawn(process.env.FAIRLEAD_PROGRAM, ["serve", "--data", folder, "--listen", "0.0.0.0:0", "--web", join(kWeb, "dist")],
    { stdio: ["ignore", "pipe", "ignore"] });
  return new Promise((found, failed) => {
    server.stdout.on("data", (bytes) => found(String(bytes).trim().replace(/\/$/, "")));
    server.on("exit", (code) => failed(new Error(`the server ended with ${code}`)));
  });
}

before(async () => {
  folder = await mkdtemp(join(tmpdir(), "fairlead-access-"));
  run(["certificate", "--name", "localhost", "--name", "127.0.0.1"]);
  for (const [name, role] of [["RD", "reader"], ["RC", "recorder"]]) addPerson(name, role);
  origin = await serve();
  assert.match(origin, /^https:\/\/localhost:\d+$/);
  caseId = JSON.parse(run(["case", "new", "--title", `RCA ${kScript}`, "--room", "2", "--json"])).id;
  const key = new X509Certificate(await readFile(join(folder, "tls", "server.pem"))).publicKey.export({ type: "spki", format: "der" });
  browser = await openBrowser({ flags: [`--ignore-certificate-errors-spki-list=${createHash("sha256").update(key).digest("base64")}`] });
  page = browser.page;
  page.setDefaultTimeout(12000);
});
after(async () => {
  await browser?.close();
  await ended(server);
  await removed(folder);
});

// The browser itself reports each answer that refuses; nothing else may be on the console.
function onlyRefusals(...statuses) {
  const others = browser.faults.filter((fault) => !statuses.some((status) => fault.includes(`status of ${status}`)));
  assert.deepEqual(others, []);
  browser.faults.length = 0;
}
async function logIn(name, password = kPassword) {
  await page.getByLabel("Name").fill(name);
  await page.getByLabel("Password").fill(password);
  await page.getByRole("button", { name: "Log in" }).click();
}
async function writeNote() {
  return page.evaluate(async (id) => {
    const now = new Date().toISOString();
    const letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
    const entry = { v: 1, id: "01M4QJJM" + [...crypto.getRandomValues(new Uint8Array(18))].map((each) => letters[each % 32]).join(""),
      at: now, written: now, by: "AB", device: "page", kind: "note", data: { text: "from the tablet" } };
    const reply = await fetch(`/api/cases/${id}/entries`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ entries: [entry] }) });
    return { status: reply.status, said: await reply.json() };
  }, caseId);
}

test("the door asks for a name and a password, by the rules of accessibility, in both themes", async () => {
  await mkdir(kPictures, { recursive: true });
  for (const [theme, width, height] of [["dark", 1920, 1080], ["light", 1024, 768]]) {
    await page.setViewportSize({ width, height });
    await page.goto(`${origin}/#/case/${caseId}/appraise`);
    await page.evaluate((name) => localStorage.setItem("fairlead-theme", name), theme);
    await page.reload();
    await page.getByRole("button", { name: "Log in" }).waitFor();
    await page.evaluate(kAxe);
    const found = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"] }));
    assert.deepEqual(found.violations.map((rule) => `${rule.id}: ${rule.nodes[0]?.html}`), []);
    const small = await page.locator("button:visible, input:visible").evaluateAll((list) => list.map((each) => each.getBoundingClientRect()).filter((box) => box.height < 43.5 || box.width < 43.5).length);
    assert.equal(small, 0);
    await page.screenshot({ path: join(kPictures, `login-${theme}-${width}.png`) });
  }
  assert.equal(await page.getByText("RCA").count(), 0, "nothing of a case before the door");
  onlyRefusals(401);
});

test("a wrong password is told in one sentence, and the field is ready for the next try", async () => {
  await logIn("RD", "not the sentence at all");
  await page.getByRole("alert").getByText(/The name or the password is wrong/i).waitFor();
  assert.equal(await page.getByLabel("Password").inputValue(), "");
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("name")), "password");
  onlyRefusals(401);
});

test("a reader sees the case where the address led, and is refused when writing", async () => {
  await logIn("RD");
  await page.getByRole("button", { name: /RD, reader: log out/ }).waitFor();
  await page.getByText(kScript, { exact: false }).first().waitFor();
  assert.equal(await page.evaluate(() => globalThis.broken), undefined, "a title is text, whatever it holds");
  await page.locator(".link.live").waitFor();
  const { status, said } = await writeNote();
  assert.equal(status, 403);
  assert.match(said.error.what, /needs the role recorder, yours is reader/);
  assert.equal(await page.evaluate(() => document.cookie), "", "no script can read the cookie");
  onlyRefusals(401, 403);
});

test("whoever logs out is out, and a recorder then writes", async () => {
  await page.getByRole("button", { name: /RD, reader: log out/ }).click();
  await page.getByRole("button", { name: "Log in" }).waitFor();
  assert.equal(await page.evaluate(async (id) => (await fetch(`/api/cases/${id}`)).status, caseId), 401);
  await logIn("RC");
  await page.getByRole("button", { name: /RC, recorder: log out/ }).waitFor();
  assert.equal((await writeNote()).status, 200);
  onlyRefusals(401);
});

test("a person who is taken off the list is at the door within seconds", async () => {
  run(["people", "remove", "RC"]);
  await page.getByRole("button", { name: "Log in" }).waitFor();
  onlyRefusals(401);
});
