import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { biarc } from "../../../src/geometry/fit/biarc.js";
import { fitArcs } from "../../../src/geometry/fit/fit-arcs.js";
import type { Curve } from "../../../src/geometry/fit/fit-error.js";
import { reverseSegment } from "../../../src/geometry/segment.js";
import { negate } from "../../../src/geometry/vec.js";
import {
  chainFaults,
  sharpestJoint,
  worstOff,
} from "../../helpers/nearness.js";

/** Full ellipse about the origin, knots at its vertices. */
function ellipse(a: number, b: number): Curve {
  return {
    knots: [0, 1, 2, 3, 4].map((k) => (k * Math.PI) / 2),
    at: (t) => ({ x: a * Math.cos(t), y: b * Math.sin(t) }),
    tangent: (t) => {
      const l = Math.hypot(a * Math.sin(t), b * Math.cos(t));
      return { x: (-a * Math.sin(t)) / l, y: (b * Math.cos(t)) / l };
    },
  };
}

function samples(curve: Curve, n: number) {
  const from = curve.knots[0] as number;
  const to = curve.knots.at(-1) as number;
  return Array.from({ length: n + 1 }, (_, i) =>
    curve.at(from + ((to - from) * i) / n),
  );
}

describe("curves fitted with arcs", () => {
  it.each([
    [20, 10],
    [20, 19],
    [50, 1],
    [5, 2],
  ])(
    "stays within 0.5 µm of an ellipse with half axes %d and %d mm, in tens of arcs",
    (a, b) => {
      const segments = fitArcs(ellipse(a, b), { tolerance: 0.0005 });
      expect(worstOff(segments, samples(ellipse(a, b), 3000))).toBeLessThan(
        0.0005,
      );
      expect(segments.length).toBeLessThan(90);
      expect(segments.every((s) => s.kind === "arc")).toBe(true);
    },
  );

  // Half axes of a hand's size; the flank of a gear of module 2 with 20 teeth at 20° (ISO 53 pressure angle), base
  // circle 40·cos 20°/2, tip circle 22. The least number of tangent arcs that cross the curve at their joints: each of
  // length l under a change of curvature κ′ is off by κ′l³/124.7 (κ′(s³/6 − l²s/24) is greatest at s = l/√12).
  const base = 20 * Math.cos(Math.PI / 9);
  const flank: Curve = {
    knots: [0.05, Math.sqrt((22 / base) ** 2 - 1)],
    at: (t) => ({
      x: base * (Math.cos(t) + t * Math.sin(t)),
      y: base * (Math.sin(t) - t * Math.cos(t)),
    }),
    tangent: (t) => ({ x: Math.cos(t), y: Math.sin(t) }),
  };
  it.each([
    ["an ellipse 100 × 60", ellipse(50, 30), 4, 0.0005, 70],
    ["an ellipse 100 × 60", ellipse(50, 30), 4, 0.0001, 110],
    ["an ellipse 10 × 4", ellipse(5, 2), 4, 0.0005, 40],
    ["an involute flank, module 2", flank, 1, 0.0005, 8],
    ["an involute flank, module 2", flank, 1, 0.0001, 12],
  ])(
    "%s takes hardly more arcs than any chain must",
    (_, curve, runs, tolerance, most) => {
      const whole = {
        ...curve,
        knots: [curve.knots[0], curve.knots.at(-1)] as [number, number],
      };
      const n = 4000;
      const points = samples(whole, n);
      // Curvature by the turn between chords, then its change along the way.
      const chord = (i: number) => {
        const [p, q] = [points[i], points[i + 1]] as [
          (typeof points)[0],
          (typeof points)[0],
        ];
        return {
          l: Math.hypot(q.x - p.x, q.y - p.y),
          a: Math.atan2(q.y - p.y, q.x - p.x),
        };
      };
      let sum = 0;
      let before: number | null = null;
      for (let i = 0; i + 1 < n; i++) {
        const [c, d] = [chord(i), chord(i + 1)];
        const turn = Math.atan2(Math.sin(d.a - c.a), Math.cos(d.a - c.a));
        const curvature: number = turn / ((c.l + d.l) / 2);
        if (before !== null)
          sum += Math.cbrt(Math.abs(curvature - before) / c.l) * c.l;
        before = curvature;
      }
      const least = sum / Math.cbrt(124.7 * tolerance);
      const segments =
        runs === 1
          ? fitArcs(curve, { tolerance })
          : fitByKnots(curve, tolerance);
      expect(worstOff(segments, points)).toBeLessThan(tolerance);
      // Coming to and from the curve's own direction costs up to a pair at either end of each run.
      expect(segments.length).toBeLessThanOrEqual(1.25 * least + 4 * runs);
      expect(segments.length).toBeLessThanOrEqual(most);
      expect(segments.length).toBeGreaterThanOrEqual(least);
    },
  );

  it("needs 8 times the arcs for a 512th of the error: the error goes with the cube of the length", () => {
    const coarse = fitArcs(ellipse(20, 10), { tolerance: 0.000512 }).length;
    const fine = fitArcs(ellipse(20, 10), { tolerance: 0.000001 }).length;
    expect(fine / coarse).toBeGreaterThan(6);
    expect(fine / coarse).toBeLessThan(9.5);
  });

  it("keeps the tangent from arc to arc, and every arc agrees with its ends", () => {
    const contour = {
      closed: false,
      segments: fitArcs(ellipse(20, 10), { tolerance: 0.0005 }),
    };
    expect(chainFaults(contour)).toEqual([]);
    expect(sharpestJoint(contour)).toBeLessThan(1e-7);
  });

  it("keeps a corner at a knot", () => {
    // Two parabolas y = x² and y = (2 − x)², which meet at (1, 1) with slopes 2 and −2.
    const slope = (t: number, side: number) =>
      t < 1 || (t === 1 && side < 0) ? 2 * t : 2 * t - 4;
    const curve: Curve = {
      knots: [0, 1, 2],
      at: (t) => ({ x: t, y: t < 1 ? t * t : (2 - t) ** 2 }),
      tangent: (t, side) => {
        const m = slope(t, side);
        const l = Math.hypot(1, m);
        return { x: 1 / l, y: m / l };
      },
    };
    const segments = fitArcs(curve, { tolerance: 0.0005 });
    const corner = segments.findIndex((s) => s.end.x === 1 && s.end.y === 1);
    expect(corner).toBeGreaterThan(0);
    // Between the slopes 2 and −2 lies a turn of 2·atan 2.
    expect(sharpestJoint({ closed: false, segments })).toBeCloseTo(
      2 * Math.atan(2),
      9,
    );
  });

  it("gives a circle's own arcs back as arcs of that circle", () => {
    for (const s of fitArcs(ellipse(7, 7), { tolerance: 0.0005 })) {
      expect(s.kind === "arc" && s.radius).toBeCloseTo(7, 9);
    }
    expect(
      fitArcs(ellipse(7, 7), { tolerance: 0.0005 }).length,
    ).toBeLessThanOrEqual(16);
  });

  it("goes over a cusp without hanging", () => {
    // Semicubical parabola (t², t³): the tangent turns round at t = 0, which is no knot.
    const curve: Curve = {
      knots: [-1, 1.3],
      at: (t) => ({ x: t * t, y: t * t * t }),
      tangent: (t) => {
        const l = Math.hypot(2 * t, 3 * t * t) || 1;
        return { x: (2 * t) / l, y: (3 * t * t) / l };
      },
    };
    const segments = fitArcs(curve, { tolerance: 0.0005 });
    expect(worstOff(segments, samples(curve, 2000))).toBeLessThan(0.0006);
    expect(segments.length).toBeLessThan(200);
  });

  it("follows any cubic polynomial curve within the tolerance", () => {
    const coordinate = fc.double({ min: -20, max: 20, noNaN: true });
    const point = fc.record({ x: coordinate, y: coordinate });
    fc.assert(
      fc.property(point, point, point, point, (p0, p1, p2, p3) => {
        const away = Math.hypot(p1.x - p0.x, p1.y - p0.y);
        const home = Math.hypot(p3.x - p2.x, p3.y - p2.y);
        fc.pre(away > 1 && home > 1);
        const curve = bezier(p0, p1, p2, p3);
        const segments = fitArcs(curve, { tolerance: 0.0005 });
        expect(chainFaults({ closed: false, segments })).toEqual([]);
        expect(worstOff(segments, samples(curve, 400))).toBeLessThan(0.0005);
      }),
      { numRuns: 60 },
    );
  });

  it("gives the same arcs whichever way the curve is run, so that doubles are seen to be", () => {
    const coordinate = fc.double({ min: -20, max: 20, noNaN: true });
    const point = fc.record({ x: coordinate, y: coordinate });
    fc.assert(
      fc.property(
        fc.tuple(point, point, point, point),
        fc.boolean(),
        ([p0, p1, p2, p3], closed) => {
          const end = closed ? p0 : p3;
          // Not there and back along one line, which is its own reverse.
          const [ax, ay] = [p1.x - p0.x, p1.y - p0.y];
          const [bx, by] = [end.x - p2.x, end.y - p2.y];
          fc.pre(Math.abs(ax * by - ay * bx) > 1);
          const curve = bezier(p0, p1, p2, end);
          const { at, tangent } = curve;
          const reverse: Curve = {
            knots: [-1, 0],
            at: (t) => at(-t),
            tangent: (t, side) => negate(tangent(-t, side === 1 ? -1 : 1)),
          };
          const options = { tolerance: 0.0005 };
          const there = fitArcs(curve, options);
          const back = fitArcs(reverse, options);
          // As text, for which 0 and -0 are one.
          expect(JSON.stringify(back.map(reverseSegment).reverse())).toBe(
            JSON.stringify(there),
          );
        },
      ),
      { numRuns: 60 },
    );
  });
});

