// SPDX-License-Identifier: Apache-2.0
// Writes src/wire/facts.gen.ts from the engine's dictionary: `fairlead facts --json | node scripts/make-types.mjs`.
// With --check it compares instead and fails if the kept copy is old. The dictionary is the one table of facts.
import { readFile, writeFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";

const kKept = fileURLToPath(new URL("../src/wire/facts.gen.ts", import.meta.url));

export function typesOf(dictionary) {
  const rows = [...dictionary.facts].sort((a, b) => (a.name < b.name ? -1 : 1));
  const graded = rows.filter((row) => row.grades.length > 0);
  return [
    "// SPDX-License-Identifier: Apache-2.0",
    "// Made by scripts/make-types.mjs from the engine's dictionary of facts; not to be changed by hand.",
    "export const factNames = [",
    ...rows.map((row) => `  ${JSON.stringify(row.name)},`),
    "] as const;",
    "export type FactName = (typeof factNames)[number];",
    "",
    "export const gradesOf = {",
    ...graded.map((row) => `  ${row.name}: [${row.grades.map((grade) => JSON.stringify(grade)).join(", ")}],`),
    "} as const;",
    "",
  ].join("\n");
}

export async function keptTypes() {
  return readFile(kKept, "utf8");
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const pieces = [];
  for await (const piece of process.stdin) pieces.push(piece);
  const made = typesOf(JSON.parse(Buffer.concat(pieces).toString("utf8")));
  if (!process.argv.includes("--check")) await writeFile(kKept, made);
  else if (made !== (await keptTypes())) {
    console.error("src/wire/facts.gen.ts is older than the engine's dictionary: run `fairlead facts --json | npm run types` in web/");
    process.exit(1);
  }
}
