import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  contourArea,
  contourLength,
} from "../../src/geometry/contour.js";
import { offsetLeft } from "../../src/geometry/offset.js";
import {
  pointAt,
  type Segment,
  segmentLength,
  subSegment,
} from "../../src/geometry/segment.js";
import { settleJob } from "../../src/plan/job.js";
import { makePlan } from "../../src/plan/make-plan.js";
import type { Cut } from "../../src/plan/plan.js";
import { programmedOutline } from "../../src/plan/programmed-outline.js";
import { feature, layoutOf, rectangle } from "../helpers/layouts.js";
import { proved } from "../helpers/proved.js";
import { rounded } from "../helpers/shapes.js";

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
    const made = programmedOutline(c, loop?.segments ?? []);
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
