/** The planner's promise: what it finds no error in, a stranger's replay proves. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { hasErrors } from "../../src/base/finding.js";
import {
  type Contour,
  circleContour,
  polygonContour,
} from "../../src/geometry/contour.js";
import { distance } from "../../src/geometry/vec.js";
import type { JobFile } from "../../src/plan/job/file.js";
import { settleJob } from "../../src/plan/job/job.js";
import { makePlan } from "../../src/plan/make-plan.js";
import { entriesOf, type StartHole } from "../../src/plan/plan.js";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";
import { writeProgram } from "../../src/program/write.js";
import { prove } from "../../src/proof/prove.js";
import { feature, layoutOf } from "../helpers/layouts.js";
import { proved } from "../helpers/proved.js";
import {
  bulged,
  gear,
  random,
  randomContour,
  rounded,
  star,
} from "../helpers/shapes.js";

const length = fc.integer({ min: 20, max: 150 }).map((n) => n / 100);

const outlines: fc.Arbitrary<Contour> = fc.oneof(
  fc
    .tuple(fc.integer({ min: 8, max: 16 }), fc.integer({ min: 20, max: 50 }))
    .map(([teeth, share]) => gear(teeth, 6, 5, share / 100)),
  fc
    .tuple(fc.integer({ min: 5, max: 10 }), length)
    .map(([tips, radius]) => rounded(star(tips, 7, 4), radius / 2)),
  fc
    .integer({ min: 5, max: 10 })
    .map((tips) => polygonContour(star(tips, 7, 4))),
  fc
    .integer()
    .map((seed) => randomContour(random(seed)))
    .filter((c): c is Contour => c !== null && c.segments.length < 60),
);

const jobs: fc.Arbitrary<JobFile> = fc
  .record({
    tabs: fc.record({ length: fc.oneof(length, fc.constant("auto" as const)) }),
    passes: fc.integer({ min: 1, max: 3 }),
    wire: fc.record({ diameter: fc.constantFrom(0.1, 0.15, 0.2, 0.25) }),
    stock: fc.record({ thickness: fc.integer({ min: 4, max: 40 }) }),
    stressRelief: fc.boolean(),
    lead: fc.record({ overlap: fc.constantFrom(0, 0.5, 1) }),
  })
  // Only with skims is there something to bring to size after the rest.
  .map((file) => ({
    ...file,
    stressRelief: file.stressRelief && file.passes > 1,
  }));

/** The proof's errors; null where the planner refuses, with a reason. */
function errorsOf(
  outline: Contour,
  role: "part" | "opening",
  file: JobFile,
): string[] | null {
  const layout = layoutOf(feature(`${role}-1`, role, outline));
  const plan = makePlan(layout, settleJob(file), "x");
  if (hasErrors(plan.findings)) return null;
  const program = readProgram(writeProgram(plan, NEUTRAL), NEUTRAL);
  const proof = prove(program, layout, plan.job);
  expect(proof.ok).toBe(!hasErrors(proof.findings));
  return proof.findings
    .filter((f) => f.severity === "error")
    .map((f) => f.message);
}

it("a plan without an error is proved, whatever the outline and the job", () => {
  fc.assert(
    fc.property(
      outlines,
      fc.constantFrom("part" as const, "opening" as const),
      jobs,
      (outline, role, file) => {
        expect(errorsOf(outline, role, file) ?? []).toEqual([]);
      },
    ),
    // The law is asked of the same few shapes each time; a wider search is a matter of minutes.
    { numRuns: 16, seed: 5 },
  );
}, 60_000);

describe("on the grid of an older control", () => {
  // Turned, so that no edge lies on a grid: the nearest places would cut in by up to 0.7 steps.
  const turned = (points: readonly { x: number; y: number }[]) =>
    points.map(({ x, y }) => ({
      x: x * Math.cos(0.3) - y * Math.sin(0.3),
      y: x * Math.sin(0.3) + y * Math.cos(0.3),
    }));
  const shapes: Record<string, Contour> = {
    "a bore": circleContour({ x: 0.0123, y: 0.0071 }, 4.0317),
    "a window with rounded corners": rounded(
      turned([
        { x: -4, y: -3 },
        { x: 4, y: -3 },
        { x: 4, y: 3 },
        { x: -4, y: 3 },
      ]),
      0.7,
    ),
    "a star": polygonContour(turned(star(6, 7, 4))),
    "a gear": gear(12, 6, 5, 0.3),
  };
  const grids: [string, JobFile][] = [
    ["0.001 mm", { program: { resolution: 0.001 } }],
    ["0.002 mm", { program: { resolution: 0.002 } }],
    ["0.0001 in", { units: "in", program: { resolution: 0.0001 } }],
  ];
  it.each(
    Object.keys(shapes).flatMap((shape) =>
      grids.flatMap(([grid, file]) =>
        (["opening", "part"] as const).map(
          (role) => [shape, role, grid, file] as const,
        ),
      ),
    ),
  )("%s as %s in steps of %s is proved", (shape, role, _, file) => {
    const contour = shapes[shape] as Contour;
    expect(errorsOf(contour, role, { ...file, passes: 3 })).toEqual([]);
  });
});

