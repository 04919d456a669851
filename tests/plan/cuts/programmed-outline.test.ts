import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  contourArea,
  contourLength,
} from "../../../src/geometry/contour.js";
import { offsetLeft } from "../../../src/geometry/offset.js";
import {
  pointAt,
  type Segment,
  segmentLength,
  subSegment,
} from "../../../src/geometry/segment.js";
import { programmedOutline } from "../../../src/plan/cuts/programmed-outline.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import type { Cut } from "../../../src/plan/plan.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";
import { bulged, rounded } from "../../helpers/shapes.js";

const corners = [
  { x: 0, y: 0 },
  { x: 20, y: 0 },
  { x: 20, y: 10 },
  { x: 0, y: 10 },
];
const job = settleJob({ passes: 3, program: { compensation: "control" } });
const strokes = (contour: ReturnType<typeof rectangle>) =>
  makePlan(
    layoutOf(feature("opening-1", "opening", contour)),
    job,
    "x",
  ).steps.flatMap((s) => (s.kind === "cut" ? (s as Cut).strokes : []));
const long = (segments: readonly Segment[]): number =>
  segments.reduce((sum, s) => sum + segmentLength(s), 0);

describe("the outline programmed for G41/G42", () => {
  it("is the drawn rectangle with its sharp corners, the same on every pass", () => {
    for (const stroke of strokes(rectangle(0, 0, 20, 10)).filter(
      (s) => s.stretch === "open",
    )) {
      const ends = stroke.outline.map((s) => s.end);
      for (const c of corners) {
        const near = Math.min(
          ...ends.map((e) => Math.hypot(e.x - c.x, e.y - c.y)),
        );
        expect(near).toBeLessThan(1e-9);
      }
      // Once round but for the tab and a kerf: 60 − 1 − 0.31
      expect(long(stroke.outline)).toBeCloseTo(60 - 1.31, 9);
    }
  });

  it("runs through a fillet that is tighter than the wire to the corner it rounds", () => {
    for (const stroke of strokes(rounded(corners, 0.1)).filter(
      (s) => s.stretch === "open",
    )) {
      expect(stroke.outline.every((s) => s.kind === "line")).toBe(true);
      expect(long(stroke.outline)).toBeCloseTo(60 - 1.31, 9);
    }
  });

  it("hangs together end to end", () => {
    for (const stroke of strokes(rounded(corners, 0.18))) {
      stroke.outline.slice(1).forEach((s, i) => {
        const before = (stroke.outline[i] as Segment).end;
        expect(
          Math.hypot(s.start.x - before.x, s.start.y - before.y),
        ).toBeLessThan(1e-9);
      });
    }
  });

  it("of a whole loop has the outline's own area where nothing is trimmed", () => {
    const c = circleContour({ x: 1, y: 2 }, 5);
    const [loop] = offsetLeft([c], 0.2);
    const made = programmedOutline(c, loop?.segments ?? [], 0.2, 0.0001);
    if (!made.ok) throw new Error("no outline");
    const whole = { closed: true, segments: made.outline };
    expect(contourArea(whole)).toBeCloseTo(25 * Math.PI, 9);
    expect(contourLength(whole)).toBeCloseTo(10 * Math.PI, 9);
  });
});

/** The same outline in many more stretches: each segment split at these fractions. */
function split(c: Contour, fractions: readonly number[]): Contour {
  const at = [0, ...fractions, 1];
  return {
    closed: true,
    segments: c.segments.flatMap((s) =>
      at.slice(1).map((to, i) => subSegment(s, at[i] as number, to)),
    ),
  };
}

const fractionsApart = fc
  .uniqueArray(fc.integer({ min: 1, max: 499 }), {
    minLength: 1,
    maxLength: 40,
  })
  .map((ns) => ns.sort((a, b) => a - b).map((n) => n / 500));

describe("the ends of strokes on outlines of many short stretches", () => {
  it("are no stubs that G41 and G42 might swallow, unless the drawing has them", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(
          circleContour({ x: 0, y: 0 }, 6),
          rounded(corners, 2),
          rectangle(0, 0, 20, 10),
        ),
        fractionsApart,
        fc.constantFrom<"opening" | "part">("opening", "part"),
        fc.constantFrom(0, 0.02, 0.5),
        fc.constantFrom(0, 0.03),
        // A lead by hand may be right beside a joint.
        fc.option(
          fc.tuple(fc.nat(), fc.double({ min: 0, max: 1, noNaN: true })),
        ),
        (whole, fractions, role, overlap, spread, hand) => {
          const contour = split(whole, fractions);
          const lengths = contour.segments.map(segmentLength);
          // A quarter of the drawn stretch, and under 20 µm nothing is a stub.
          const least = Math.min(0.02, Math.min(...lengths) / 4) - 1e-9;
          const s = contour.segments[
            (hand?.[0] ?? 0) % lengths.length
          ] as Segment;
          const at = pointAt(
            s,
            Math.min(1, (hand?.[1] ?? 0) * (0.005 / segmentLength(s))),
          );
          const file = {
            passes: 3,
            lead: { overlap, spread },
            program: { compensation: "control" as const },
            ...(hand
              ? {
                  features: {
                    a: { lead: { at: [at.x, at.y] as [number, number] } },
                  },
                }
              : {}),
          };
          const layout = layoutOf(feature("a", role, contour));
          const plan = makePlan(layout, settleJob(file), "x");
          // A lead by hand in a corner, or with no room for a hole off it, is refused, and rightly.
          fc.pre(!hand || plan.features.length > 0);
          proved(layout, file);
          for (const step of plan.steps)
            for (const { outline } of step.kind === "cut" ? step.strokes : [])
              for (const piece of outline)
                expect(segmentLength(piece)).toBeGreaterThan(least);
        },
      ),
      { numRuns: 25 },
    );
  });
});

