// SPDX-License-Identifier: Apache-2.0
import { defineConfig } from "vitest/config";

export default defineConfig({
  base: "/",
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