it("a control that offsets the wire by itself on too coarse a grid is refused, with the setting that would do", () => {
  // A root's arc of some 0.2 mm beside the offset of 0.127 mm: on 0.002 mm its end comes out as a chord too short.
  const part = feature("part-1", "part", gear(16, 6, 5, 0.2));
  const planOf = (resolution: number) =>
    makePlan(
      layoutOf(part),
      settleJob({
        wire: { diameter: 0.2 },
        passes: 1,
        program: { compensation: "control", resolution },
      }),
      "x",
    );
  const [finding] = planOf(0.002).findings.filter(
    (f) => f.severity === "error",
  );
  expect(finding?.code).toBe("control/coarse-grid");
  expect(finding?.message).toContain("set a finer program.resolution");
  const fine = planOf(0.0001);
  expect(hasErrors(fine.findings)).toBe(false);
  const program = readProgram(writeProgram(fine, NEUTRAL), NEUTRAL);
  expect(prove(program, layoutOf(part), fine.job).ok).toBe(true);
});

describe("no piece of a slug falls", () => {
  const outlineOf: Record<string, Contour> = {
    // Limbs 0.96 mm wide: between the kerfs of the rough 0.075 mm of slug are left, less than the wire stands off a wall.
    "a cross of thin limbs": rounded(
      [
        [0.48, -4],
        [0.48, -0.48],
        [4, -0.48],
        [4, 0.48],
        [0.48, 0.48],
        [0.48, 4],
        [-0.48, 4],
        [-0.48, 0.48],
        [-4, 0.48],
        [-4, -0.48],
        [-0.48, -0.48],
        [-0.48, -4],
      ].map(([x = 0, y = 0]) => ({ x, y })),
      0.3,
    ),
    // Two places of a small bore, and a straight way between them: a chord.
    "a bore that a thin wire skims from another place each time": circleContour(
      { x: 0, y: 0 },
      2.5,
    ),
  };
  it.each<[string, JobFile]>([
    [
      "a cross of thin limbs",
      {
        wire: { diameter: 0.3 },
        passes: [
          { gap: 0.033, leave: 0.0765 },
          { gap: 0.0065, leave: 0 },
        ],
      },
    ],
    [
      "a bore that a thin wire skims from another place each time",
      {
        wire: { diameter: 0.05 },
        passes: 2,
        lead: { spread: 0.8, overlap: 2 },
      },
    ],
  ])("of %s", (name, file) => {
    const outline = outlineOf[name] as Contour;
    expect(errorsOf(outline, "opening", file) ?? []).toEqual([]);
  });
});

it("a part with a pocket whose mouth the kerf closes is refused, for the waste in the pocket would fall", () => {
  // 12 × 10 mm; a pocket of 6 × 5 mm behind a mouth 0.35 mm wide and 2 mm long: the kerf, 0.31 mm, enters it.
  const pocketed = bulged([
    [0, 0, 0],
    [12, 0, 0],
    [12, 10, 0],
    [6.2, 10, 0],
    [6.2, 8, 0],
    [9, 8, 0],
    [9, 3, 0],
    [3, 3, 0],
    [3, 8, 0],
    [5.8, 8, 0],
    [5.8, 10, 0],
    [0, 10, 0],
  ]);
  expect(errorsOf(pocketed, "part", { passes: 1 })).toBeNull();
  const layout = layoutOf(feature("part-1", "part", pocketed));
  const { findings } = makePlan(layout, settleJob({ passes: 1 }), "x");
  expect(findings.find((f) => f.severity === "error")).toMatchObject({
    code: "part/pocket",
    // The middle of the pocket.
    where: [6, expect.closeTo(5.5, 1)],
  });
});

it("stock that a skim does not take whole in a sharp corner is refused, for the chip would fall", () => {
  // A tip of 20°, half of it 10°. The rough's path runs 0.19 mm off the walls, its kerf reaches 0.05 mm to either side; the
  // skim, at 0.1, takes what lies up to 0.15 off. In between stands 0.04 / sin 10° − 0.05 = 0.18 mm along the middle.
  const tip = (20 * Math.PI) / 180;
  const wedge = polygonContour([
    { x: 0, y: 0 },
    { x: 16, y: 0 },
    { x: 16, y: 16 * Math.tan(tip) },
  ]);
  const file = (leave: number): JobFile => ({
    wire: { diameter: 0.08 },
    passes: [
      { gap: 0.01, leave },
      { gap: 0.01, leave: 0.05 },
      { gap: 0.01, leave: 0 },
    ],
  });
  const layout = layoutOf(feature("opening-1", "opening", wedge));
  const [found] = makePlan(layout, settleJob(file(0.14)), "x").findings.filter(
    (f) => f.severity === "error",
  );
  expect(found?.code).toBe("pass/corner-chip");
  // As much as the skim's kerf takes to its middle: 0.05 + 0.05.
  expect(found?.message).toContain("leave at most 0.1 mm of stock in pass 1");
  expect(errorsOf(wedge, "opening", file(0.1))).toEqual([]);
});

