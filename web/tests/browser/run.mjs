// SPDX-License-Identifier: Apache-2.0
// Runs the browser checks: `npm run test:browser -- [--address URL] [--program FILE] [FILE...]`. Without an address it
// starts the demo practice of the program (by default ../build/test/bin/fairlead) in a temporary folder and ends it.
import { spawn } from "node:child_process";
import { existsSync, readdirSync } from "node:fs";
import { mkdtemp } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { ended, removed } from "./leaving.mjs";

const kHere = fileURLToPath(new URL(".", import.meta.url));
const kWeb = join(kHere, "..", "..");
const kLongestMs = 420_000; // of one file
const words = process.argv.slice(2);
const take = (word) => {
  const at = words.indexOf(word);
  return at < 0 ? "" : (words.splice(at, 2)[1] ?? "");
};
const address = take("--address");
const program = resolve(take("--program") || join(kWeb, "..", "build", "test", "bin", "fairlead"));
// Without names: every check of this folder, each on a demo practice of its own.
const files = words.length > 0 ? words : readdirSync(kHere).filter((name) => name.endsWith(".test.mjs")).sort();

// Without the page every check would wait its whole time for it.
if (address === "" && !existsSync(join(kWeb, "dist", "index.html"))) {
  console.log(`not ok - ${join(kWeb, "dist")} holds no page: run scripts/page first, or give --address URL`);
  process.exit(1);
}

async function startDemo() {
  if (!existsSync(program)) throw new Error(`${program} is not there: build the target fairlead first, or give --address URL`);
  const folder = await mkdtemp(join(tmpdir(), "fairlead-demo-"));
  const child = spawn(program, ["demo", "--data", folder, "--web", join(kWeb, "dist"), "--port", "0"], { stdio: ["ignore", "pipe", "inherit"] });
  const printed = await new Promise((found, failed) => {
    let text = "";
    child.stdout.on("data", (bytes) => {
      text += bytes;
      const url = text.match(/http:\/\/\S+start=\S+/);
      if (url) found(url[0]);
    });
    child.on("exit", (code) => failed(new Error(`the demo ended with ${code} before it printed its address`)));
    setTimeout(() => failed(new Error("the demo printed no address within 60 s")), 60000).unref();
  });
  return { printed, end: async () => { await ended(child); await removed(folder); } };
}

// The start token is good for one visit: it is spent here, the checks of one file share its cookie.
async function letIn(printed) {
  if (!printed.includes("start=")) return "";
  const reply = await fetch(printed, { redirect: "manual" });
  return (reply.headers.get("set-cookie") ?? "").split(";")[0] ?? "";
}

// These start what they talk to by themselves: a small stand-in, a program with passwords, one that is killed.
const kServedByThemselves = ["alone.test.mjs", "access.test.mjs", "fewcases.test.mjs", "full.test.mjs", "outbox.test.mjs", "queue.test.mjs"];

async function runFile(file) {
  const starts = address === "" && !kServedByThemselves.includes(file);
  const demo = starts ? await startDemo().catch((error) => { console.log(`not ok - ${file}: ${error.message}`); return null; }) : null;
  if (starts && !demo) return 1;
  const printed = demo?.printed ?? address;
  const env = { ...process.env, FAIRLEAD_PROGRAM: program, FAIRLEAD_ORIGIN: printed === "" ? "" : new URL(printed).origin, FAIRLEAD_COOKIE: await letIn(printed) };
  const child = spawn(process.execPath, ["--test", "--test-concurrency=1", join(kHere, file)], { stdio: "inherit", env });
  const timer = setTimeout(() => { console.log(`not ok - ${file} did not end within ${kLongestMs / 1000} s`); child.kill("SIGKILL"); }, kLongestMs);
  const code = await new Promise((ended) => child.on("exit", (code) => ended(code ?? 1)));
  clearTimeout(timer);
  await demo?.end();
  return code;
}

// A file that fails is run once more on a new practice, and named at the end either way: a check that passes only at the
// second try is a fault to be found, not a reason to throw away what was made.
const failed = [];
const wavering = [];
for (const file of files) {
  if ((await runFile(file)) === 0) continue;
  console.log(`# ${file} failed: once more`);
  ((await runFile(file)) === 0 ? wavering : failed).push(file);
}
if (wavering.length > 0) console.log(`passed at the second try only: ${wavering.join(", ")}`);
if (failed.length > 0) console.log(`failed: ${failed.join(", ")}`);
process.exit(failed.length > 0 ? 1 : 0);
