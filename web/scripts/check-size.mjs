// SPDX-License-Identifier: Apache-2.0
// What the page loads before it shows anything, and each part that it fetches later, stay under 150 kB of script before
// compression.
import { readFile, readdir, stat } from "node:fs/promises";
import { fileURLToPath } from "node:url";

const kMost = 150_000;
const folder = fileURLToPath(new URL("../dist/", import.meta.url));
const html = await readFile(`${folder}index.html`, "utf8");
const first = new Set([...html.matchAll(/assets\/[^"]+\.js/g)].map((found) => found[0]));
let bytes = 0;
let over = false;
for (const name of (await readdir(`${folder}assets`)).filter((each) => each.endsWith(".js")).sort()) {
  const size = (await stat(`${folder}assets/${name}`)).size;
  if (first.has(`assets/${name}`)) { bytes += size; continue; }
  console.log(`later: ${(size / 1000).toFixed(1)} kB ${name}`);
  over ||= size > kMost;
}
console.log(`first: ${(bytes / 1000).toFixed(1)} kB of ${kMost / 1000} kB`);
process.exit(over || bytes === 0 || bytes > kMost ? 1 : 0);
