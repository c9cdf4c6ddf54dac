// SPDX-License-Identifier: Apache-2.0
// Runs the browser checks: `npm run test:browser -- [--address URL] [--program FILE] [FILE...]`. Without an address it
// starts the demo practice of the program (by default ../build/test/bin/fairlead) in a temporary folder and ends it.
import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const kHere = fileURLToPath(new URL(".", import.meta.url));
const kWeb = join(kHere, "..", "..");
const words = process.argv.slice(2);
const take = (word) => {
  const at = words.indexOf(word);
  return at < 0 ? "" : (words.splice(at, 2)[1] ?? "");
};
let address = take("--address");
const program = resolve(take("--program") || join(kWeb, "..", "build", "test", "bin", "fairlead"));
const chosen = words;
const files = (chosen.length > 0 ? chosen : ["alone.test.mjs", "flow.test.mjs"]).map((file) => join(kHere, file));

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
  return { printed, end: async () => { child.removeAllListeners("exit"); child.kill(); await rm(folder, { recursive: true, force: true }); } };
}

const needsEngine = files.some((file) => file.endsWith("flow.test.mjs"));
const demo = needsEngine && address === "" ? await startDemo() : null;
if (demo) address = demo.printed;
// The start token is good for one visit: it is spent here, the checks share its cookie.
let cookie = "";
if (address.includes("start=")) {
  const reply = await fetch(address, { redirect: "manual" });
  cookie = (reply.headers.get("set-cookie") ?? "").split(";")[0] ?? "";
}
const origin = address === "" ? "" : new URL(address).origin;
const run = spawn(process.execPath, ["--test", "--test-concurrency=1", ...files], { stdio: "inherit", env: { ...process.env, FAIRLEAD_ORIGIN: origin, FAIRLEAD_COOKIE: cookie } });
run.on("exit", async (code) => {
  await demo?.end();
  process.exit(code ?? 1);
});
