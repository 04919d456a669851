import { describe, expect, it } from "vitest";
import { type Contour, circleContour } from "../../../src/geometry/contour.js";
import { indexSegments } from "../../../src/geometry/distance.js";
import { distance } from "../../../src/geometry/vec.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import type { Plan } from "../../../src/plan/plan.js";
import { readProcessTable } from "../../../src/process/table.js";
import { setupSheet } from "../../../src/report/setup-sheet.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";

const planOf = (
  contour: Contour,
  file: JobFile,
  holes: { x: number; y: number }[] = [],
): Plan =>
  makePlan(
    {
      ...layoutOf(feature("opening-1", "opening", contour)),
      holes: holes.map((at) => ({ at, diameter: 0.8 })),
    },
    settleJob(file),
    "holes",
  );
const codes = (plan: Plan) => plan.findings.map((f) => f.code);
const holeOf = (plan: Plan) => {
  const hole = plan.features[0]?.startHole;
  if (!hole) throw new Error("no hole");
  return hole;
};
const wallOf = (contour: Contour, plan: Plan): number => {
  const { at, diameter } = holeOf(plan);
  const near = indexSegments(contour.segments).nearest(at);
  return (near?.distance ?? 0) - diameter / 2;
};

describe("the drills there are", () => {
  const wide = rectangle(0, 0, 20, 12);
  const small = rectangle(0, 0, 6, 3);

  it.each([
    [wide, 3],
    [small, 1.5],
  ])("a hole gets the largest that fits (%#)", (contour, size) => {
    const plan = planOf(contour, { startHoles: { drills: [0.8, 3, 1.5, 2] } });
    expect(holeOf(plan).diameter).toBe(size);
  });

  it("are 1 mm and less where the job names none, and the sheet says which", () => {
    const plan = planOf(wide, {});
    expect(holeOf(plan).diameter).toBe(1);
    expect(setupSheet(plan, null)).toContain(
      "the largest that fits of the drills 1 mm, 0.8 mm, 0.6 mm, 0.5 mm, 0.4 mm, 0.3 mm",
    );
  });

  it("come from a shop's own process table", () => {
    const own = readProcessTable('{ "drilling": { "sizes": [2, 1.2] } }');
    const job = settleJob({ process: "ours.json" }, {}, own);
    expect(job.startHoles.drills).toEqual([2, 1.2]);
    expect(() =>
      readProcessTable('{ "drilling": { "sizes": [1, 2] } }'),
    ).toThrow(/drilling.sizes must go down/);
  });

  it("are brought to mm, the largest first, each said once", () => {
    const job = settleJob({
      units: "in",
      startHoles: { drills: [0.02, 0.04, 0.02] },
    });
    expect(job.startHoles.drills).toEqual([1.016, 0.508]);
  });

  it.each([
    [{ diameter: 1, drills: [1] }, /startHoles.drills must be left out/],
    [{ drills: [] }, /startHoles.drills must be a list of drill diameters/],
    [{ drills: [1, 0.2] }, /startHoles.drills\[1\] must be larger than the wi/],
  ])("make no sense as %j", (startHoles, message) => {
    expect(() => settleJob({ startHoles })).toThrow(message);
  });

  it("that are all too small for the wire are used with a warning", () => {
    const plan = planOf(wide, { startHoles: { drills: [0.3] } });
    expect(holeOf(plan).diameter).toBe(0.3);
    expect(codes(plan)).toContain("start-hole/tight");
  });
});

describe("a hole that wanders on its way through", () => {
  // By the built-in table 0.025 mm where it begins and 0.001 mm a mm: 0.225 mm off through 200 mm.
  const file: JobFile = {
    stock: { thickness: 200 },
    startHoles: { diameter: 1, clearance: 0.5, grid: 0.01 },
  };

  it("still keeps its clearance from every edge", () => {
    const contour = rectangle(0, 0, 20, 12);
    const plan = planOf(contour, file);
    expect(wallOf(contour, plan)).toBeGreaterThanOrEqual(0.5 + 0.225 - 1e-9);
    expect(codes(plan)).not.toContain("start-hole/wander");
  });

  it("is told where there is no room for that", () => {
    // In the middle of 2.2 mm a hole of 1 mm has 0.6 mm either side: 0.5 clearance, but no 0.225 more.
    const contour = rectangle(0, 0, 20, 2.2);
    const plan = planOf(contour, file);
    expect(wallOf(contour, plan)).toBeGreaterThanOrEqual(0.5 - 1e-9);
    const told = plan.findings.find((f) => f.code === "start-hole/wander");
    expect(told?.severity).toBe("warning");
    expect(told?.message).toContain("through 200 mm it may by 0.225 mm");
  });

  it("takes a smaller drill rather than lose that room", () => {
    const contour = rectangle(0, 0, 20, 2.3);
    const plan = planOf(contour, {
      ...file,
      startHoles: { drills: [1, 0.8], clearance: 0.5, grid: 0.01 },
    });
    expect(holeOf(plan).diameter).toBe(0.8);
    expect(codes(plan)).not.toContain("start-hole/wander");
  });

  it("is wider for threading the deeper it is: 0.41 mm through 25 mm, 0.76 mm through 200 mm", () => {
    // wire 0.25 + 2 · gap 0.03 + 2 · (0.025 + 0.001 · depth)
    const drills = [0.76, 0.75, 0.41, 0.4];
    const passes = [{ gap: 0.03, leave: 0 }];
    const narrow = rectangle(0, 0, 20, 2.1);
    const hole = (thickness: number) =>
      holeOf(
        planOf(narrow, {
          passes,
          stock: { thickness },
          startHoles: { drills: thickness > 100 ? drills : drills.slice(2) },
        }),
      ).diameter;
    expect(hole(25)).toBe(0.41);
    expect(hole(200)).toBe(0.76);
  });
});

