import { describe, expect, it } from "vitest";
import type { Finding } from "../../src/base/finding.js";
import type { JobFile } from "../../src/plan/job/file.js";
import { settleJob } from "../../src/plan/job/job.js";
import { makePlan } from "../../src/plan/make-plan.js";
import { feature, layoutOf, rectangle } from "../helpers/layouts.js";
import { proved } from "../helpers/proved.js";

const punch = layoutOf(feature("part-1", "part", rectangle(0, 0, 30, 20)));
const passes: JobFile["passes"] = [{ gap: 0.03, leave: 0 }];
const errors = (file: JobFile): readonly Finding[] =>
  makePlan(punch, settleJob(file), "x").findings.filter(
    (f) => f.severity === "error",
  );

describe("the machine's travel", () => {
  const box = (right: number): JobFile => ({
    passes,
    machine: {
      travel: [
        [-5, -5],
        [right, 25],
      ],
    },
  });

  it("is no matter where the wire stays in it", () => {
    proved(punch, box(35));
  });

  it("is told where the wire would have to leave it, with the feature, the place and how far", () => {
    // The wire's centre runs 0.125 + 0.03 mm beside the edge at x = 30.
    const [found, ...others] = errors(box(29));
    expect(others).toEqual([]);
    expect(found).toMatchObject({ code: "machine/travel", feature: "part-1" });
    expect(found?.where?.[0]).toBeCloseTo(30.155, 6);
    expect(found?.message).toContain("1.155 mm beyond");
  });
});

describe("the control's registers", () => {
  const control = (registers: Record<string, number>): JobFile => ({
    passes: [
      { gap: 0.03, leave: 0.05 },
      { gap: 0.01, leave: 0 },
    ],
    program: { compensation: "control", registers },
  });

  it("that hold what the passes need are no matter", () => {
    proved(punch, control({ D1: 0.205, D2: 0.135 }));
  });

  it("are told where one holds another offset, or is not said", () => {
    const [wrong, none] = errors(control({ D1: 0.3 }));
    expect(wrong?.code).toBe("control/register");
    expect(wrong?.message).toContain(
      "D1 holds 0.3 mm there: pass 1 needs 0.205 mm",
    );
    expect(none?.message).toContain(
      "D2 is not among them: pass 2 needs 0.135 mm",
    );
  });

  it("do not matter to a program of the wire's own path", () => {
    proved(punch, { passes, program: { registers: { D1: 0.3 } } });
  });
});
