import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  polygonContour,
} from "../../src/geometry/contour.js";
import { nestContours } from "../../src/geometry/nest.js";
import { segmentFromBulge } from "../../src/geometry/segment.js";

const box = (x: number, y: number, w: number, h: number): Contour =>
  polygonContour([
    { x, y },
    { x: x + w, y },
    { x: x + w, y: y + h },
    { x, y: y + h },
  ]);

describe("outlines in outlines", () => {
  it("count what lies around them, whatever the order of drawing", () => {
    const nestings = nestContours([
      circleContour({ x: 5, y: 5 }, 1),
      box(0, 0, 20, 10),
      circleContour({ x: 5, y: 5 }, 3),
      circleContour({ x: 15, y: 5 }, 3),
      box(30, 0, 5, 5),
    ]);
    expect(nestings).toEqual([
      { parent: 2, depth: 2 },
      { parent: null, depth: 0 },
      { parent: 1, depth: 1 },
      { parent: 1, depth: 1 },
      { parent: null, depth: 0 },
    ]);
  });

  it("are not inside what their box is inside: a hole in the bay of a U", () => {
    const u = polygonContour([
      { x: 0, y: 0 },
      { x: 10, y: 0 },
      { x: 10, y: 10 },
      { x: 7, y: 10 },
      { x: 7, y: 3 },
      { x: 3, y: 3 },
      { x: 3, y: 10 },
      { x: 0, y: 10 },
    ]);
    expect(nestContours([u, circleContour({ x: 5, y: 6 }, 1)])[1]).toEqual({
      parent: null,
      depth: 0,
    });
  });

  it("heed the bulge of arcs: in it is in, past it is out", () => {
    // A bowl: chord from (0, 0) to (10, 0), the arc below it 5 deep; and one whose arc runs above the chord.
    const bowl = (bulge: number): Contour => ({
      closed: true,
      segments: [
        segmentFromBulge({ x: 0, y: 0 }, { x: 10, y: 0 }, bulge),
        segmentFromBulge({ x: 10, y: 0 }, { x: 10, y: 10 }, 0),
        segmentFromBulge({ x: 10, y: 10 }, { x: 0, y: 10 }, 0),
        segmentFromBulge({ x: 0, y: 10 }, { x: 0, y: 0 }, 0),
      ].flatMap((s) => s ?? []),
    });
    const low = circleContour({ x: 5, y: -3 }, 1);
    const high = circleContour({ x: 5, y: 3 }, 1);
    expect(nestContours([bowl(1), low])[1]?.parent).toBe(0);
    expect(nestContours([bowl(-1), high])[1]?.parent).toBe(null);
  });

  it("may touch the outline around them", () => {
    expect(
      nestContours([box(0, 0, 10, 10), circleContour({ x: 2, y: 5 }, 2)])[1],
    ).toEqual({ parent: 0, depth: 1 });
    expect(nestContours([box(0, 0, 10, 10), box(0, 0, 4, 4)])[1]).toEqual({
      parent: 0,
      depth: 1,
    });
  });

  it("of 900 circles in a plate with 4,000 sides all lie right in the plate", () => {
    const plate = polygonContour(
      Array.from({ length: 4000 }, (_, i) => {
        const a = (2 * Math.PI * i) / 4000;
        const r = 100 + 5 * Math.cos(40 * a);
        return { x: r * Math.cos(a), y: r * Math.sin(a) };
      }),
    );
    const holes = Array.from({ length: 900 }, (_, i) =>
      circleContour(
        { x: (i % 30) * 4 - 58, y: Math.floor(i / 30) * 4 - 58 },
        1,
      ),
    );
    const nestings = nestContours([...holes, plate]);
    expect(nestings.slice(0, 900).every((n) => n.parent === 900)).toBe(true);
  });

  it("nest like a tree of circles that was built so", () => {
    // Each circle is split into up to three circles inside it, or left alone; drawing order is shuffled.
    const depths = fc.array(fc.integer({ min: 0, max: 3 }), {
      minLength: 1,
      maxLength: 25,
    });
    fc.assert(
      fc.property(depths, fc.integer(), (children, seed) => {
        const built: { contour: Contour; depth: number }[] = [];
        const queue = [{ x: 0, y: 0, r: 1000, depth: 0 }];
        for (const n of children) {
          const c = queue.shift();
          if (!c) break;
          built.push({ contour: circleContour(c, c.r), depth: c.depth });
          for (let k = 0; k < n; k++)
            queue.push({
              x: c.x + (k - 1) * c.r * 0.6,
              y: c.y,
              r: c.r * 0.29,
              depth: c.depth + 1,
            });
        }
        const order = built
          .map((b, i) => ({ b, key: (i * 7919 + seed) % 101 }))
          .sort((a, b) => a.key - b.key)
          .map(({ b }) => b);
        expect(
          nestContours(order.map((b) => b.contour)).map((n) => n.depth),
        ).toEqual(order.map((b) => b.depth));
      }),
      { numRuns: 100 },
    );
  });
});
