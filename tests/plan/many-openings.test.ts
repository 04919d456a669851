import { expect, it } from "vitest";
import { largeDrawing } from "../../bench/plan.large-drawing.js";
import {
  layOut,
  makePlan,
  NEUTRAL,
  readDxf,
  settleJob,
  writeProgram,
} from "../../src/index.js";

it("the same drawing and job give the same plan and program, byte for byte, for a block of many openings too", () => {
  const drawing = largeDrawing(400);
  const once = () => {
    const job = settleJob({ passes: 3, roles: { layers: { PLATE: "stock" } } });
    const plan = makePlan(layOut(readDxf(drawing, {}), job), job, "block");
    return {
      features: plan.features.length,
      plan: JSON.stringify(plan),
      program: writeProgram(plan, NEUTRAL),
    };
  };
  const first = once();
  expect(first.features).toBeGreaterThan(100);
  const second = once();
  expect(second.plan === first.plan).toBe(true);
  expect(second.program === first.program).toBe(true);
});
