import { describe, expect, it } from "vitest";
import { line } from "../../src/geometry/segment.js";
import { vec } from "../../src/geometry/vec.js";
import type { Plan } from "../../src/plan/plan.js";
import { estimatePlan, strokeTravels } from "../../src/report/estimate.js";
import { handPlan, WINDOW } from "../helpers/hand-plan.js";

/** One straight cut, `length` mm in all, through `thickness` at `areaRate`. */
function straight(length: number, thickness: number, areaRate: number): Plan {
  const plan = handPlan([WINDOW], { job: { stock: { thickness }, passes: 1 } });
  const [pass] = plan.job.passes;
  const path = [line(vec(2, 0), vec(length - 1, 0))];
  return {
    ...plan,
    job: { ...plan.job, passes: pass ? [{ ...pass, areaRate }] : [] },
    steps: [
      {
        kind: "cut",
        feature: "opening-1",
        attended: false,
        thread: vec(0, 0),
        lead: [vec(0.5, 0)],
        strokes: [
          {
            pass: 1,
            stretch: "open",
            direction: "ccw",
            side: "left",
            from: vec(1, 0),
            path,
            outline: path,
            to: vec(length, 0),
          },
        ],
      },
    ],
  };
}

describe("the estimate", () => {
  it("of 100 mm through 40 mm at 200 mm²/min is 20 min at 5 mm/min", () => {
    const e = estimatePlan(straight(100, 40, 200));
    expect(e.time).toBeCloseTo(20, 12);
    expect(e.passes[0]?.feed).toBeCloseTo(5, 12);
    expect(e.cutLength).toBeCloseTo(0.1, 12);
  });

  it("of an hour at 10 m/min is 600 m of wire: 250.345665 g of 0.25 brass", () => {
    const e = estimatePlan(straight(300, 40, 200));
    expect(e.time).toBeCloseTo(60, 9);
    expect(e.wireLength).toBeCloseTo(600, 9);
    // π/4 · 0.25² · 8.5 g/m · 600 m
    expect(e.wireMass * 1000).toBeCloseTo(250.345665, 5);
  });

  const plan = handPlan([WINDOW]);
  const e = estimatePlan(plan);

  it("counts every way the burning wire makes: lead, ramps and strokes", () => {
    // Window 20 × 10, corners 1 mm, offset inward 0.21, less the tab of 2; lead from the middle to 0.31 off the
    // outline; 0.1 on and off.
    const round = 2 * (19.58 + 9.58) - 8 * 0.79 + 2 * Math.PI * 0.79 - 2;
    expect(strokeTravels(plan)[0]?.length).toBeCloseTo(
      5 - 0.31 + 0.1 + round + 0.1,
      9,
    );
  });

  it("adds up: passes to the whole, attended and unattended to the whole", () => {
    const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);
    expect(sum(e.passes.map((p) => p.time))).toBeCloseTo(e.time, 9);
    expect(sum(e.passes.map((p) => p.length))).toBeCloseTo(e.cutLength, 12);
    expect(e.attended + e.unattended).toBeCloseTo(e.time, 9);
    expect(e.attended).toBeGreaterThan(0);
  });

  it("counts threads and stops: one alone, then stop, tab, stop, skim", () => {
    expect([e.threads, e.stops]).toEqual([3, 2]);
  });

  it("of a plan that cuts nothing is nothing", () => {
    expect(estimatePlan(handPlan([]))).toMatchObject({
      cutLength: 0,
      time: 0,
      wireLength: 0,
      threads: 0,
      stops: 0,
    });
  });

  it("tells of each feature: theirs add up to the whole", () => {
    const sum = (pick: (f: (typeof e.features)[number]) => number) =>
      e.features.reduce((a, f) => a + pick(f), 0);
    expect(e.features.map((f) => f.id)).toEqual(["opening-1"]);
    expect(sum((f) => f.time)).toBeCloseTo(e.time, 9);
    expect(sum((f) => f.length)).toBeCloseTo(e.cutLength, 12);
    expect([sum((f) => f.threads), sum((f) => f.stops)]).toEqual([3, 2]);
  });

  it("takes up the machine for setting up, threads and stops too, and somebody for what is watched", () => {
    // 30 min to set up, 1.5 a thread, 5 a stop (common practice): 30 + 3 · 1.5 + 2 · 5.
    expect(e.machine - e.time).toBeCloseTo(44.5, 9);
    expect(e.labour - e.attended).toBeCloseTo(40, 9);
  });

  it("says how far off it may be: at 1.67 and at 0.67 of the table's area rates", () => {
    expect(e.timeRange[0]).toBeCloseTo(e.time / 1.67, 9);
    expect(e.timeRange[1]).toBeCloseTo(e.time / 0.67, 9);
  });

  it("counts spools: 250.345665 g of a 5 kg spool is a twentieth", () => {
    expect(estimatePlan(straight(300, 40, 200)).spools).toBeCloseTo(
      0.250345665 / 5,
      8,
    );
  });

  it("costs nothing to ask for only when the job gives rates", () => {
    expect(e.cost).toBeNull();
    const priced = straight(300, 40, 200);
    const rates = {
      machineHour: 60,
      labourHour: 30,
      wireKg: 10,
      currency: "crowns",
    };
    const { cost } = estimatePlan({
      ...priced,
      job: { ...priced.job, rates },
    });
    // 60 min of burning + 30 to set up + 1 thread of 1.5; half an hour of somebody; 250.345665 g.
    expect(cost).toMatchObject({
      machine: expect.closeTo(91.5, 9),
      labour: expect.closeTo(15, 9),
      wire: expect.closeTo(2.50345665, 6),
      total: expect.closeTo(91.5 + 15 + 2.50345665, 6),
      currency: "crowns",
    });
    // A slower burn costs machine and wire in proportion, setting up stays.
    expect(cost?.range[1]).toBeCloseTo(
      60 / 0.67 + 31.5 + 15 + 2.50345665 / 0.67,
      5,
    );
    expect(cost?.range[0]).toBeLessThan(cost?.total ?? 0);
  });
});