describe("a hole much wider than the kerf", () => {
  const wide = rectangle(0, 0, 20, 12);
  /** Metal between the hole's wall and the kerf where the open stretch ends: what the tab really hangs by. */
  const beside = (plan: Plan): number => {
    const { at, diameter } = holeOf(plan);
    const first = plan.steps[0];
    const rough = first?.kind === "cut" ? first.strokes[0] : undefined;
    if (!rough) throw new Error("no stroke");
    // Rough of the built-in table: wire 0.25 and a gap of 0.03 on either side.
    return distance(at, rough.to) - diameter / 2 - 0.31 / 2;
  };

  it("stands so far off that it takes little from the tab", () => {
    for (const size of [1, 2, 3, 4]) {
      const plan = planOf(wide, { passes: 3, startHoles: { diameter: size } });
      expect(codes(plan)).not.toContain("tab/beside-hole");
      // 0.9 of a tab of 1 mm is asked for at a straight edge, and two thirds of that beside a hole.
      expect(beside(plan)).toBeGreaterThan(0.6);
    }
  });

  it("is told where it was put so near by hand that less than half of the tab holds, with what is left", () => {
    const plan = planOf(wide, {
      passes: 3,
      startHoles: { diameter: 4 },
      features: {
        "opening-1": {
          startHole: [10, 2.6],
          lead: { at: [10, 0] },
        },
      },
    });
    const told = plan.findings.find((f) => f.code === "tab/beside-hole");
    expect(told?.message).toContain("start hole");
    expect(beside(plan)).toBeLessThan(0.5);
    expect(told?.message).toContain(`${beside(plan).toFixed(3)} mm hold`);
  });
});

it("a tab that is nothing beside a hole nearly as wide as the opening is refused, and the hole is named for it", () => {
  const plan = planOf(rectangle(0, 0, 20, 20), {
    passes: 3,
    startHoles: { diameter: 19 },
  });
  const told = plan.findings.find((f) => f.code === "tab/weak");
  expect(told?.severity).toBe("error");
  expect(told?.message).toContain("start hole of 19 mm");
});

describe("a hole that is deep for its diameter", () => {
  const deep = (thickness: number) =>
    codes(
      planOf(rectangle(0, 0, 20, 12), {
        stock: { thickness },
        startHoles: { diameter: 0.6 },
      }),
    ).includes("start-hole/deep");

  it("is told beyond 100 diameters, common practice for spark drilling", () => {
    expect(deep(60)).toBe(false);
    expect(deep(61)).toBe(true);
  });

  it("is nobody's worry where it is drawn, for it is there already", () => {
    const plan = planOf(
      rectangle(0, 0, 20, 12),
      { stock: { thickness: 90 }, startHoles: { layer: "HOLES" } },
      [{ x: 8, y: 6 }],
    );
    expect(holeOf(plan)).toMatchObject({ diameter: 0.8, drawn: true });
    expect(codes(plan)).not.toContain("start-hole/deep");
    expect(codes(plan)).not.toContain("start-hole/planned");
  });
});

describe("outlines without a hole among those that are drawn", () => {
  it("get one planned, and it is named with its place", () => {
    const plan = makePlan(
      {
        ...layoutOf(
          feature("opening-1", "opening", rectangle(0, 0, 20, 12)),
          feature("opening-2", "opening", rectangle(30, 0, 20, 12)),
        ),
        holes: [{ at: { x: 8, y: 6 }, diameter: 2 }],
      },
      settleJob({ startHoles: { layer: "HOLES" } }),
      "holes",
    );
    expect(plan.features.map((f) => f.startHole.drawn)).toEqual([true, false]);
    const told = plan.findings.filter((f) => f.code === "start-hole/planned");
    expect(told.map((f) => f.feature)).toEqual(["opening-2"]);
    const { x, y } = plan.features[1]?.startHole.at ?? { x: 0, y: 0 };
    expect(told[0]?.where).toEqual([x, y]);
  });
});

it("a tab in a small bore, whose kerfs come near each other across the bend, is told with what is left of it", () => {
  const plan = planOf(circleContour({ x: 0, y: 0 }, 1), {
    passes: 1,
    startHoles: { diameter: 0.5, clearance: 0.2 },
    tabs: { length: 1.6 },
  });
  const told = plan.findings.find((f) => f.code === "tab/narrow");
  const left = Number(
    /narrowest, only ([\d.]+) mm/.exec(told?.message ?? "")?.[1],
  );
  expect(left).toBeLessThan((plan.features[0]?.tab?.length ?? 0) / 2);
  // No tab is wider than between the kerfs at its two ends, straight across: those lie on the rough's circle.
  const cut = plan.steps[0];
  const rough = cut?.kind === "cut" ? cut.strokes[0]?.path : undefined;
  const [from, to] = [rough?.[0]?.start, rough?.at(-1)?.end];
  if (!from || !to) throw new Error("no stroke");
  expect(left).toBeLessThanOrEqual(distance(from, to) - 0.31 + 0.001);
});