const refusals = (
  outline: Contour,
  role: "part" | "opening",
  file: JobFile,
): string[] => {
  const layout = layoutOf(feature(`${role}-1`, role, outline));
  return makePlan(layout, settleJob(file), "x")
    .findings.filter((f) => f.severity === "error")
    .map((f) => f.code);
};

describe("several tabs of one piece", () => {
  it("that face each other have a hole each: two leads from one hole would cut the slug in two", () => {
    // A dovetail's floor and the land across from it: the shortest leads to both begin between them.
    const dovetail = polygonContour(
      [
        [-10.5, -5],
        [10.5, -5],
        [10.5, 0],
        [1, 0],
        [1.8, -2],
        [-1.8, -2],
        [-1, 0],
        [-10.5, 0],
      ].map(([x = 0, y = 0]) => ({ x, y })),
    );
    const layout = layoutOf(feature("opening-1", "opening", dovetail));
    const { plan } = proved(layout, {
      wire: { diameter: 0.15 },
      tabs: { length: 0.12 },
      features: { "opening-1": { tab: [{ at: [0, -5] }, { at: [0, -2] }] } },
    });
    const [a, b] = plan.features
      .flatMap(entriesOf)
      .map(({ startHole }) => startHole) as [StartHole, StartHole];
    expect(distance(a.at, b.at)).toBeGreaterThan((a.diameter + b.diameter) / 2);
  });

  it("have no holes that run into each other: where so wide ones have no room, that is said", () => {
    const five = [20, 92, 164, 236, 308].map((degrees) => {
      const a = (degrees * Math.PI) / 180;
      return { at: [3.2 * Math.cos(a), 3.2 * Math.sin(a)] as [number, number] };
    });
    const outline = polygonContour(star(5, 5.36, 2.6));
    const file = (diameter: number): JobFile => ({
      passes: 2,
      startHoles: { diameter, clearance: 0.1 },
      features: { "opening-1": { tab: five } },
    });
    expect(refusals(outline, "opening", file(2))).toEqual([
      "start-hole/no-room",
    ]);
    expect(errorsOf(outline, "opening", file(0.5))).toEqual([]);
  });

  it("of a part want no overlap across a notch, where the wire would cut a chip off on its way", () => {
    const tabs: [number, number][] = [
      [4.064, 0.256],
      [-0.325, 4.059],
      [-3.972, -0.899],
      [-0.325, -4.059],
    ];
    const file: JobFile = {
      wire: { diameter: 0.1 },
      passes: 2,
      stock: { thickness: 10 },
      lead: { overlap: 2 },
      features: { "part-1": { tab: tabs.map((at) => ({ at })) } },
    };
    const outline = polygonContour(star(11, 6.383, 1.819));
    expect(errorsOf(outline, "part", file)).toEqual([]);
  });
});

describe("an opening along which no lead-in has room beside a tab is cut away whole", () => {
  it.each<[string, Contour, JobFile]>([
    [
      "for a tab there would reach round the end of a tooth space a wire wide",
      gear(30, 6.972, 3.677, 0.43),
      { wire: { diameter: 0.36 }, passes: 6 },
    ],
    [
      "for it has sharp points only, inward and outward",
      polygonContour(star(24, 4, 3.2)),
      { passes: 3 },
    ],
  ])("%s", (_, outline, file) => {
    const layout = layoutOf(feature("opening-1", "opening", outline));
    const { plan, proof } = proved(layout, file);
    const told = plan.findings.find((f) => f.code === "slug/cut-away");
    expect(told?.message).toContain("nowhere along it");
    expect(proof.loosePieces).toEqual([]);
  });
});

it("a notch that a pass only dips into is no corner for G41 and G42, which would run past it and leave a chip for the next pass", () => {
  // 5 × 5 mm, a square of 0.5 mm out of each corner. The rough, 0.525 mm off, turns about both ends of the mouth.
  const outline = polygonContour(
    [
      [-2, -2.5],
      [2, -2.5],
      [2, -2],
      [2.5, -2],
      [2.5, 2],
      [2, 2],
      [2, 2.5],
      [-2, 2.5],
      [-2, 2],
      [-2.5, 2],
      [-2.5, -2],
      [-2, -2],
    ].map(([x = 0, y = 0]) => ({ x, y })),
  );
  const file = (compensation: "path" | "control"): JobFile => ({
    wire: { diameter: 0.36 },
    passes: [
      { gap: 0.055, leave: 0.29 },
      { gap: 0.055, leave: 0.08 },
      { gap: 0.02, leave: 0 },
    ],
    program: { compensation },
  });
  expect(new Set(refusals(outline, "part", file("control")))).toEqual(
    new Set(["control/no-corner"]),
  );
  expect(errorsOf(outline, "part", file("path"))).toEqual([]);
});
