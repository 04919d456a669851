import { describe, expect, it } from "vitest";
import { type Contour, polygonContour } from "../../../src/geometry/contour.js";
import { vec } from "../../../src/geometry/vec.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { passesOf, settleJob } from "../../../src/plan/job/job.js";
import { makePlan, withFittedPasses } from "../../../src/plan/make-plan.js";
import { readProgram } from "../../../src/program/trace.js";
import { NEUTRAL } from "../../../src/program/words.js";
import { writeProgram } from "../../../src/program/write.js";
import { prove } from "../../../src/proof/prove.js";
import { feature, layoutOf } from "../../helpers/layouts.js";

const file: JobFile = {
  passes: [
    { kind: "rough", gap: 0.03, leave: 0.055 },
    { kind: "skim", gap: 0.015, leave: 0.005 },
    { kind: "skim", gap: 0.01, leave: 0 },
  ],
};

/** Two 8 mm squares joined by a neck of `width`, 2 mm long. */
function dumbbell(width: number): Contour {
  const [low, high] = [4 - width / 2, 4 + width / 2];
  return polygonContour([
    vec(0, 0),
    vec(8, 0),
    vec(8, low),
    vec(10, low),
    vec(10, 0),
    vec(18, 0),
    vec(18, 8),
    vec(10, 8),
    vec(10, high),
    vec(8, high),
    vec(8, 8),
    vec(0, 8),
  ]);
}

const planned = (width: number, compensation: "path" | "control") => {
  const layout = layoutOf(feature("opening-1", "opening", dumbbell(width)));
  const job = settleJob({ ...file, program: { compensation } });
  return { layout, job, plan: makePlan(layout, job, "x") };
};

describe("a neck that the finish passes and the rough does not", () => {
  // Rough 2 · 0.21 = 0.42 mm; without stock left 2 · 0.155 = 0.31 mm. A neck of 0.36 mm takes 0.18: 0.025 mm left.
  it("gets a rough that leaves less, and both numbers are told", () => {
    const { plan } = planned(0.36, "path");
    const [rough, ...rest] = passesOf(plan.job, "opening-1");
    expect(rough?.leave).toBeLessThan(0.025);
    expect(rough?.leave).toBeGreaterThanOrEqual(0.0229);
    expect(rest).toEqual(plan.job.passes.slice(1));
    const told = plan.findings.filter((f) => f.code === "pass/leave-lowered");
    expect(told).toHaveLength(1);
    expect(told[0]?.message).toContain("in place of 0.055 mm");
    expect(told[0]?.where?.[0]).toBeGreaterThan(7.8);
    expect(told[0]?.where?.[0]).toBeLessThan(10.2);
  });

  it.each(["path", "control"] as const)(
    "is proved, the program being the %s's",
    (compensation) => {
      const { layout, job, plan } = planned(0.36, compensation);
      const program = writeProgram(plan, NEUTRAL);
      const proof = prove(readProgram(program, NEUTRAL), layout, plan.job);
      expect(proof.findings.filter((f) => f.severity === "error")).toEqual([]);
      expect(proof.ok).toBe(true);
      // A program is checked without its plan too.
      expect(withFittedPasses(layout, job).fitted).toEqual(plan.job.fitted);
    },
  );

  it("stays an error where even the bare rough does not fit", () => {
    const { plan } = planned(0.3, "path");
    expect(
      plan.findings.filter((f) => f.severity === "error").map((f) => f.code),
    ).toEqual(["wire/neck"]);
  });

  it("has a register of its own where the control offsets the wire", () => {
    const program = writeProgram(planned(0.36, "control").plan, NEUTRAL);
    expect(program).toMatch(/D4 = 0\.1[78]\d+ mm for opening-1, pass 1/);
    expect(program).toMatch(/G4[12] G01 .* D4/);
  });
});

describe("an inside corner tighter than the wire", () => {
  it("is told once, with what every pass leaves there", () => {
    const square = polygonContour([
      vec(0, 0),
      vec(20, 0),
      vec(20, 10),
      vec(0, 10),
    ]);
    const plan = makePlan(
      layoutOf(feature("opening-1", "opening", square)),
      settleJob(file),
      "x",
    );
    const told = plan.findings.filter(
      (f) => f.code === "corner/tighter-than-wire",
    );
    expect(told).toHaveLength(1);
    // (√2 − 1) · offset: 0.21 → 0.0870, 0.145 → 0.0601, 0.135 → 0.0559
    expect(told[0]?.message).toContain("0.0559 mm at");
    expect(told[0]?.message).toContain(
      "0.087 mm by pass 1, 0.0601 mm by pass 2",
    );
  });
});
