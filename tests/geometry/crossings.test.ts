import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  polygonContour,
} from "../../src/geometry/contour.js";
import { findConflicts } from "../../src/geometry/crossings.js";
import { intersectSegments } from "../../src/geometry/intersect.js";
import { segmentFromBulge } from "../../src/geometry/segment.js";
import type { Vec } from "../../src/geometry/vec.js";
import { random, randomContour } from "../helpers/shapes.js";

const polygon = (...points: [number, number][]): Contour =>
  polygonContour(points.map(([x, y]) => ({ x, y })));

const square = (x: number, y: number, side: number): Contour =>
  polygon([x, y], [x + side, y], [x + side, y + side], [x, y + side]);

describe("an outline", () => {
  it("that is simple has no conflict, also with arcs that run on tangentially", () => {
    const slot: Contour = {
      closed: true,
      segments: [
        segmentFromBulge({ x: 0, y: 0 }, { x: 10, y: 0 }, 0),
        segmentFromBulge({ x: 10, y: 0 }, { x: 10, y: 4 }, 1),
        segmentFromBulge({ x: 10, y: 4 }, { x: 0, y: 4 }, 0),
        segmentFromBulge({ x: 0, y: 4 }, { x: 0, y: 0 }, 1),
      ].flatMap((s) => s ?? []),
    };
    expect(findConflicts([slot, circleContour({ x: 5, y: 2 }, 1)])).toEqual([]);
  });

  it("in the form of an 8 crosses itself where its diagonals do", () => {
    expect(findConflicts([polygon([0, 0], [4, 4], [4, 0], [0, 4])])).toEqual([
      { kind: "crosses", a: 0, b: 0, at: { x: 2, y: 2 } },
    ]);
  });

  it("that passes a corner twice crosses itself there", () => {
    const twice = polygon([0, 0], [5, 0], [8, -2], [8, 3], [5, 0], [0, 5]);
    expect(findConflicts([twice])).toEqual([
      { kind: "crosses", a: 0, b: 0, at: { x: 5, y: 0 } },
    ]);
  });

  it("with a spike that runs back over itself crosses itself", () => {
    const spike = polygon([0, 0], [4, 0], [4, 9], [4, 4], [0, 4]);
    expect(findConflicts([spike])[0]).toMatchObject({ kind: "crosses" });
  });

  it("whose arc bulges through another side crosses itself", () => {
    const blown: Contour = {
      closed: true,
      segments: [
        segmentFromBulge({ x: 0, y: 0 }, { x: 10, y: 0 }, -0.9),
        segmentFromBulge({ x: 10, y: 0 }, { x: 10, y: 3 }, 0),
        segmentFromBulge({ x: 10, y: 3 }, { x: 0, y: 3 }, 0),
        segmentFromBulge({ x: 0, y: 3 }, { x: 0, y: 0 }, 0),
      ].flatMap((s) => s ?? []),
    };
    // The arc stands 0.9·10/2 = 4.5 mm over its chord, the side only 3.
    expect(findConflicts([blown])[0]?.at.y).toBeCloseTo(3, 9);
  });
});

describe("two outlines", () => {
  it("that overlap cross, and only once is told", () => {
    expect(findConflicts([square(0, 0, 4), square(2, 1, 4)])).toMatchObject([
      { kind: "crosses", a: 0, b: 1 },
    ]);
  });

  it("of which one is inside, or far away, have no conflict", () => {
    expect(
      findConflicts([square(0, 0, 9), square(2, 2, 2), square(20, 0, 3)]),
    ).toEqual([]);
  });

  it("that share a corner touch", () => {
    expect(findConflicts([square(0, 0, 4), square(4, 4, 4)])).toEqual([
      { kind: "touches", a: 0, b: 1, at: { x: 4, y: 4 } },
    ]);
  });

  it("that touch as circles do, from outside or inside, touch", () => {
    const big = circleContour({ x: 0, y: 0 }, 5);
    expect(
      findConflicts([big, circleContour({ x: 8, y: 0 }, 3)]).map((c) => c.kind),
    ).toEqual(["touches"]);
    expect(
      findConflicts([big, circleContour({ x: 0, y: 3 }, 2)]).map((c) => c.kind),
    ).toEqual(["touches"]);
  });

  it("that cross through each other's corners cross", () => {
    const diamond = polygon([4, 0], [8, 4], [4, 8], [0, 4]);
    const bar = polygon([4, -3], [5, -3], [4, 8], [4, 0]);
    expect(findConflicts([diamond, bar])[0]?.kind).toBe("crosses");
  });

  it("that share a side cross: nothing is between them", () => {
    expect(findConflicts([square(0, 0, 4), square(4, 0, 4)])).toMatchObject([
      { kind: "crosses", a: 0, b: 1 },
    ]);
  });

  it("are found to meet just where one of the segments of each do, however one lies in the other", () => {
    const rnd = random(11);
    const placed = (c: Contour, by: number, x: number, y: number): Contour => {
      const at = (p: Vec): Vec => ({ x: by * p.x + x, y: by * p.y + y });
      return {
        ...c,
        segments: c.segments.map((s) => ({
          ...s,
          start: at(s.start),
          end: at(s.end),
          ...(s.kind === "arc"
            ? { center: at(s.center), radius: by * s.radius }
            : {}),
        })),
      };
    };
    let met = 0;
    for (let i = 0; i < 500; i++) {
      const [one, other] = [randomContour(rnd), randomContour(rnd)];
      if (!one || !other) continue;
      const small = placed(other, rnd(), 4 * rnd() - 2, 4 * rnd() - 2);
      const segmentsMeet = one.segments.some((s) =>
        small.segments.some((t) => intersectSegments(s, t).length > 0),
      );
      const told = findConflicts([one, small]).some(({ a, b }) => a !== b);
      expect(told).toBe(segmentsMeet);
      if (told) met++;
    }
    expect(met).toBeGreaterThan(70);
    expect(met).toBeLessThan(400);
  });
});
