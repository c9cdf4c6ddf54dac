// SPDX-License-Identifier: Apache-2.0
// The whole way through the real engine and its invented demo practice: open a case, play a run, take the scale, measure,
// accept, see fact and J-CTO change, amend, withdraw; once by mouse, once by keyboard alone. Then the pictures for the guide.
import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { mkdir, readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { becomes, openBrowser } from "./browser.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
// `UPDATE=1 npm run test:browser -- flow.test.mjs` renews the guide's pictures; otherwise they go beside the results.
const kGuide = fileURLToPath(new URL("../../../docs/pictures/", import.meta.url));
const kPictures = fileURLToPath(new URL("../../test-results/pictures/", import.meta.url));
// The guide's folder holds only what the documents show; the others are for the reader of a test's results.
const pictureFile = (name) => (process.env.UPDATE === "1" && existsSync(kGuide + name) ? kGuide : kPictures) + name;
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const kLabel = "Occlusion length, angiogram";
let browser;
let page;

before(async () => {
  browser = await openBrowser();
  page = browser.page;
  page.setDefaultTimeout(12000);
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
});
after(() => browser.close());

const flat = (text) => text.replace(/\s+/g, " ").trim();
const lengthRow = () => page.getByRole("region", { name: "What we know" }).getByRole("button", { name: kLabel });
const lengthValue = async () => flat(await lengthRow().locator(".fact-value").textContent());
const engineLength = async () => page.evaluate(async () => {
  const id = location.hash.split("/")[2];
  const found = await (await fetch(`/api/cases/${id}`)).json();
  const fact = found.facts.find((each) => each.name === "length_angio_mm" && each.of === "");
  const score = found.assessment.scores.find((each) => each.id === "j-cto");
  return { fact: fact ?? null, jcto: JSON.stringify([score.totals ?? null, score.reachable]), seq: found.seq };
});
const at = async (x, y) => {
  const box = await page.locator("#picture").boundingBox();
  return [box.x + box.width * x, box.y + box.height * y];
};
const click = async (x, y) => page.mouse.click(...(await at(x, y)));
const settled = () => page.locator(".bench[aria-busy=false]").waitFor();
const set = async (text, sd) => {
  const drawer = page.getByRole("complementary", { name: "Fact" });
  await drawer.getByLabel("Value, mm").fill(text);
  await drawer.getByLabel("± sd, mm").fill(sd);
};

test("a case opens with its runs, facts and the mark that it is invented", async () => {
  await page.goto(kOrigin);
  const lines = page.locator(".case-line");
  await lines.first().waitFor();
  assert.equal(await lines.count(), 4);
  assert.equal(await page.locator(".case-line .invented").count(), 4);
  await lines.first().click();
  await page.getByRole("region", { name: "Runs" }).getByRole("button", { pressed: true }).waitFor();
  assert.equal(await page.getByRole("navigation").getByText("invented").count(), 1);
  await page.locator("#picture canvas:visible").waitFor();
});

test("the run plays and steps", async () => {
  const words = page.locator(".cine-words");
  const first = await words.textContent();
  await page.getByRole("button", { name: "Play" }).click();
  await page.waitForFunction((before) => document.querySelector(".cine-words")?.textContent !== before, first);
  await page.getByRole("button", { name: "Pause" }).click();
  const stood = await words.textContent();
  await page.getByRole("button", { name: "One frame on" }).click();
  await page.waitForFunction((before) => document.querySelector(".cine-words")?.textContent !== before, stood);
});

let byGeometry = "";
test("by mouse: scale from a catheter, ruler, accept; the fact and J-CTO follow", async () => {
  await page.getByLabel("Written by").fill("AB");
  const before = await engineLength();
  byGeometry = flat(await page.locator(".corner").textContent());
  await page.getByRole("button", { name: "Scale", exact: true }).click();
  await page.getByRole("radio", { name: "its two edges" }).check();
  await page.getByRole("radio", { name: "6", exact: true }).check();
  const [x, y] = await at(0.5, 0.4);
  await page.mouse.click(x, y);
  await page.mouse.click(x + 12, y + 2);
  await page.getByLabel("Scale found").waitFor();
  await page.getByRole("button", { name: "Accept this scale" }).click();
  await page.waitForFunction((old) => document.querySelector(".corner")?.textContent?.replace(/\s+/g, " ").trim() !== old, byGeometry);
  await page.getByRole("button", { name: "Ruler", exact: true }).click();
  await click(0.4, 0.5);
  await click(0.5, 0.55);
  await click(0.62, 0.5);
  await settled();
  const found = flat(await page.getByLabel("Length found").textContent());
  assert.match(found, /^\d+(\.\d+)? ± \d+(\.\d+)? mm$/);
  assert.ok((await page.locator(".made li").count()) >= 3, "the uncertainty is told in parts");
  await page.getByRole("button", { name: "Accept as occlusion length" }).click();
  await page.getByText("Length accepted").waitFor();
  await becomes(lengthValue, found);
  const now = await engineLength();
  assert.equal(now.fact.mark, "measured");
  assert.equal(now.fact.origin.points.length, 3);
  assert.ok(now.fact.origin.parts.length >= 3);
  assert.ok(now.seq > before.seq);
});

test("by mouse: amend, then withdraw; J-CTO moves with it and the history keeps all", async () => {
  const measured = await lengthValue();
  await lengthRow().click();
  const drawer = page.getByRole("complementary", { name: "Fact" });
  await drawer.getByRole("button", { name: "Amend" }).first().click();
  await set("60", "2");
  await drawer.getByRole("button", { name: "Write the amendment" }).click();
  await page.waitForFunction(() => document.querySelector(".fact-now")?.textContent?.includes("60.0"));
  const long = await engineLength();
  await drawer.getByRole("button", { name: "Amend" }).first().click();
  await set("5", "0.5");
  await drawer.getByRole("button", { name: "Write the amendment" }).click();
  await page.waitForFunction(() => document.querySelector(".fact-now")?.textContent?.includes("5.00"));
  const short = await engineLength();
  assert.notEqual(short.jcto, long.jcto, "5 mm and 60 mm give different J-CTO totals");
  for (let left = 2; left > 0; left--) {
    await drawer.getByRole("button", { name: "Withdraw" }).first().click();
    await drawer.getByLabel("Why it no longer counts").fill("typed for a check");
    await drawer.getByRole("button", { name: "Withdraw it" }).click();
    await page.getByText("Withdrawn: the entry stays readable").waitFor();
    await page.getByRole("button", { name: "Close this message" }).click();
  }
  await becomes(lengthValue, measured, "what stood before counts again");
  assert.ok((await drawer.locator(".history li").count()) >= 3);
  await drawer.getByRole("button", { name: "Close the drawer" }).click();
});

test("by keyboard alone: ruler, accept, plan, fact, amendment, withdrawal", async () => {
  const press = async (...keys) => { for (const key of keys) await page.keyboard.press(key); };
  const tabTo = async (held, most = 260) => {  // the whole ring: over a hundred facts stand on the page
    for (let tries = 0; tries < most; tries++) {
      if (await page.evaluate(held)) return;
      await press("Tab");
    }
    assert.fail(`the focus never came to ${held}`);
  };
  await page.locator("body").evaluate(() => document.activeElement instanceof HTMLElement && document.activeElement.blur());
  await press("1", "r", "ArrowLeft", "Enter");
  for (let step = 0; step < 9; step++) await press("Shift+ArrowRight");
  await press("Enter");
  await page.getByLabel("Length found").waitFor();
  // A handle takes the focus and moves by one pixel, with Shift by ten.
  const before = flat(await page.getByLabel("Length found").textContent());
  await tabTo(() => document.activeElement?.getAttribute("aria-label")?.startsWith("Point 2 of 2"));
  await press("Shift+ArrowRight", "Shift+ArrowRight");
  await page.waitForFunction((old) => document.querySelector("[aria-label='Length found']")?.textContent?.replace(/\s+/g, " ").trim() !== old, before);
  await settled();
  const found = flat(await page.getByLabel("Length found").textContent());
  await press("a");
  await page.getByText("Length accepted").waitFor();
  await becomes(lengthValue, found);
  await press("/");
  await page.keyboard.type("occlusion length, angiogram");
  await tabTo(() => document.activeElement?.classList.contains("fact"));
  await press("Enter");
  await page.getByRole("complementary", { name: "Fact" }).waitFor();
  await tabTo(() => document.activeElement?.textContent === "Amend");
  await press("Enter");
  await page.evaluate(() => document.querySelector(".drawer")?.focus());
  await tabTo(() => document.activeElement?.closest("label")?.textContent?.startsWith("Value"));
  await press("Control+a");
  await page.keyboard.type("30");
  await press("Tab", "Control+a");
  await page.keyboard.type("4");
  await press("Enter");
  await page.waitForFunction(() => document.querySelector(".fact-now")?.textContent?.includes("30.0"));
  await tabTo(() => document.activeElement?.textContent === "Withdraw");
  await press("Enter");
  await tabTo(() => document.activeElement?.closest("label")?.textContent?.startsWith("Why it no longer counts"));
  await page.keyboard.type("typed for a check");
  await press("Enter");
  await page.getByText("Withdrawn: the entry stays readable").waitFor();
  await press("Escape", "2");
  await page.getByRole("heading", { name: /How hard/ }).waitFor();
  await press("5");
  await page.getByRole("table", { name: "Journal of the case" }).waitFor();
  await press("?");
  await page.getByRole("heading", { name: "Keys" }).waitFor();
  await press("Escape", "1");
  await page.getByLabel("Find a fact by name").fill("");
});

test("odds between grades reach the engine as they were set", async () => {
  await page.getByRole("region", { name: "What we know" }).getByRole("button", { name: /^Stump, angiogram/ }).first().click();
  const drawer = page.getByRole("complementary", { name: "Fact" });
  await drawer.getByRole("button", { name: "blunt", exact: true }).click();
  await drawer.getByLabel("tapered, in 100").fill("30");
  await drawer.getByLabel("tapered, in 100").blur();
  await drawer.getByRole("button", { name: "Write into the journal" }).click();
  await page.waitForFunction(() => document.querySelector(".fact-now")?.textContent?.includes("tapered 3 in 10"));
  const stored = await page.evaluate(async () => (await (await fetch(`/api/cases/${location.hash.split("/")[2]}`)).json()).facts.find((each) => each.name === "stump_angio").value);
  assert.deepEqual(stored, { tapered: 0.3, blunt: 0.7 });
  await page.keyboard.press("Escape");
});

test("a broken file is refused with a sentence; the case stays as it was", async () => {
  const runs = await page.locator(".strip li").count();
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "Add files" }).click();
  await (await chooser).setFiles([{ name: "broken.dcm", mimeType: "", buffer: Buffer.concat([Buffer.alloc(128), Buffer.from("DICM"), Buffer.alloc(64, 255)]) }]);
  const tray = page.getByRole("region", { name: "Import" });
  await tray.getByText("0 of 1 added, 1 refused").waitFor({ timeout: 20000 });
  assert.ok(flat(await tray.locator(".import-words").textContent()).length > 20);
  await tray.getByRole("button", { name: "Close" }).click();
  await becomes(() => page.locator(".strip li").count(), runs);
  browser.faults.splice(0, browser.faults.length, ...browser.faults.filter((fault) => !/status of 422/.test(fault)));
});

