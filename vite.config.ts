/** The page: static files that work from any folder, from a disk as well as from a server, offline. */
import { defineConfig, type Plugin } from "vite";

/** Browsers refuse module scripts that are opened from a disk, so the built page has a plain one. */
const plainScript: Plugin = {
  name: "plain-script",
  apply: "build",
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
    // One script holds everything, the worker too.
    chunkSizeWarningLimit: 1000,
  },
  worker: { format: "iife" },
});
