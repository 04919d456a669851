import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  arcFraction,
  pointAt,
  reverseSegment,
  segmentBox,
  segmentFromBulge,
  segmentLength,
  subSegment,
  tangentAt,
} from "../../src/geometry/segment.js";
import { distance, rotate, sub } from "../../src/geometry/vec.js";

const coordinate = fc.double({ min: -1000, max: 1000, noNaN: true });
const bulge = fc.oneof(
  fc.double({ min: 0.01, max: 100, noNaN: true }),
  fc.double({ min: -100, max: -0.01, noNaN: true }),
);

describe("an arc given by its bulge (DXF reference: bulge = tan(sweep / 4))", () => {
  it("of 0.5 from (0,0) to (10,0) has radius 6.25 about (5, 3.75) and lowest point (5, -2.5)", () => {
    // Worked by hand: R = c(1 + b²) / 4b = 10·1.25 / 2; sagitta b·c / 2 = 2.5.
    const s = segmentFromBulge({ x: 0, y: 0 }, { x: 10, y: 0 }, 0.5);
    if (s?.kind !== "arc") throw new Error("no arc");
    expect(s.radius).toBeCloseTo(6.25, 12);
    expect(s.center.x).toBeCloseTo(5, 12);
    expect(s.center.y).toBeCloseTo(3.75, 12);
    expect(segmentBox(s).minY).toBeCloseTo(-2.5, 12);
    expect((s.sweep * 180) / Math.PI).toBeCloseTo(106.26020471, 8);
  });

  it("of 1 is a half circle that turns left, through (5, -5)", () => {
    const s = segmentFromBulge({ x: 0, y: 0 }, { x: 10, y: 0 }, 1);
    if (s?.kind !== "arc") throw new Error("no arc");
    expect(distance(pointAt(s, 0.5), { x: 5, y: -5 })).toBeLessThan(1e-12);
    expect(segmentLength(s)).toBeCloseTo(5 * Math.PI, 12);
  });

  it("has both ends on its circle, and turning the start by the sweep gives the end", () => {
    fc.assert(
      fc.property(
        coordinate,
        coordinate,
        coordinate,
        coordinate,
        bulge,
        (x0, y0, x1, y1, b) => {
          const start = { x: x0, y: y0 };
          const end = { x: x1, y: y1 };
          fc.pre(distance(start, end) > 0.001);
          const s = segmentFromBulge(start, end, b);
          if (s?.kind !== "arc") throw new Error("no arc");
          const near = 1e-9 * Math.max(1, s.radius);
          expect(Math.abs(distance(s.center, start) - s.radius)).toBeLessThan(
            near,
          );
          expect(Math.abs(distance(s.center, end) - s.radius)).toBeLessThan(
            near,
          );
          const turned = rotate(sub(start, s.center), s.sweep);
          expect(distance(turned, sub(end, s.center))).toBeLessThan(near);
        },
      ),
    );
  });
});

describe("a segment", () => {
  it("knows the fraction of each of its points, forwards and backwards", () => {
    fc.assert(
      fc.property(
        bulge,
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (b, t) => {
          const s = segmentFromBulge({ x: -3, y: 1 }, { x: 4, y: 2 }, b);
          if (s?.kind !== "arc") throw new Error("no arc");
          expect(arcFraction(s, pointAt(s, t))).toBeCloseTo(t, 6);
          expect(
            distance(pointAt(reverseSegment(s), 1 - t), pointAt(s, t)),
          ).toBeLessThan(1e-9);
          const ahead = tangentAt(s, t);
          const behind = tangentAt(reverseSegment(s), 1 - t);
          expect(ahead.x).toBeCloseTo(-behind.x, 9);
          expect(ahead.y).toBeCloseTo(-behind.y, 9);
        },
      ),
    );
  });

  it("cut in two has the length of the whole", () => {
    fc.assert(
      fc.property(
        bulge,
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (b, t) => {
          const s = segmentFromBulge({ x: 0, y: 0 }, { x: 7, y: 2 }, b);
          if (!s) throw new Error("no segment");
          const parts =
            segmentLength(subSegment(s, 0, t)) +
            segmentLength(subSegment(s, t, 1));
          expect(parts / segmentLength(s)).toBeCloseTo(1, 9);
        },
      ),
    );
  });

  it("between two equal ends is nothing", () => {
    expect(segmentFromBulge({ x: 1, y: 1 }, { x: 1, y: 1 }, 0.5)).toBeNull();
  });
});