test("what another tab writes is here at once", async () => {
  const other = await browser.context.newPage();
  await other.goto(page.url().replace(/#.*/, (hash) => hash.replace("appraise", "journal")));
  await other.getByPlaceholder("a note for the journal").fill("seen from the other tab");
  await other.getByRole("button", { name: "Write the note" }).click();
  await other.locator("td.what", { hasText: "seen from the other tab" }).first().waitFor();
  await page.getByRole("link", { name: "Journal" }).click();
  await page.locator("td.what", { hasText: "seen from the other tab" }).first().waitFor({ timeout: 5000 });
  await other.close();
});

// Opened anew for each size and theme: the pictures of the guide, each also checked against the accessibility rules.
for (const theme of ["dark", "light"]) {
  for (const [width, height] of [[1920, 1080], [1024, 768]]) {
    test(`pictures for the guide, ${theme}, ${width} x ${height}`, async () => {
      await mkdir(kPictures, { recursive: true });
      await page.setViewportSize({ width, height });
      await page.evaluate((name) => localStorage.setItem("fairlead-theme", name), theme);
      const home = page.url().replace(/#.*/, "");
      // The invented right coronary artery in LAO: at frame 28 both ends of the occlusion are filled.
      const id = await page.evaluate(async () => (await (await fetch("/api/cases")).json()).cases.find((each) => each.title.startsWith("Right coronary")).id);
      const filled = async () => {
        await page.locator("#picture canvas:visible").waitFor();
        await page.waitForTimeout(1500);
        await page.getByLabel("Frame", { exact: true }).fill("28");
        await page.waitForFunction(() => document.querySelector(".cine-words")?.textContent?.startsWith("28 of"));
        await page.waitForTimeout(1500);
      };
      // A place in the picture itself, whatever the pane's shape: the picture is fitted to the shorter side.
      const onPicture = async (u, v) => {
        const box = await page.locator("#picture").boundingBox();
        const side = 0.982 * Math.min(box.width, box.height);
        await page.mouse.click(box.x + box.width / 2 + (u - 0.5) * side, box.y + box.height / 2 + (v - 0.5) * side);
      };
      const take = async (name) => {
        await page.waitForTimeout(600);
        await page.screenshot({ path: pictureFile(`${name}-${theme}-${width}.png`) });
        await page.evaluate(kAxe);
        const found = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"] }));
        assert.deepEqual(found.violations.map((rule) => `${rule.id}: ${rule.nodes.map((node) => node.target.join(" ")).slice(0, 4).join("; ")}`), [], name);
      };
      const visit = async (place) => {
        await page.goto(`${home}#/${place}`);
        await page.reload();
        await page.locator("main h1").first().waitFor({ state: "attached" });
      };
      await visit("cases");
      await take("cases");
      await visit(`case/${id}/appraise`);
      await filled();
      await take("appraise");
      await page.getByRole("button", { name: "Ruler", exact: true }).click();
      await onPicture(0.1, 0.672);
      await onPicture(0.125, 0.715);
      await onPicture(0.168, 0.738);
      await page.getByLabel("Length found").waitFor();
      await take("ruler");
      await page.getByRole("button", { name: "Put down" }).click();
      await lengthRow().click();
      await take("fact");
      await visit(`case/${id}/plan`);
      await take("plan");
      await page.getByRole("button", { name: "J-CTO", exact: true }).click();
      await take("score");
      await visit(`case/${id}/journal`);
      await take("journal");
      await visit(`case/${id}/appraise`);
    });
  }
}

test("the console stayed free of errors", () => assert.deepEqual(browser.faults, []));
