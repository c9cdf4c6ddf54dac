// SPDX-License-Identifier: Apache-2.0
// One browser for the checks: a new empty profile, no background traffic. Errors on the console fail the check.
import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { isDeepStrictEqual } from "node:util";
import { chromium } from "playwright-core";

const kFlags = ["--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--disable-gpu"];

export async function openBrowser({ width = 1920, height = 1080, touch = false, flags = [] } = {}) {
  const profile = await mkdtemp(join(tmpdir(), "fairlead-page-"));
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", headless: true, args: [...kFlags, ...flags], viewport: { width, height },
    hasTouch: touch, reducedMotion: "reduce",
  });
  const faults = [];
  context.on("weberror", (error) => faults.push(String(error.error())));
  context.on("console", (message) => {
    if (message.type() === "error" && !message.text().startsWith("[.WebGL")) faults.push(message.text());
  });
  return {
    context, faults, page: context.pages()[0] ?? (await context.newPage()),
    close: async () => {
      // A browser that does not end by itself must not hold up the checks: their process ends it.
      await Promise.race([context.close(), new Promise((done) => { setTimeout(done, 10000).unref(); })]);
      await rm(profile, { recursive: true, force: true, maxRetries: 3 }).catch(() => undefined);
    },
  };
}

// What the page shows follows an acknowledged entry by one answer of the engine: reads again until it is as expected.
export async function becomes(read, expected, what, patience = 5000) {
  const until = Date.now() + patience;
  let last = await read();
  while (!isDeepStrictEqual(last, expected) && Date.now() < until) {
    await new Promise((done) => setTimeout(done, 25));
    last = await read();
  }
  assert.deepStrictEqual(last, expected, what);
}
