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

// The library that draws in space comes from its sources, so that what is not used stays out and no script passes the
// limit of scripts/check-size.mjs. Its parts depend one way: texts, base, shapes, tools, drawing.
const kThree: readonly (readonly [RegExp, string])[] = [
  [/three\/src\/renderers\/shaders\/Shader(Chunk|Lib)\/[a-l]/, "three-texts-1"],
  [/three\/src\/renderers\/shaders\/Shader(Chunk|Lib)\//, "three-texts-2"],
  [/three\/src\/(math|core|constants|utils|textures|extras\/(core|curves|\w*Utils)|renderers\/shaders|renderers\/WebGLRenderTarget)/, "three-base"],
  [/three\/src\/(geometries|materials|objects|lights|scenes|cameras)/, "three-shapes"],
  [/three\/src\/(extras|renderers\/webgl\/|renderers\/WebGLCube)/, "three-tools"],
  [/three\/src\//, "three-drawing"],
];
const chunkOf = (id: string): string | undefined => kThree.find(([path]) => path.test(id))?.[1];

export default defineConfig({
  base: "/",
  resolve: { alias: [{ find: /^three$/, replacement: "three/src/Three.js" }] },
  plugins: [licences],
  build: {
    outDir: "dist",
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0, // the engine's content policy allows no data: scripts or fonts
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    rollupOptions: { output: { manualChunks: chunkOf } },
  },
  server: { proxy: { "/api": "http://127.0.0.1:8421" } },
  test: { include: ["tests/unit/**/*.test.ts"], environment: "node" },
});
