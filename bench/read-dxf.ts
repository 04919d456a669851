/**
 * A drawing of 100,000 entities and 20 MB, read, chained and nested, beside dxf-parser's bare parse of the same text.
 * Wanted: at least half its speed, under 600 MB. Run: npm run bench -- read-dxf
 */
import * as dxf from "dxf-parser";
import { readDxf } from "../src/drawing/read-dxf.js";
import { largeDrawing } from "./large-drawing.js";
import { timed } from "./processor-time.js";

const ENTITIES = 100_000;
const RUNS = 5;

// Under NodeNext the default import runs but does not type-check and the named one type-checks but does not run.
const DxfParser = dxf.default as unknown as typeof dxf.DxfParser;

const text = largeDrawing(ENTITIES);
const bytes = new TextEncoder().encode(text);
const megabytes = bytes.length / 1e6;
console.log(`${ENTITIES} entities, ${megabytes.toFixed(1)} MB`);

const seconds = (work: () => void): number => timed(work)[0];

const ours: number[] = [];
for (let run = 0; run < RUNS; run++)
  ours.push(
    seconds(() => {
      const { outlines, open } = readDxf(bytes);
      if (run === 0)
        console.log(`${outlines.length} outlines, ${open.length} open`);
    }),
  );
const peak = process.resourceUsage().maxRSS / 1024;
const theirs: number[] = [];
for (let run = 0; run < RUNS; run++)
  theirs.push(seconds(() => new DxfParser().parseSync(text)));

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] as number;
const [read, parsed] = [median(ours), median(theirs)];
console.log(
  `read, chained and nested: ${read.toFixed(2)} s of processor, ${(megabytes / read).toFixed(1)} MB/s, ${peak.toFixed(0)} MB at most, the writing of the drawing and every run included`,
);
console.log(
  `dxf-parser, parsed only:  ${parsed.toFixed(2)} s of processor, ${(megabytes / parsed).toFixed(1)} MB/s`,
);
console.log(
  `ours has ${((100 * parsed) / read).toFixed(0)} % of its speed (wanted: 50 %)`,
);
