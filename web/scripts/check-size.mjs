// SPDX-License-Identifier: Apache-2.0
// Before compression: the page's script stays under 150 kB; the 3D view, which is fetched only when it is needed, under
// 750 kB.
import { readdir, stat } from "node:fs/promises";
import { fileURLToPath } from "node:url";

const kMost = { page: 150_000, space: 750_000 };
const folder = fileURLToPath(new URL("../dist/assets/", import.meta.url));
const bytes = { page: 0, space: 0 };
for (const name of await readdir(folder)) if (name.endsWith(".js")) bytes[name.startsWith("space-") ? "space" : "page"] += (await stat(folder + name)).size;
for (const [part, most] of Object.entries(kMost)) console.log(`${part}: ${(bytes[part] / 1000).toFixed(1)} kB of ${most / 1000} kB`);
if (bytes.page > kMost.page || bytes.space > kMost.space) process.exit(1);
