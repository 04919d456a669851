import { describe, expect, it } from "vitest";
import { hasErrors } from "../../../src/base/finding.js";
import {
  type Contour,
  circleContour,
  polygonContour,
} from "../../../src/geometry/contour.js";
import { distance, type Vec } from "../../../src/geometry/vec.js";
import type { Feature } from "../../../src/plan/feature.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import type { Cut, Plan, Step } from "../../../src/plan/plan.js";
import { readProgram } from "../../../src/program/trace.js";
import { NEUTRAL } from "../../../src/program/words.js";
import { writeProgram } from "../../../src/program/write.js";
import { prove } from "../../../src/proof/prove.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";
import { gear, rounded, star } from "../../helpers/shapes.js";

const plate = feature("part-1", "part", rectangle(0, 0, 70, 40));
const square = feature(
  "opening-1",
  "opening",
  rounded(
    [
      { x: 8, y: 8 },
      { x: 24, y: 8 },
      { x: 24, y: 24 },
      { x: 8, y: 24 },
    ],
    1,
  ),
  plate,
);
const round = feature(
  "opening-2",
  "opening",
  circleContour({ x: 48, y: 20 }, 13),
  plate,
);
const blank = feature(
  "part-2",
  "part",
  circleContour({ x: 48, y: 20 }, 6),
  round,
);

function planOf(features: readonly Feature[], more: JobFile = {}): Plan {
  const job = settleJob({
    startHoles: { diameter: 0.8 },
    stressRelief: true,
    ...more,
  });
  return makePlan(layoutOf(...features), job, "plate");
}

/** "opening-1 1" for a cut with pass 1 in it, "!opening-1 1" with somebody there, "opening-1 secure" for a stop. */
const told = (steps: readonly Step[]): string[] =>
  steps.map((s) =>
    s.kind === "stop"
      ? `${s.feature} ${s.action}`
      : `${s.attended ? "!" : ""}${s.feature} ${[...new Set(s.strokes.map((k) => k.pass))]}`,
  );

