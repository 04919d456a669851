/** A layout planned, written, read back and proved, for planner tests that want to know whether a plan is sound. */
import { expect } from "vitest";
import type { Layout } from "../../src/plan/feature.js";
import type { JobFile } from "../../src/plan/job/file.js";
import { settleJob } from "../../src/plan/job/job.js";
import { makePlan } from "../../src/plan/make-plan.js";
import type { Plan } from "../../src/plan/plan.js";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";
import { writeProgram } from "../../src/program/write.js";
import type { Proof } from "../../src/proof/proof.js";
import { prove } from "../../src/proof/prove.js";

/** Fails the test where the plan has an error or its program does not prove. */
export function proved(
  layout: Layout,
  file: JobFile,
): { readonly plan: Plan; readonly proof: Proof } {
  const plan = makePlan(layout, settleJob(file), "x");
  expect(plan.findings.filter((f) => f.severity === "error")).toEqual([]);
  const program = writeProgram(plan, NEUTRAL);
  const proof = prove(readProgram(program, NEUTRAL), layout, plan.job);
  expect(proof.findings.filter((f) => f.severity === "error")).toEqual([]);
  expect(proof.ok).toBe(true);
  return { plan, proof };
}
