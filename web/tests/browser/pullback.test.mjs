// SPDX-License-Identifier: Apache-2.0
// An ultrasound pullback on the page, through the real engine and its invented demo: read, looked through, cut, measured,
// corrected, marked, accepted into the facts; then one whose file does not say how large a pixel is.
import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdir, mkdtemp, readFile } from "node:fs/promises";
import { existsSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { becomes, openBrowser } from "./browser.mjs";
import { removed } from "./leaving.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
const kGuide = fileURLToPath(new URL("../../../docs/pictures/", import.meta.url));
const kPictures = fileURLToPath(new URL("../../test-results/pictures/", import.meta.url));
const pictureFile = (name) => (process.env.UPDATE === "1" && existsSync(kGuide + name) ? kGuide : kPictures) + name;
const kAxe = await readFile(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
let browser;
let page;
let id = "";

const get = (path) => page.evaluate(async (from) => (await fetch(from)).json(), path);
const fact = async (name) => (await get(`/api/cases/${id}`)).facts.find((each) => each.name === name) ?? null;
const bench = () => page.getByRole("region", { name: "Pullback, read", exact: true });
const along = () => page.getByRole("slider", { name: "Along the pullback", exact: true });
const tool = (name) => page.getByRole("toolbar", { name: "Tools" }).getByRole("button", { name, exact: true });
// With the page's own button: canvases are painted anew by it.
const themed = async (next) => {
  if ((await page.evaluate(() => document.documentElement.dataset.theme ?? "dark")) !== next) await page.getByRole("button", { name: `Change to the ${next} theme`, exact: true }).click();
  await becomes(() => page.evaluate(() => document.documentElement.dataset.theme ?? "dark"), next);
};
const settled = () => page.locator(".pullback-bench[aria-busy=false]").waitFor();

before(async () => {
  browser = await openBrowser();
  page = browser.page;
  page.setDefaultTimeout(15000);
  await mkdir(kPictures, { recursive: true });
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
  await page.goto(kOrigin);
  await page.evaluate(() => localStorage.setItem("fairlead-writer", "AB"));
  await page.reload(); // the page reads the writer when it starts
  const all = (await get("/api/cases")).cases;
  // The invented pullback is made while the demo already serves.
  await becomes(async () => {
    for (const each of all) {
      const images = (await get(`/api/cases/${each.id}`)).images;
      if (images.some((image) => image.image?.kind === "ultrasound")) id = each.id;
    }
    return id !== "";
  }, true, "a case of the demo has a pullback", 40000);
});
after(() => browser.close());

test("a pullback is read by itself and shown with its borders, at the thinnest tissue", async () => {
  await page.goto(`${kOrigin}/#/case/${id}/appraise`);
  await bench().getByRole("heading", { name: "Into the facts" }).waitFor({ timeout: 30000 });
  await page.locator("#picture canvas:visible").waitFor();
  assert.ok((await page.locator(".round-layer path.over.media").count()) >= 1);
  assert.ok((await page.locator(".round-layer path.over.lumen").count()) >= 1);
  assert.ok((await page.locator(".round-layer path.over.second").count()) === 1, "the second wire is marked where it is thinnest");
  assert.match(await along().getAttribute("aria-valuetext"), /^frame \d+, \d+\.\d mm$/);
});

test("keys and the lengthwise view go through the frames; play passes all of them", async () => {
  await along().focus();
  await page.keyboard.press("Home");
  await becomes(() => along().getAttribute("aria-valuenow"), "1");
  await page.keyboard.press("ArrowRight");
  await becomes(() => along().getAttribute("aria-valuenow"), "2");
  const box = await along().boundingBox();
  await page.mouse.click(box.x + box.width * 0.5, box.y + 20);
  const frames = Number(await along().getAttribute("aria-valuemax"));
  await becomes(() => along().getAttribute("aria-valuenow"), String(Math.floor(frames * 0.5) + 1));
  const shown = async () => Number(await page.locator("#picture").getAttribute("data-shown"));
  const before = await shown();
  await page.getByRole("button", { name: "Play", exact: true }).click();
  await page.waitForFunction((from) => Number(document.querySelector("#picture")?.getAttribute("data-shown")) > from + 10, before);
  await page.getByRole("button", { name: "Pause", exact: true }).click();
});

test("the cut turns without asking the engine", async () => {
  const asked = [];
  const listen = (request) => { if (request.url().includes("/rays/")) asked.push(request.url()); };
  page.on("request", listen);
  const greys = () => page.evaluate(() => {
    const canvas = document.querySelector(".along canvas");
    return [...canvas.getContext("2d").getImageData(0, 10, canvas.width, 1).data.filter((_, index) => index % 397 === 0)].join();
  });
  const before = await greys();
  const slider = page.getByRole("slider", { name: "Angle of the cut, degrees" });
  await slider.focus();
  for (let i = 0; i < 12; i++) await page.keyboard.press("PageDown");
  await page.waitForFunction((from) => {
    const canvas = document.querySelector(".along canvas");
    return [...canvas.getContext("2d").getImageData(0, 10, canvas.width, 1).data.filter((_, index) => index % 397 === 0)].join() !== from;
  }, before);
  page.off("request", listen);
  assert.deepEqual(asked, []);
});

test("what follows is worked out from the measured odds, and a reader's mark wins and stands in the journal", async () => {
  const answer = bench().getByRole("region", { name: "Why will they not meet?", exact: true });
  const follows = bench().getByRole("region", { name: "What follows" });
  // The demo's scene: the catheter in plaque, the far wire beyond the media.
  await answer.getByText("near wire in plaque, far wire outside", { exact: true }).waitFor();
  assert.ok((await answer.locator("svg .second.outside").count()) >= 1, "the second wire's depth is drawn, dashed beyond the media");
  assert.equal(await answer.locator("svg rect.thin").count(), 1, "the thin part is marked");
  const go = answer.getByRole("button", { name: /^Go to the thinnest tissue/ });
  if ((await go.count()) > 0) await go.click();
  await answer.getByText("of tissue, where it is thinnest", { exact: false }).waitFor();
  assert.match(await answer.textContent(), /Where.*within plaque.*outside the media.*Apart.*mm of tissue.*Balloon.*up to \d\.\d\d mm/);
  assert.ok((await follows.locator("svg .balloon").count()) >= 1, "the size that the rule allows is drawn to scale");
  await bench().getByRole("group", { name: "Far wire, as you see it" }).getByRole("radio", { name: "plaque", exact: true }).click();
  await answer.getByText("both wires in plaque", { exact: true }).waitFor();
  const stored = await fact("far_wire_space_ivus");
  assert.equal(stored.value, "plaque");
  assert.equal(stored.mark, "read");
  assert.match(stored.origin.image, /^[0-9a-f]{64}$/);
  await bench().getByRole("group", { name: "Far wire, as you see it" }).getByRole("radio", { name: "as measured", exact: true }).click();
  await answer.getByText("near wire in plaque, far wire outside", { exact: true }).waitFor();
  assert.equal((await fact("far_wire_space_ivus")).value, null);
});

// The rule for both outside (practice), worked by hand on 3.1 x 3.6 mm: 0.75 x 3.35 = 2.51, down to 2.50.
test("from beside the vessel its size is typed, and the rule goes by what was typed", async () => {
  const answer = bench().getByRole("region", { name: "Why will they not meet?", exact: true });
  const mark = (wire, space) => bench().getByRole("group", { name: `${wire} wire, as you see it` }).getByRole("radio", { name: space, exact: true }).click();
  await mark("Near", "outside");
  await mark("Far", "outside");
  await answer.getByText("both wires outside plaque", { exact: true }).waitFor();
  await bench().getByRole("button", { name: "Use this vessel", exact: true }).waitFor();
  await bench().getByLabel("Smallest, mm").fill("3.6");
  await bench().getByLabel("Largest, mm").fill("3.1");
  await bench().getByRole("button", { name: "Use this vessel", exact: true }).click();
  await page.getByText("Type the smallest and the largest diameter of the vessel", { exact: false }).waitFor();
  await bench().getByLabel("Smallest, mm").fill("3.1");
  await bench().getByLabel("Largest, mm").fill("3.6");
  await bench().getByRole("button", { name: "Use this vessel", exact: true }).click();
  await becomes(async () => (await answer.textContent()).includes("up to 2.50 mm"), true, "the rule's first size for both outside");
  await bench().getByRole("button", { name: "As measured", exact: true }).click();
  await mark("Near", "as measured");
  await mark("Far", "as measured");
  await answer.getByText("near wire in plaque, far wire outside", { exact: true }).waitFor();
});

test("a measured diameter is accepted with its frame, its scale and its outline", async () => {
  const before = await fact("media_min_ivus_mm");
  assert.equal(before?.value ?? null, null);
  await bench().getByRole("button", { name: "Accept: Vessel, smallest diameter", exact: true }).click();
  await becomes(async () => ((await fact("media_min_ivus_mm"))?.mark ?? ""), "measured");
  const stored = await fact("media_min_ivus_mm");
  assert.ok(stored.value.value > 2 && stored.value.value < 5, JSON.stringify(stored.value));
  assert.ok(stored.value.sd > 0.05, "the catheter's own size error is in it");
  assert.equal(stored.origin.frame, Number(await along().getAttribute("aria-valuenow")) - 1);
  assert.match(stored.origin.method, /ultrasound pullback, .* along it, pixel 0\.0300 mm \(the file's ultrasound region\)/);
  assert.equal(stored.origin.points.length, 64);
});

test("a distance by hand is the pixels times their size", async () => {
  await tool("Distance").click();
  const box = await page.locator("#picture").boundingBox();
  const mid = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.click(mid[0] - 60, mid[1]);
  await page.mouse.click(mid[0] + 60, mid[1]);
  const found = bench().getByLabel("Measured by hand");
  await found.waitFor();
  // 300 rows fill the pane's height: 120 screen pixels are 120 x 300 / height picture pixels of 0.03 mm.
  const expected = (120 * 300 * 0.03) / Math.min(box.height, box.width);
  assert.ok(Math.abs(Number.parseFloat(await found.textContent()) - expected) < 0.06, `${await found.textContent()} for ${expected}`);
  await tool("Hand").click();
});

test("a border is dragged, neighbours follow, and the engine reads again", async () => {
  await tool("Vessel").click();
  const handle = page.locator("#picture .handle").first();
  await handle.waitFor();
  const frame = Number(await along().getAttribute("aria-valuenow"));
  const box = await handle.boundingBox();
  const from = [box.x + box.width / 2, box.y + box.height / 2];
  const asked = page.waitForRequest((request) => request.url().endsWith("/api/pullback") && request.method() === "POST");
  await page.mouse.move(...from);
  await page.mouse.down();
  await page.mouse.move(from[0] + 14, from[1], { steps: 4 }); // outwards: the first handle lies to the right
  await page.mouse.up();
  const sent = JSON.parse((await asked).postData());
  assert.equal(sent.corrections.length, 1);
  assert.equal(sent.corrections[0].border, "media");
  assert.equal(sent.corrections[0].frame, frame - 1);
  await settled();
  await bench().getByRole("button", { name: "Clear 1 mark" }).waitFor();
  // By keyboard, the same.
  await page.locator("#picture .handle").nth(3).focus();
  await page.keyboard.press("ArrowUp");
  await bench().getByRole("button", { name: "Clear 2 marks" }).waitFor();
  await settled();
  await bench().getByText("Points kept beside the run, version 2, by AB", { exact: true }).waitFor();
});

// A reader's aim is 20 s for a bad segment; a hand takes some 3 s for each of four points. What the page and the engine add is timed.
test("a segment of borders is set by four points, and frames beside them have followed, within seconds", async () => {
  await bench().getByRole("button", { name: "Clear 2 marks" }).waitFor();
  const frame = Number(await along().getAttribute("aria-valuenow"));
  const began = Date.now();
  const differ = [];
  for (const index of [1, 5, 2, 6]) {
    const handle = page.locator("#picture .handle").nth(index);
    const box = await handle.boundingBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const replied = page.waitForResponse((reply) => reply.url().endsWith("/api/pullback") && reply.ok());
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 8, y + 8, { steps: 3 });
    await page.mouse.up();
    differ.push(...(await (await replied).json()).sections.map((each) => each.frame));
    await settled();
  }
  const marked = async () => Number((await bench().getByRole("button", { name: /^Clear \d+ marks?$/ }).textContent()).match(/\d+/)[0]);
  assert.ok((await marked()) > 3, "points near an older one move that one; others are new");
  const seconds = (Date.now() - began) / 1000;
  console.log(`four points set and worked in: ${seconds.toFixed(1)} s; ${new Set(differ).size} frames followed`);
  assert.ok(seconds < 20, `${seconds} s`);
  assert.ok(new Set(differ).size > 5, "frames beside it followed");
  assert.ok([...new Set(differ)].every((each) => Math.abs(each - (frame - 1)) <= 14), "and none farther than a point reaches");
  for (let left = (await marked()) - 1; left >= 2; left--) {
    await bench().getByRole("button", { name: "Undo last" }).click();
    await bench().getByRole("button", { name: `Clear ${left} marks` }).waitFor();
    await settled();
  }
});

test("points survive a reload, another screen sees them and takes one back, and this one follows", async () => {
  await page.reload();
  await bench().getByRole("heading", { name: "Into the facts" }).waitFor({ timeout: 30000 });
  await tool("Vessel").click();
  await bench().getByRole("button", { name: "Clear 2 marks" }).waitFor();
  const other = await browser.context.newPage();
  await other.goto(`${kOrigin}/#/case/${id}/appraise`);
  const there = other.getByRole("region", { name: "Pullback, read", exact: true });
  await there.getByRole("heading", { name: "Into the facts" }).waitFor({ timeout: 30000 });
  await other.getByRole("toolbar", { name: "Tools" }).getByRole("button", { name: "Vessel", exact: true }).click();
  await there.getByRole("button", { name: "Clear 2 marks" }).waitFor();
  await there.getByRole("button", { name: "Undo last" }).click();
  await there.getByRole("button", { name: "Clear 1 mark" }).waitFor();
  await bench().getByRole("button", { name: "Clear 1 mark" }).waitFor();
  await other.close();
  await page.bringToFront();
  await settled();
  await bench().getByRole("button", { name: "Clear 1 mark" }).click();
  await bench().getByRole("button", { name: /^Clear/ }).waitFor({ state: "detached" });
  await settled();
  await tool("Hand").click();
});

test("a reading that takes long says how far it is and can be cancelled", async () => {
  let ended = false;
  await page.route("**/api/pullback", async (route) => {
    await new Promise((done) => { const look = setInterval(() => { if (ended) { clearInterval(look); done(); } }, 20); });
    await route.abort().catch(() => undefined);
  });
  await tool("Second wire").click();
  const box = await page.locator("#picture").boundingBox();
  await page.mouse.click(box.x + box.width / 2 + 80, box.y + box.height / 2 + 40);
  await bench().getByRole("progressbar", { name: "Share of the reading that is done" }).waitFor();
  await bench().getByRole("button", { name: "Cancel", exact: true }).click();
  await settled();
  ended = true;
  await page.unroute("**/api/pullback");
  await bench().getByText("Points kept beside the run", { exact: false }).waitFor();
  await page.reload();
  await bench().getByRole("heading", { name: "Into the facts" }).waitFor({ timeout: 30000 });
  browser.faults.splice(0, browser.faults.length, ...browser.faults.filter((fault) => !/ERR_FAILED|net::/.test(fault)));
});

test("lines near the frame that stands are there before the whole pullback is read", async () => {
  let held = null;
  await page.route("**/api/pullback", (route) => { held = route; });
  await page.reload();
  await bench().getByRole("progressbar", { name: "Share of the reading that is done" }).waitFor({ timeout: 30000 });
  await page.locator(".round-layer path.over.media").first().waitFor({ timeout: 20000 });
  await page.getByText("near this frame only; the whole is not read yet", { exact: true }).waitFor();
  assert.equal(await bench().getByRole("heading", { name: "Into the facts" }).count(), 0, "nothing of it can be accepted");
  await along().focus();
  await page.keyboard.press("End");
  await becomes(async () => (await page.locator(".round-layer path.over.media").count()) >= 1, true, "the lines follow to the other end", 20000);
  await held.continue();
  await page.unroute("**/api/pullback");
  await bench().getByRole("heading", { name: "Into the facts" }).waitFor({ timeout: 30000 });
  await page.getByText("near this frame only", { exact: false }).waitFor({ state: "detached" });
});

test("it reads well on both screens, in both themes, and breaks no rule of access", async () => {
  for (const [width, height] of [[1920, 1080], [1024, 768]]) {
    await page.setViewportSize({ width, height });
    for (const theme of ["dark", "light"]) {
      await themed(theme);
      await page.screenshot({ path: pictureFile(`pullback-${width}${theme === "dark" ? "" : "-light"}.png`) });
      await page.evaluate(kAxe);
      const found = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"] }));
      assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes[0]?.html.slice(0, 160)}`), [], `${width} ${theme}`);
      const small = await page.evaluate(() => [...document.querySelectorAll(".reading button, .pullback-bench button, .pullback-bench label > input")].filter((each) => {
        const box = each.getBoundingClientRect();
        return box.width > 0 && (box.height < 43.5 || box.width < 43.5);
      }).map((each) => each.outerHTML.slice(0, 90)));
      assert.deepEqual(small, [], "targets of 44 px");
    }
  }
  await page.setViewportSize({ width: 1920, height: 1080 });
  await themed("dark");
});

test("without the size of a pixel nothing is measured until it is typed", async () => {
  const folder = await mkdtemp(join(tmpdir(), "fairlead-ivus-"));
  await promisify(execFile)(process.env.FAIRLEAD_PROGRAM, ["phantom", "ivus", "--scene", "open", "--frames", "20", "--uncalibrated", "-o", folder]);
  const bytes = (await readFile(join(folder, "pullback.dcm"))).toString("base64");
  await removed(folder);
  const hash = await page.evaluate(async ([to, text]) => {
    const body = Uint8Array.from(atob(text), (each) => each.charCodeAt(0));
    const reply = await fetch(`/api/images?case=${to}`, { method: "POST", headers: { "content-type": "application/octet-stream" }, body });
    return (await reply.json()).hash;
  }, [id, bytes]);
  const runs = page.getByRole("region", { name: "Runs" }).getByRole("button", { name: /frames/ });
  await becomes(() => runs.count(), 2, "the new run stands in the strip", 10000);
  await runs.nth(1).click();
  await bench().getByText("Nothing is measured until it is typed", { exact: false }).waitFor();
  assert.equal(await page.locator(".round-layer path.over.media").count(), 0);
  await bench().getByLabel("Size of a pixel, mm").fill("0.025");
  await bench().getByRole("button", { name: "Use this scale" }).click();
  await bench().getByRole("heading", { name: "Into the facts" }).waitFor({ timeout: 20000 });
  const stored = (await get(`/api/cases/${id}`)).images.find((each) => each.hash === hash).calibration;
  assert.equal(stored.mm_per_px, 0.025);
  assert.match(stored.method, /typed/);
});

test("a stent is found and drawn, its share of the lumen beside it is told, and a point pulls it", async () => {
  const folder = await mkdtemp(join(tmpdir(), "fairlead-ivus-"));
  await promisify(execFile)(process.env.FAIRLEAD_PROGRAM, ["phantom", "ivus", "--scene", "open", "--stent", "--frames", "60", "--grade", "clean", "-o", folder]);
  const bytes = (await readFile(join(folder, "pullback.dcm"))).toString("base64");
  await removed(folder);
  await page.evaluate(async ([to, text]) => {
    const body = Uint8Array.from(atob(text), (each) => each.charCodeAt(0));
    await fetch(`/api/images?case=${to}`, { method: "POST", headers: { "content-type": "application/octet-stream" }, body });
  }, [id, bytes]);
  const runs = page.getByRole("region", { name: "Runs" }).getByRole("button", { name: /frames/ });
  await becomes(() => runs.count(), 3, "the new run stands in the strip", 10000);
  await runs.nth(2).click();
  const stent = bench().getByRole("region", { name: "Stent", exact: true });
  await stent.getByText("of the mean lumen of both references", { exact: true }).waitFor({ timeout: 30000 });
  await stent.getByRole("button", { name: /^Smallest stent area: go to frame/ }).click();
  await becomes(() => page.locator(".round-layer path.over.stent").count(), 1, "its contour is drawn", 5000);
  await page.screenshot({ path: `${kPictures}pullback-stent.png` });
  await tool("Stent").click();
  await page.locator("#picture .handle").first().focus();
  await page.keyboard.press("Shift+ArrowUp");
  await stent.getByText("With your points.", { exact: false }).waitFor();
  await bench().getByRole("button", { name: "Clear 1 mark" }).click();
  await stent.getByText("Struts were found by the engine", { exact: false }).waitFor();
  await tool("Hand").click();
});

test("the pullback is laid along a traced vessel: a click in one shows the place in the other", async () => {
  const folder = await mkdtemp(join(tmpdir(), "fairlead-xa-"));
  await promisify(execFile)(process.env.FAIRLEAD_PROGRAM, ["phantom", "xa", "-o", folder]);
  const bytes = (await readFile(join(folder, "run-1.dcm"))).toString("base64");
  await removed(folder);
  // A trace is a fact that a reader accepted on the angiogram: here it is written as that screen writes it.
  await page.evaluate(async ([to, text]) => {
    const body = Uint8Array.from(atob(text), (each) => each.charCodeAt(0));
    const { hash } = await (await fetch(`/api/images?case=${to}`, { method: "POST", headers: { "content-type": "application/octet-stream" }, body })).json();
    const points = [{ x: 180, y: 180 }, { x: 320, y: 330 }];
    const now = new Date().toISOString();
    const entry = { v: 1, id: "01JZZZZZZZZZZZZZZZZZZZZZZZ", at: now, written: now, by: "AB", device: "page", kind: "fact",
      data: { fact: "length_angio_mm", value: { value: 30, sd: 3 }, mark: "measured", origin: { image: hash, frame: 20, method: "trace 2", points } } };
    const reply = await fetch(`/api/cases/${to}/entries`, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ entries: [entry] }) });
    if (!reply.ok) throw new Error(await reply.text());
  }, [id, bytes]);
  const part = bench().getByRole("region", { name: "On the angiogram" });
  await part.getByLabel("Traced vessel").selectOption({ index: 1 });
  const strip = part.getByRole("slider", { name: "Along the traced vessel", exact: true });
  await strip.waitFor({ timeout: 20000 });
  const total = Number(await strip.getAttribute("aria-valuemax"));
  assert.ok(total > 10, `${total} mm`);
  // First the branch on the angiogram, then the frame in which it opens, then both are said to be one place.
  const name = async (key, share, words) => {
    const box = await strip.boundingBox();
    await strip.click({ position: { x: box.width * share, y: 20 } });
    await along().focus();
    await page.keyboard.press(key);
    await part.getByLabel("What shows in both").fill(words);
    const frame = key === "Home" ? 1 : Number(await along().getAttribute("aria-valuemax"));
    await part.getByRole("button", { name: new RegExp(`^Frame ${frame} lies at`) }).click();
  };
  await name("Home", 0.8, "first diagonal");
  await part.getByText("One place is named", { exact: false }).waitFor();
  await name("End", 0.2, "first septal");
  await part.getByText("One place is named", { exact: false }).waitFor({ state: "detached" });
  await part.getByRole("button", { name: /^Take back first septal/ }).click();
  await part.getByText("One place is named", { exact: false }).waitFor();
  const marks = async () => (await get(`/api/pullback/${(await get(`/api/cases/${id}`)).images[2].hash}/marks`)).marks;
  await becomes(async () => (await marks()).pairs.length, 1, "the pair is kept", 5000);
  await along().focus();
  await page.keyboard.press("Home");
  await part.getByText(/This frame lies/).waitFor();
  const told = async () => Number.parseFloat((await part.getByText(/This frame lies/).textContent()).match(/lies ([\d.]+)/)[1]);
  await becomes(async () => Math.abs((await told()) - 0.8 * total) < 1.5, true, "the first frame lies at the branch", 5000);
  // A click 1 mm nearer to the origin goes to a later frame: the catheter is drawn back.
  await strip.focus();
  await page.keyboard.press("ArrowLeft");
  await becomes(async () => Number(await along().getAttribute("aria-valuenow")) > 5, true, "the frame that lies there is shown", 5000);
  await page.screenshot({ path: `${kPictures}pullback-vessel.png` });
});

test("nothing went wrong on the way", () => assert.deepEqual(browser.faults, []));
