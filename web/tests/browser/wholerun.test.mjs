// SPDX-License-Identifier: Apache-2.0
// A whole invented run of three hours, typed as it would be in the lab: once by keyboard, once by touch on a tablet. Each
// entry is in the journal once, in order, as the engine reads it; how long each took is told.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { openBrowser } from "./browser.mjs";

const kOrigin = process.env.FAIRLEAD_ORIGIN;
// 80 lines: access, guides, kit, strategies, totals, blood, looks, a perforation and its care, stents, close.
const kRun = [
  "timeout plan:1", "access femoral right 8F 45cm", "access radial left 6F", "guide a in 8F 90cm", "guide r in 7F 90cm", "hep 8000", "bp 138/76", "hr 71", "spo2 97",
  "act 344", "inject both", "contrast +22", "view LAO45 CRA25", "start AW", "wire a in polymer 0.8g 190cm", "mc a in 135", "phase body", "wire a in penetrating 12g 190cm",
  "contrast +15", "ak 0.41", "space a w1 extraplaque views", "act 310", "hep 2000", "fluoro 14", "switch ADR outside-plaque", "knuckle a w1", "phase tracking", "contrast +8",
  "bp 132/70", "ak 0.88", "reenter a device failed", "act 355", "switch RW", "wire r in soft 0.4g 190cm", "mc r in 150", "phase channel", "collateral c1 septal entered",
  "collateral c1 wired", "contrast +12", "collateral c1 catheter", "ak 1.45", "act 362", "phase farcap", "wire r in intermediate 3g 190cm", "space r w4 intraplaque ultrasound",
  "ivus a in", "eem a 3.1x3.6 seg:13", "phase joining", "join conventional 2.5", "contrast +10", "fluoro 41", "act 340", "hep 2000", "bp 96/60", "perforation septal",
  "echo none", "call surgeon", "balloon a 2.5x15 12atm 20s", "bp 124/70", "echo trivial 3mm", "snare a three-loop 27 aorta w4 shaft", "externalise 330 w4 snared", "crossed lesion",
  "distal proven ultrasound", "contrast +20", "ak 2.31", "stent 3.0x38 14atm", "stent 3.5x28 14atm", "balloon a 3.5x15 18atm 12s", "ivus a pull", "flow 3", "residual 10",
  "branch preserved d1", "donor ok", "dap 142", "fluoro 63", "act 290", "echo none", "result success", "end",
];
let browser, page;

const journalOf = (id) => page.evaluate(async (id) => (await (await fetch(`/api/cases/${id}`)).json()).journal, id);
const newCase = (title) => page.evaluate(async (title) => {
  const reply = await fetch("/api/cases", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ title, room: "9" }) });
  return (await reply.json()).id;
}, title);
const emptied = () => page.waitForFunction(() => document.getElementById("log-bar")?.value === "", null, { polling: 10 });
// Written, or asked about and then meant: "Enter again".
async function entered(line, press) {
  await page.waitForFunction(() => document.querySelector("#log-says .taken, #log-says .refused") !== null, null, { polling: 10 });
  assert.equal(await page.locator("#log-says .refused").count(), 0, `${line}: ${await page.locator("#log-says").textContent()}`);
  await press();
  const asked = await page.waitForFunction(() => {
    if (document.getElementById("log-bar")?.value === "") return "written";
    return document.getElementById("log-says")?.textContent?.includes("Enter again") ? "asked" : false;
  }, null, { polling: 10 });
  if ((await asked.jsonValue()) === "asked") await press();
  await emptied();
}
const spread = (times) => {
  const sorted = [...times].sort((a, b) => a - b);
  return { median: sorted[Math.floor(sorted.length / 2)], most: sorted.at(-1) };
};
async function ready(id, width, height) {
  await page.setViewportSize({ width, height });
  await page.goto(`${kOrigin}/#/case/${id}/run`);
  await page.getByLabel("Written by").fill("AB");
  await page.getByLabel("Log: what happened").waitFor();
  await page.getByRole("button", { name: "All words" }).waitFor();
}
// The engine prints a line as it reads it: what each pass wrote is compared as printed.
const written = async (id) => (await journalOf(id)).filter((line) => line.kind === "run" || line.kind === "note").map((line) => line.text);

before(async () => {
  browser = await openBrowser({ touch: true });
  page = browser.page;
  page.setDefaultTimeout(12000);
  const [name, value] = process.env.FAIRLEAD_COOKIE.split("=");
  await browser.context.addCookies([{ name, value, url: kOrigin, httpOnly: true, sameSite: "Strict" }]);
  await page.goto(kOrigin);
});
after(() => browser.close());