/** One run from knot to knot, as for the quarters of an ellipse. */
function fitByKnots(curve: Curve, tolerance: number) {
  return curve.knots
    .slice(1)
    .flatMap((to, i) =>
      fitArcs(
        { ...curve, knots: [curve.knots[i] as number, to] },
        { tolerance },
      ),
    );
}

function bezier(...p: readonly { x: number; y: number }[]): Curve {
  const [a, b, c, d] = p as [
    { x: number; y: number },
    { x: number; y: number },
    { x: number; y: number },
    { x: number; y: number },
  ];
  const value = (k: "x" | "y", t: number) =>
    a[k] * (1 - t) ** 3 +
    3 * b[k] * t * (1 - t) ** 2 +
    3 * c[k] * t * t * (1 - t) +
    d[k] * t ** 3;
  const rate = (k: "x" | "y", t: number) =>
    (b[k] - a[k]) * (1 - t) ** 2 +
    2 * (c[k] - b[k]) * t * (1 - t) +
    (d[k] - c[k]) * t * t;
  return {
    knots: [0, 1],
    at: (t) => ({ x: value("x", t), y: value("y", t) }),
    tangent: (t) => {
      const l = Math.hypot(rate("x", t), rate("y", t)) || 1;
      return { x: rate("x", t) / l, y: rate("y", t) / l };
    },
  };
}

