/**
 * Reading a drawing of 100,000 entities and 20 MB, beside dxf-parser, and reading small ones over and over. Run:
 * npm run bench -- read-dxf
 */
import { runBundled } from "./run.bundled.js";

runBundled("read-dxf.measure.ts");
