/** A handful of each kind of unseen drawing through the built command line; `run.ts` does as many as one likes. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { caseOf } from "./cases.js";
import { FAULTS, judgeFault } from "./faults.js";
import { ensureBuilt, hasCommandLine, planAndJudge } from "./tool.js";

const HANDFUL: readonly (readonly [family: string, seed: number])[] = [
  ["opening-star", 11],
  ["opening-slot", 12],
  ["opening-gear-involute", 14],
  ["opening-keyhole", 15],
  ["part-arc-polygon", 16],
  ["part-gear-radial", 17],
  ["plate", 20],
  ["parts", 21],
  ["far", 23],
  ["spline-inch", 24],
  ["insert", 26],
  ["control", 27],
  ["squashed", 28],
  ["neck-control", 2],
  ["heavy", 3],
  ["tabs-by-hand", 3],
  ["drawn-hole", 2],
  ["cut-away-hole", 1],
];

describe.runIf(hasCommandLine())(
  "an outside judge, with drawings of another library",
  () => {
    let dir = "";
    beforeAll(() => {
      ensureBuilt();
      dir = mkdtempSync(join(tmpdir(), "acceptance-"));
    }, 120_000);
    afterAll(() => rmSync(dir, { recursive: true, force: true }));

    HANDFUL.forEach(([family, seed], i) => {
      it(`${family} ${seed}: clear of the edge, traced on every pass, nothing loose unattended, text in the standard`, () => {
        // A second run, byte for byte the same, is asked of every fourth drawing to save time.
        const v = planAndJudge(
          caseOf(family, seed),
          join(dir, `${family}-${seed}`),
          i % 4 === 0,
        );
        expect(v.complaints).toEqual([]);
        expect(v.gouge).toBeLessThanOrEqual(0.0005);
      }, 60_000);
    });

    for (const fault of FAULTS)
      it(`fault: ${fault.name}: the right exit code, one clear message, nothing half written`, () => {
        const complaints = judgeFault(
          fault,
          join(dir, fault.name.replace(/\W+/g, "-")),
        );
        expect(complaints).toEqual([]);
      }, 60_000);
  },
);
