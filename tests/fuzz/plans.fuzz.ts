/** Random outlines and jobs planned, written, read back and proved: no plan without an error may fail its proof. */
import { type Finding, hasErrors, InputError } from "../../src/base/finding.js";
import { settleJob } from "../../src/plan/job/job.js";
import { makePlan } from "../../src/plan/make-plan.js";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";
import { writeProgram } from "../../src/program/write.js";
import { prove } from "../../src/proof/prove.js";
import { random } from "../helpers/shapes.js";
import { type PlanCase, planCase } from "./plan-case.js";
import type { FuzzRun } from "./run.js";

/** `refused`: by the code of what spoke first against it. */
export interface Verdict {
  readonly end: "proved" | "broken" | "refused";
  readonly by:
    | Finding
    | { readonly code: string; readonly message: string }
    | null;
}

export function judgePlan({ layout, file }: PlanCase): Verdict {
  let job: ReturnType<typeof settleJob>;
  try {
    job = settleJob(file);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { end: "refused", by: error };
  }
  const plan = makePlan(layout, job, "x");
  if (hasErrors(plan.findings))
    return { end: "refused", by: firstError(plan.findings) };
  const read = readProgram(writeProgram(plan, NEUTRAL), NEUTRAL);
  const { ok, findings } = prove(read, layout, plan.job);
  return ok
    ? { end: "proved", by: null }
    : { end: "broken", by: firstError(findings) };
}

const firstError = (findings: readonly Finding[]): Finding | null =>
  findings.find((f) => f.severity === "error") ?? null;

/** Seconds of the processor from which a case is told as slow. */
const SLOW = 3;

/** A number may be run again with `--seed NUMBER --count 1`. */
export function fuzz(run: FuzzRun): readonly string[] {
  return fuzzCases(run, planCase);
}

export function fuzzCases(
  { seed: first, count }: FuzzRun,
  caseOf: (rnd: () => number) => PlanCase,
): readonly string[] {
  const failures: string[] = [];
  // Told at once, and again at the end: a long run may be stopped before.
  const failed = (text: string): void => {
    console.log(text);
    failures.push(text);
  };
  const ends: Record<string, number> = {};
  for (let seed = first; seed < first + count; seed++) {
    const one = caseOf(random(seed));
    const said = `seed ${seed} (${one.how})`;
    const before = process.cpuUsage();
    try {
      const { end, by } = judgePlan(one);
      const key = end === "proved" ? end : `${end} ${by?.code}`;
      ends[key] = (ends[key] ?? 0) + 1;
      if (end === "broken") failed(`${said}: [${by?.code}] ${by?.message}`);
    } catch (error) {
      failed(`${said}: ${(error as Error).stack}`);
    }
    const { user, system } = process.cpuUsage(before);
    const seconds = (user + system) / 1e6;
    if (seconds > SLOW) console.log(`slow: ${said}: ${seconds.toFixed(1)} s`);
  }
  console.log(ends);
  return failures;
}
