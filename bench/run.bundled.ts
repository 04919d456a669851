/**
 * Runs a measurement in a process of its own and bundled, as users have the code: what runs TypeScript in place names
 * every closure as it is made.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { buildSync } from "esbuild";

/** `file` stands beside this one. */
export function runBundled(file: string, ...args: string[]): void {
  const folder = mkdtempSync(join(tmpdir(), "kerfwright-bench-"));
  try {
    const outfile = join(folder, "measure.cjs");
    buildSync({
      entryPoints: [join(import.meta.dirname, file)],
      bundle: true,
      platform: "node",
      format: "cjs",
      outfile,
    });
    spawnSync(process.execPath, ["--expose-gc", outfile, ...args], {
      stdio: "inherit",
    });
  } finally {
    rmSync(folder, { recursive: true });
  }
}