describe("a pair of arcs between two tangents", () => {
  it("is one circle when both tangents are of one circle", () => {
    const pair = biarc(
      { x: 1, y: 0 },
      { x: 0, y: 1 },
      { x: 0, y: 1 },
      { x: -1, y: 0 },
      { x: Math.SQRT1_2, y: Math.SQRT1_2 },
    );
    expect(pair?.map((s) => s.kind === "arc" && s.radius)).toEqual([
      expect.closeTo(1, 12),
      expect.closeTo(1, 12),
    ]);
  });

  it("bends one way and then the other between parallel tangents", () => {
    // From (0, 0) to (2, 1), both along +x. Met half way: quarter-symmetric arcs of radius (1² + 0.5²) / (2·0.5) = 1.25.
    const pair = biarc(
      { x: 0, y: 0 },
      { x: 1, y: 0 },
      { x: 2, y: 1 },
      { x: 1, y: 0 },
      { x: 1, y: 0.5 },
    );
    expect(pair?.map((s) => s.kind === "arc" && s.radius)).toEqual([
      expect.closeTo(1.25, 12),
      expect.closeTo(1.25, 12),
    ]);
    expect(pair?.map((s) => s.kind === "arc" && Math.sign(s.sweep))).toEqual([
      1, -1,
    ]);
  });
});
