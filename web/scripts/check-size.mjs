// SPDX-License-Identifier: Apache-2.0
// The page's script stays under 150 kB before compression.
import { readdir, stat } from "node:fs/promises";
import { fileURLToPath } from "node:url";

const kMost = 150_000;
const folder = fileURLToPath(new URL("../dist/assets/", import.meta.url));
let bytes = 0;
for (const name of await readdir(folder)) if (name.endsWith(".js")) bytes += (await stat(folder + name)).size;
console.log(`script: ${(bytes / 1000).toFixed(1)} kB of ${kMost / 1000} kB`);
if (bytes > kMost) process.exit(1);
