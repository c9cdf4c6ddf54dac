// SPDX-License-Identifier: Apache-2.0
// What the checks of one pane begin with: into the engine that runs, a case of one's own, runs brought into it.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";

const kOrigin = process.env.FAIRLEAD_ORIGIN;

// The page as its user has it, with the list of cases on it.
export async function enter(browser, patience = 20000) {
  const { page } = browser;
  page.setDefaultTimeout(patience);
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
  await page.goto(kOrigin);
  await page.locator(".case-line").first().waitFor();
  return page;
}

// A case of its own: nothing of the others changes.
export const newCase = (page, title, room) => page.evaluate(async (said) =>
  (await (await fetch("/api/cases", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(said) })).json()).id, { title, room });

export async function bringIn(page, caseId, file) {
  const bytes = (await readFile(file)).toString("base64");
  const status = await page.evaluate(async ([id, text]) => (await fetch(`/api/images?case=${id}`, { method: "POST", headers: { "content-type": "application/octet-stream" }, body: Uint8Array.from(atob(text), (c) => c.charCodeAt(0)) })).status, [caseId, bytes]);
  assert.equal(status, 200);
}