let byKeys = [];
test("eighty entries by keyboard, each far within three seconds", async () => {
  assert.equal(kRun.length, 80);
  const id = await newCase("invented, by keyboard");
  await ready(id, 1920, 1080);
  const times = [];
  for (const line of kRun) {
    const from = Date.now();
    await page.getByLabel("Log: what happened").focus();
    await page.keyboard.insertText(line);
    await entered(line, () => page.keyboard.press("Enter"));
    times.push(Date.now() - from);
  }
  const { median, most } = spread(times);
  console.log(`by keyboard: page and engine took ${median} ms an entry (median), ${most} ms at most`);
  assert.ok(median < 1000, `${median} ms`); // of the three seconds, the rest is the typing; chosen
  byKeys = await written(id);
  assert.equal(byKeys.length, kRun.length);
});

// A verb has a key of its own, or stands in a group beside its usual lines.
const kBig = { act: "ACT", hep: "Heparin", contrast: "Contrast +", ak: "Air kerma", dap: "DAP", fluoro: "Fluoro", wire: "Wire", mc: "Microcatheter", balloon: "Balloon", bp: "BP" };
const kGroupKeys = { attempts: "Attempt", kit: "Kit", treating: "Treat", "finding out": "Find", looking: "Look", "blood and drugs": "Blood", totals: "Totals", session: "Visit", "trouble and gates": "Harm" };
let groupOf = new Map();
async function openPad(verb, tap) {
  if (kBig[verb] !== undefined) {
    await tap(page.locator(".log-keys").getByRole("button", { name: kBig[verb], exact: true }));
    return page.getByRole("group", { name: `Words of ${verb}`, exact: true });
  }
  await tap(page.locator(".log-keys").getByRole("button", { name: kGroupKeys[groupOf.get(verb)], exact: true }));
  return page.getByRole("group", { name: `Usual lines: ${groupOf.get(verb)}`, exact: true });
}

// An exact number by one touch of its board, of a blood pressure one for each of its two; true if the line was written so.
async function exactly(line, bar, tap) {
  for (const part of [line.split("/")[0], line]) {
    for (const unit of ["", "Gy", "Gycm2", "min", "%", "mg", "mL"]) {
      const cell = page.locator(".exact").getByRole("button", { name: `${part}${unit}`, exact: true });
      if ((await bar.inputValue()).trim() === `${part}${unit}` || (await cell.count()) !== 1) continue;
      await tap(cell);
      await page.waitForFunction((typed) => document.getElementById("log-bar").value === typed, `${part}${unit}`, { polling: 10 });
    }
  }
  const whole = await bar.inputValue();
  if (!whole.startsWith(line) || !/^(Gy|Gycm2|min|%|mg|mL)?$/.test(whole.slice(line.length))) return false;
  await entered(line, () => page.getByRole("button", { name: "Enter", exact: true }).tap());
  return true;
}

// The whole line if it is offered; else a line offered that it begins with; the rest by chips and digits. A name or a free
// text needs the tablet's own letters.
async function touchLine(line) {
  let taps = 0;
  const [verb] = line.split(" ");
  const tap = async (button) => { await button.tap(); taps += 1; };
  let pad = await openPad(verb, tap);
  const bar = page.getByLabel("Log: what happened");
  if (await exactly(line, bar, tap)) return taps + 1;
  // A unit that the line leaves out is the one that is meant: the engine prints both alike.
  const bare = (text) => text.replace(/(\d)(cm|mm|%)(?= |$)/g, "$1");
  const offered = (await pad.getByRole("button").allTextContents()).filter((text) => bare(line) === bare(text) || bare(line).startsWith(`${bare(text)} `)).sort((a, b) => b.length - a.length)[0];
  let rest = line.split(" ").slice(1);
  if (offered !== undefined && (offered.includes(" ") || offered === line)) {
    await tap(pad.getByRole("button", { name: offered, exact: true }));
    rest = line.split(" ").slice(offered.split(" ").length); // the same words, one by one
  } else if (kBig[verb] === undefined) {
    await tap(pad.getByRole("button", { name: `${verb}…`, exact: true }));
    if (await exactly(line, bar, tap)) return taps + 1;
  }
  if (rest.length > 0) pad = page.getByRole("group", { name: /^(Words of|Usual lines)/ });
  for (const word of rest) {
    const chip = pad.getByRole("button", { name: word, exact: true });
    const number = /^[+=]?([\d./x]+)(.*)$/.exec(word);
    if (number !== null && (await pad.getByRole("button", { name: "Next number" }).count()) > 0) {
      for (const digit of number[1]) await tap(pad.getByRole("button", { name: digit, exact: true }));
      if (number[2] === "") await tap(pad.getByRole("button", { name: "Next number" }));
      else await tap(pad.getByRole("button", { name: number[2], exact: true }));
    } else if ((await chip.count()) === 1) {
      await tap(chip);
    } else {
      const now = await bar.inputValue();
      await bar.fill(`${now}${now.endsWith(" ") ? "" : " "}${word}`);
      taps += word.length;
    }
  }
  const whole = await bar.inputValue();
  await entered(`${line} (as ${whole})`, () => page.getByRole("button", { name: "Enter", exact: true }).tap());
  return taps + 1;
}

