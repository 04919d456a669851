/**
 * Reading a drawing of 100,000 entities and 20 MB, beside dxf-parser, and reading small ones over and over. Measured in
 * a process of its own and bundled as users have it: what runs TypeScript in place names every closure as it is
 * made. Run: npm run bench -- read-dxf
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { buildSync } from "esbuild";

const folder = mkdtempSync(join(tmpdir(), "kerfwright-bench-"));
try {
  const outfile = join(folder, "measure.cjs");
  buildSync({
    entryPoints: [join(import.meta.dirname, "read-dxf.measure.ts")],
    bundle: true,
    platform: "node",
    format: "cjs",
    outfile,
  });
  spawnSync(process.execPath, ["--expose-gc", outfile], { stdio: "inherit" });
} finally {
  rmSync(folder, { recursive: true });
}
