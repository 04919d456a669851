import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  distanceBetween,
  nearestOnSegment,
} from "../../src/geometry/distance.js";
import { intersectSegments } from "../../src/geometry/intersect.js";
import {
  arcAbout,
  line,
  pointAt,
  type Segment,
  segmentFromBulge,
} from "../../src/geometry/segment.js";
import { distance, vec } from "../../src/geometry/vec.js";

const place = fc.double({ min: -10, max: 10, noNaN: true });
const segment: fc.Arbitrary<Segment> = fc
  .tuple(
    place,
    place,
    place,
    place,
    fc.double({ min: -3, max: 3, noNaN: true }),
  )
  .filter(([a, b, c, d]) => Math.hypot(a - c, b - d) > 0.1)
  .map(([a, b, c, d, e]) => {
    const bulge = Math.abs(e) < 0.05 ? 0 : e;
    return (
      segmentFromBulge(vec(a, b), vec(c, d), bulge) ??
      line(vec(a, b), vec(c, d))
    );
  });

describe("where two segments meet", () => {
  it("two crossing lines meet once, at the crossing", () => {
    const hits = intersectSegments(
      line(vec(0, 0), vec(10, 10)),
      line(vec(0, 10), vec(10, 0)),
    );
    expect(hits).toHaveLength(1);
    expect(hits[0]?.at).toEqual({ x: 5, y: 5 });
    expect(hits[0]?.ta).toBeCloseTo(0.5, 12);
  });

  it("a line through a circle meets its half circles in 3-4-5 points", () => {
    const upper = arcAbout(vec(0, 0), 5, 0, Math.PI);
    const hits = intersectSegments(line(vec(-10, 3), vec(10, 3)), upper);
    expect(hits.map((h) => h.at.x).sort((a, b) => a - b)).toEqual([
      expect.closeTo(-4, 12),
      expect.closeTo(4, 12),
    ]);
  });

  it("a tangent line touches once", () => {
    const upper = arcAbout(vec(0, 0), 5, 0, Math.PI);
    const hits = intersectSegments(line(vec(-10, 5), vec(10, 5)), upper);
    expect(hits).toHaveLength(1);
    expect(distance(hits[0]?.at ?? vec(9, 9), vec(0, 5))).toBeLessThan(1e-9);
  });

  it("lines that lie on each other share a stretch, told by its two ends", () => {
    const hits = intersectSegments(
      line(vec(0, 0), vec(10, 0)),
      line(vec(12, 0), vec(4, 0)),
    );
    expect(hits.map((h) => h.at.x).sort((a, b) => a - b)).toEqual([4, 10]);
  });

  it("arcs of one circle share a stretch, told by its two ends", () => {
    const a = arcAbout(vec(0, 0), 5, 0, 2);
    const b = arcAbout(vec(0, 0), 5, 1, 3);
    const hits = intersectSegments(a, b);
    expect(hits).toHaveLength(2);
    for (const h of hits) expect(distance(h.at, vec(0, 0))).toBeCloseTo(5, 12);
  });

  it("every meeting lies on both, and the answer does not depend on which comes first", () => {
    fc.assert(
      fc.property(segment, segment, (a, b) => {
        const ab = intersectSegments(a, b);
        expect(intersectSegments(b, a)).toHaveLength(ab.length);
        for (const { at, ta, tb } of ab) {
          expect(distance(pointAt(a, ta), at)).toBeLessThan(1e-6);
          expect(distance(pointAt(b, tb), at)).toBeLessThan(1e-6);
        }
      }),
    );
  });

  it("none is missed: segments with no meeting never come within a hair along a fine walk", () => {
    fc.assert(
      fc.property(segment, segment, (a, b) => {
        const apart = distanceBetween(a, b);
        let walked = Number.POSITIVE_INFINITY;
        const steps = 400;
        for (let k = 0; k <= steps; k++) {
          walked = Math.min(
            walked,
            nearestOnSegment(b, pointAt(a, k / steps)).distance,
          );
        }
        // The walk can only overestimate, by at most half a step.
        expect(apart).toBeLessThanOrEqual(walked + 1e-9);
        expect(walked - apart).toBeLessThan(0.6);
      }),
    );
  });
});

describe("the nearest point of a segment", () => {
  it("is no farther than any point of a fine walk, and lies on the segment", () => {
    fc.assert(
      fc.property(segment, place, place, (s, x, y) => {
        const p = vec(x, y);
        const near = nearestOnSegment(s, p);
        expect(distance(near.at, p)).toBeCloseTo(near.distance, 9);
        expect(distance(pointAt(s, near.t), near.at)).toBeLessThan(1e-7);
        for (let k = 0; k <= 100; k++) {
          expect(near.distance).toBeLessThanOrEqual(
            distance(pointAt(s, k / 100), p) + 1e-9,
          );
        }
      }),
    );
  });
});
