/** The plans' promise over layouts of which each has slits. */
import { planCase } from "./plan-case.js";
import { fuzzCases } from "./plans.fuzz.js";
import type { FuzzRun } from "./run.js";

export function fuzz(run: FuzzRun): readonly string[] {
  return fuzzCases(run, (rnd) => planCase(rnd, 1));
}