/** A step with corners of both kinds, each rounded by `radius`. */
const stepped = (radius: number, turn: number): Contour => {
  const at = (x: number, y: number) => ({
    x: x * Math.cos(turn) - y * Math.sin(turn),
    y: x * Math.sin(turn) + y * Math.cos(turn),
  });
  return rounded(
    [at(0, 0), at(9, 0), at(9, 6), at(5, 6), at(4, 12), at(0, 12)],
    radius,
  );
};

const control = (units: "mm" | "in", passes = 3) => ({
  units,
  passes,
  program: { compensation: "control" as const },
});

describe("on the program's grid the outline for G41/G42", () => {
  const turns = fc.double({ min: 0, max: 6, noNaN: true });
  const units = fc.constantFrom("mm" as const, "in" as const);
  const roles = fc.constantFrom("opening" as const, "part" as const);

  it("has no concave arc as tight as the offset or tighter, at which a control alarms (NISTIR 6556)", () => {
    fc.assert(
      fc.property(
        units,
        roles,
        turns,
        fc.nat(2),
        // Rounding shifts the radius of an arc of 90° by some steps of 0.0001 mm or 0.00001 in.
        fc.double({ min: -0.0006, max: 0.0006, noNaN: true }),
        (unit, role, turn, k, more) => {
          const { offset } = settleJob(control(unit)).passes[k] as {
            offset: number;
          };
          const outline = stepped(offset + more, turn);
          proved(layoutOf(feature("a", role, outline)), control(unit));
        },
      ),
      { numRuns: 25 },
    );
  });

  it("follows edges rounded by some thousandths of a millimetre", () => {
    fc.assert(
      fc.property(
        units,
        roles,
        turns,
        fc.double({ min: 0.002, max: 0.03, noNaN: true }),
        (unit, role, turn, radius) => {
          const outline = stepped(radius, turn);
          proved(layoutOf(feature("a", role, outline)), control(unit));
        },
      ),
      { numRuns: 25 },
    );
  });

  it("leaves out a line of a few steps between two arcs, which rounding would turn inward", () => {
    // Fillets of 3 mm that all but meet in the middle of each side: 0.2 to 5 µm of line are left between them.
    fc.assert(
      fc.property(
        units,
        roles,
        turns,
        fc.double({ min: 0.0002, max: 0.005, noNaN: true }),
        (unit, role, turn, left) => {
          const c = Math.cos(turn);
          const s = Math.sin(turn);
          const side = 3 + left / 2;
          const square = [
            [-side, -side],
            [side, -side],
            [side, side],
            [-side, side],
          ].map(([x = 0, y = 0]) => ({ x: c * x - s * y, y: s * x + c * y }));
          proved(
            layoutOf(feature("a", role, rounded(square, 3))),
            control(unit),
          );
        },
      ),
      { numRuns: 15 },
    );
  });

  it("is refused, with the place and a way out, at a slot's round end that is as wide as the kerf", () => {
    // A half circle of 0.1366 mm and a pass at 0.1365: rounded, the arc may be tighter, and parallel walls have no corner.
    const slotted = bulged([
      [0, 0, 0],
      [12, 0, 0],
      [12, 10, 0],
      [6.1366, 10, 0],
      [6.1366, 7, -1],
      [5.8634, 7, 0],
      [5.8634, 10, 0],
      [0, 10, 0],
    ]);
    const { findings } = makePlan(
      layoutOf(feature("part-1", "part", slotted)),
      settleJob({ ...control("mm", 1), passes: [{ gap: 0.0115, leave: 0 }] }),
      "x",
    );
    const errors = findings.filter((f) => f.severity === "error");
    expect(errors.map((f) => f.code)).toEqual(["control/no-corner"]);
    const [{ where, message } = { where: [], message: "" }] = errors;
    expect(
      Math.hypot((where?.[0] ?? 0) - 6, (where?.[1] ?? 0) - 7),
    ).toBeLessThan(0.2);
    expect(message).toContain('use program.compensation "path"');
  });
});
