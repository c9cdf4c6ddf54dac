// SPDX-License-Identifier: Apache-2.0
import { readFileSync } from "node:fs";
import { defineConfig } from "vitest/config";

// The licences of the libraries that end up in the page go with it.
const kShipped = ["preact", "@preact/signals", "@preact/signals-core", "three"];
const licences = {
  name: "licences",
  generateBundle(this: { emitFile: (file: { type: "asset"; fileName: string; source: string }) => void }) {
    const texts = kShipped.map((name) => `${name}\n\n${readFileSync(`node_modules/${name}/LICENSE`, "utf8")}`);
    this.emitFile({ type: "asset", fileName: "licences.txt", source: texts.join("\n\n") });
  },
};

export default defineConfig({
  base: "/",
  plugins: [licences],
  build: {
    outDir: "dist",
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0, // the engine's content policy allows no data: scripts or fonts
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
  },
  server: { proxy: { "/api": "http://127.0.0.1:8421" } },
  test: { include: ["tests/unit/**/*.test.ts"], environment: "node" },
});
