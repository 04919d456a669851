import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { arcAbout, line } from "../../src/geometry/segment.js";
import { distance, vec } from "../../src/geometry/vec.js";
import { between, nearestPoint, pointTo } from "../../src/proof/measure.js";
import { along, nearestByLooking, segments } from "../helpers/segments.js";

const places = fc.record({
  x: fc.double({ min: -30, max: 30, noNaN: true }),
  y: fc.double({ min: -30, max: 30, noNaN: true }),
});

describe("from a place to a segment", () => {
  test("worked by hand: beside, beyond, and in an arc's middle", () => {
    const l = line(vec(0, 0), vec(10, 0));
    expect(pointTo(l, 4, -3)).toBe(3);
    expect(pointTo(l, 13, 4)).toBe(5);
    const half = arcAbout(vec(0, 0), 5, 0, Math.PI);
    expect(pointTo(half, 0, 2)).toBe(3);
    // Below the half circle its ends are nearest: √(3² + 5²) from (2, -5) to (5, 0).
    expect(pointTo(half, 2, -5)).toBeCloseTo(Math.sqrt(34), 12);
    expect(pointTo(half, 0, 0)).toBe(5);
  });

  test("is never beaten by looking everywhere, and reaches the best look", () => {
    fc.assert(
      fc.property(segments, places, (s, p) => {
        const d = pointTo(s, p.x, p.y);
        expect(d).toBeCloseTo(nearestByLooking(s, p), 6);
        expect(distance(nearestPoint(s, p), p)).toBeCloseTo(d, 9);
      }),
      { numRuns: 500 },
    );
  });
});

describe("between two segments", () => {
  test("worked by hand: parallel, crossing, an arc over a line, two circles", () => {
    const l = line(vec(0, 0), vec(10, 0));
    expect(between(l, line(vec(-5, 2), vec(5, 2))).distance).toBe(2);
    expect(between(l, line(vec(5, -1), vec(5, 1)))).toEqual({
      distance: 0,
      at: { x: 5, y: 0 },
    });
    const over = arcAbout(vec(5, 5), 4, -Math.PI, Math.PI);
    const found = between(l, over);
    expect(found.distance).toBeCloseTo(1, 12);
    expect(found.at).toEqual({ x: 5, y: 0 });
    const a = arcAbout(vec(0, 0), 3, -1, 2);
    const b = arcAbout(vec(10, 0), 4, Math.PI - 1, 2);
    expect(between(a, b).distance).toBeCloseTo(3, 12);
    // One circle inside another: 5 - 1 - 3.
    const inner = arcAbout(vec(1, 0), 3, -1, 2);
    expect(between(arcAbout(vec(0, 0), 5, -1, 2), inner).distance).toBeCloseTo(
      1,
      12,
    );
  });

  test("no pair of places is nearer, some pair is as near, and either way round is the same", () => {
    fc.assert(
      fc.property(segments, segments, (a, b) => {
        const { distance: d, at } = between(a, b);
        const looks = along(a, 200).map((p) => pointTo(b, p.x, p.y));
        expect(Math.min(...looks)).toBeGreaterThanOrEqual(d - 1e-7);
        expect(pointTo(a, at.x, at.y)).toBeLessThan(1e-6);
        expect(pointTo(b, at.x, at.y)).toBeCloseTo(d, 6);
        expect(between(b, a).distance).toBeCloseTo(d, 6);
      }),
      { numRuns: 500 },
    );
  });
});
