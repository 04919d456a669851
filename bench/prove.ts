/**
 * How long the proof takes for programs of about 10,000 blocks: a plate of many openings, and one long outline. Run:
 * npm run bench -- prove
 */
import { runBundled } from "./run.bundled.js";

for (const kind of ["plate", "gear"])
  for (const compensation of ["path", "control"])
    runBundled("prove.measure.ts", kind, compensation);