// Every kind of entry that a log of such a procedure holds, with a usual value; what a console counts by its next totals.
const kKinds = [
  "access femoral right 8F 45cm", "guide a in 7F 90cm", "guide r in 7F 90cm", "hep 5000", "act sent", "act 300", "contrast +15", "ak", "dap", "start AW", "phase body", "wire a in polymer 0.8g 190cm",
  "mc a in 135cm", "space a extraplaque views", "switch ADR outside-plaque", "stopped limit", "wire r in soft 0.4g 190cm", "collateral c1 septal entered", "ivus a in", "eem a 3.0x3.4", "crossed lesion",
  "balloon a 2.5x15 12atm 20s", "distal proven ultrasound", "externalise 330cm snared", "wire a out", "stent 3.0x38 14atm", "bp 120/70", "hr 70", "spo2 96%", "damped a", "pain 3", "st up",
  "perforation distal wire", "cover 3.0x16 14atm", "coil coil distal 1", "drain 100mL", "protamine 25mg", "fluid 250mL", "call surgeon", "echo effusion 5mm", "flow 3", "residual 10%", "donor ok",
  "result success",
];
test("each kind of entry by touch, its usual value in less than four taps", async () => {
  const id = await newCase("invented, kinds");
  await ready(id, 1024, 768);
  const table = await page.evaluate(async () => (await (await fetch("/api/log/grammar")).json()).verbs);
  groupOf = new Map(table.map((row) => [row.verb, row.group]));
  for (const kind of kKinds) {
    let taps = 0;
    const tap = async (button) => { await button.tap(); taps += 1; };
    const pad = await openPad(kind.split(" ")[0], tap);
    const chip = kind.includes(" ") ? pad.getByRole("button", { name: kind, exact: true }) : pad.getByRole("button", { name: new RegExp(`^${kind} [\\d.]+`) }).first();
    await tap(chip);
    await entered(kind, async () => { await page.getByRole("button", { name: "Enter", exact: true }).tap(); taps += 1; });
    assert.ok(taps < 4 || (taps === 4 && kind !== "act 300"), `${kind}: ${taps} taps`); // four only where the engine asked
    if (taps > 3) console.log(`${kind}: ${taps} taps, for the engine asked`);
  }
  assert.equal((await written(id)).length, kKinds.length);
  console.log(`${kKinds.length} kinds of entry, each in three taps where the engine asks nothing`);
});

test("the same eighty by touch on a tablet", async () => {
  const id = await newCase("invented, by touch");
  await ready(id, 1024, 768);
  const [times, taps] = [[], []];
  const table = await page.evaluate(async () => (await (await fetch("/api/log/grammar")).json()).verbs);
  groupOf = new Map(table.map((row) => [row.verb, row.group]));
  for (const line of kRun) {
    const from = Date.now();
    taps.push(await touchLine(line));
    times.push(Date.now() - from);
  }
  const { median, most } = spread(taps);
  const more = kRun.map((line, i) => [line, taps[i]]).filter(([, count]) => count > 3);
  console.log(`more than three taps: ${more.map(([line, count]) => `${line} (${count})`).join("; ")}`);
  assert.ok(more.length <= 30, `${more.length} of 80`);
  console.log(`by touch: ${median} taps an entry (median), ${most} at most, digits and letters counted; ${spread(times).median} ms`);
  const byTouch = await written(id);
  assert.deepEqual(byTouch, byKeys, "the same entries in the same words");
});

// A line that is half typed is refused by the engine, which the browser itself reports; nothing else may have been.
test("the console stayed free of errors", () => assert.deepEqual(browser.faults.filter((fault) => !fault.includes("status of 400")), []));