describe("a block that stress is let out of", () => {
  it("is roughed whole, its slugs come out, it rests and is clamped again, and then all is skimmed; the plate comes free last", () => {
    expect(told(planOf([plate, square, round]).steps)).toEqual([
      "opening-1 1",
      "opening-2 1",
      "part-1 1",
      "opening-2 secure",
      "!opening-2 1",
      "opening-2 remove",
      "opening-1 secure",
      "!opening-1 1",
      "opening-1 remove",
      "null rest",
      "opening-1 2,3",
      "opening-2 2,3",
      "part-1 2,3",
      "part-1 secure",
      "!part-1 3",
      "part-1 remove",
    ]);
  });

  it("has what lies in a slug done before that slug is taken out", () => {
    const steps = told(planOf([plate, square, round, blank]).steps);
    expect(steps.indexOf("part-2 remove")).toBeGreaterThan(0);
    expect(steps.indexOf("part-2 remove")).toBeLessThan(
      steps.indexOf("opening-2 secure"),
    );
  });

  it.each([
    ["path", 2],
    ["path", 3],
    ["path", 4],
    ["control", 3],
    ["control", 4],
  ] as const)(
    "is proved by a stranger's replay: compensation %s, %d passes",
    (compensation, passes) => {
      const features = [plate, square, round, blank];
      const plan = planOf(features, { passes, program: { compensation } });
      expect(hasErrors(plan.findings)).toBe(false);
      const text = writeProgram(plan, NEUTRAL);
      const proof = prove(
        readProgram(text, NEUTRAL),
        layoutOf(...features),
        plan.job,
      );
      expect(proof.findings.filter((f) => f.severity === "error")).toEqual([]);
      expect(proof.ok).toBe(true);
      expect(proof.loosePieces).toHaveLength(4);
      expect(proof.loosePieces.every((p) => p.attended)).toBe(true);
      expect(text).toMatch(/M00 \(rest: unclamp, clamp without strain/);
    },
  );

  it("skims go on where the wire stands: no way from stroke to stroke is longer than the tab and its overlaps", () => {
    const plan = planOf([plate, square, round], { passes: 4 });
    const skims = plan.steps.filter(
      (s): s is Cut => s.kind === "cut" && !s.attended && s.strokes.length > 1,
    );
    expect(skims).toHaveLength(3);
    for (const cut of skims)
      cut.strokes.slice(1).forEach((s, i) => {
        const at = cut.strokes[i]?.to as Vec;
        // 1 mm of tab, one kerf of 0.35 at most, half a millimetre of overlap at each end.
        expect(distance(at, s.from)).toBeLessThan(1 + 0.35 + 2 * 0.5);
      });
  });

  it("leaves no more than the next pass takes with its kerf: no strip comes loose between the two", () => {
    // Kerf of the skim 0.25 + 2·0.03 = 0.31, nine tenths of it 0.279, and the 0.05 that it leaves itself: 0.329.
    const passes = (leave: number): JobFile["passes"] => [
      { kind: "rough", gap: 0.03, leave },
      { kind: "skim", gap: 0.03, leave: 0.05 },
      { kind: "skim", gap: 0.01, leave: 0 },
    ];
    expect(planOf([square], { passes: passes(0.32) }).steps).toHaveLength(6);
    expect(() => planOf([square], { passes: passes(0.34) })).toThrow(
      "passes[0].leave must be at most 0.329 mm, or a strip comes loose",
    );
  });

  it("has a relief cut before its passes where asked: another rough, whose stock the next one takes whole", () => {
    const features = [plate, square, round, blank];
    // Leaves of 0.055 and less by the table: the relief cut runs at 0.125 + 0.03 + 0.2.
    const { plan, proof } = proved(layoutOf(...features), {
      startHoles: { diameter: 0.8 },
      stressRelief: { leave: 0.2 },
    });
    const { passes } = plan.job;
    expect(passes.map((p) => [p.number, p.kind])).toEqual([
      [1, "rough"],
      [2, "rough"],
      [3, "skim"],
      [4, "skim"],
    ]);
    expect(passes[0]?.leave).toBe(0.2);
    expect((passes[0]?.offset ?? 0) - (passes[1]?.offset ?? 0)).toBeCloseTo(
      0.2 - (passes[1]?.leave ?? 0),
      9,
    );
    const steps = told(plan.steps);
    const rest = steps.indexOf("null rest");
    expect(steps.slice(0, rest)).toContain("opening-1 1");
    expect(steps.slice(0, rest)).toContain("opening-1 remove");
    expect(steps.slice(rest)).toContain("opening-1 2,3,4");
    expect(proof.loosePieces).toHaveLength(4);
    expect(proof.loosePieces.every((p) => p.attended)).toBe(true);
  });

  it("has no relief cut that leaves less than the rough, or more than the rough's kerf takes", () => {
    const settle = (leave: number) => () =>
      settleJob({ passes: 3, stressRelief: { leave } });
    expect(settle(0.02)).toThrow("stressRelief.leave must be more than");
    expect(settle(0.6)).toThrow("stressRelief.leave must be at most");
    expect(settle(0.2)).not.toThrow();
  });

  it("cannot be done feature by feature, nor without skims", () => {
    expect(() =>
      settleJob({ stressRelief: true, order: "one-by-one" }),
    ).toThrow("stressRelief must be left out with the order");
    expect(() => settleJob({ stressRelief: true, passes: 1 })).toThrow(
      "stressRelief must be left out where there is one pass",
    );
  });
});

it.each([
  [11, 7.5, 6.5, 0.25, 0.25, 0.6],
  [8, 7, 5.5, 0.45, 0.15, 1],
  [12, 7.5, 6.5, 0.25, 0.2, 0.4],
  [10, 7.5, 6.5, 0.2, 0.2, 1],
])(
  "with stress let out first the wire does not cut across a tooth on its way to the tab's place: %d teeth, %f to %f mm",
  (teeth, tip, root, share, diameter, length) => {
    const outline = gear(teeth, tip, root, share);
    proved(layoutOf(feature("opening-1", "opening", outline)), {
      stressRelief: true,
      passes: 2,
      wire: { diameter },
      tabs: { length },
      lead: { overlap: 1 },
    });
  },
);

it.each<[string, Contour, JobFile]>([
  [
    "on an arc between the teeth of a gear",
    gear(20, 6, 4.254, 0.243),
    {
      passes: 4,
      tabs: { length: 1.525 },
      lead: { kind: "arc", overlap: 1 },
    },
  ],
  [
    "to a place that lead.spread has moved, round the tip of a star",
    polygonContour(star(7, 7, 4.135)),
    {
      passes: 3,
      tabs: { length: 0.206 },
      lead: { kind: "arc", overlap: 2, spread: 0.242 },
    },
  ],
])(
  "with stress let out first the tab's place has a thread of its own where no straight way leads to it: %s",
  (_, outline, file) => {
    proved(layoutOf(feature("opening-1", "opening", outline)), {
      stressRelief: true,
      wire: { diameter: 0.15 },
      ...file,
    });
  },
);
