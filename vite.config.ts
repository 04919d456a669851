/** The page: static files that work from any folder, from a disk as well as from a server, offline. */
import { defineConfig, type Plugin } from "vite";

/**
 * Browsers refuse module scripts and workers that are opened from a disk, so the built page has one plain script. It is a
 * function that knows itself, so that the page can hand it to its workers (web/worker/planner.ts).
 */
const plainScript: Plugin = {
  name: "plain-script",
  apply: "build",
  generateBundle(_, bundle) {
    for (const chunk of Object.values(bundle))
      if (chunk.type === "chunk")
        chunk.code = `(function wholeScript(){"use strict";${chunk.code}\n})();\n`;
  },
  transformIndexHtml: {
    order: "post",
    handler: (html) =>
      html
        .replace('<script type="module" crossorigin', "<script defer")
        .replace(
          '<link rel="stylesheet" crossorigin',
          '<link rel="stylesheet"',
        ),
  },
};

export default defineConfig({
  root: "web",
  base: "./",
  plugins: [plainScript],
  build: {
    outDir: "../dist-web",
    emptyOutDir: true,
    target: "es2022",
    modulePreload: false,
    assetsInlineLimit: 0,
    // One script holds everything.
    chunkSizeWarningLimit: 1000,
  },
});
