import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  polygonContour,
  reverseContour,
  windingNumber,
} from "../../src/geometry/contour.js";
import { findConflicts } from "../../src/geometry/crossings.js";
import {
  narrowestGaps,
  smallestInsideRadius,
} from "../../src/geometry/gaps/narrowest.js";
import {
  largestOffset,
  reachesAll,
} from "../../src/geometry/largest-offset.js";
import { offsetLeft } from "../../src/geometry/offset.js";
import { unreachedStretches } from "../../src/geometry/reach.js";
import { bulged, random, randomContour, rounded } from "../helpers/shapes.js";

const polygon = (...points: [number, number][]): Contour =>
  polygonContour(points.map(([x, y]) => ({ x, y })));
const rectangle = (w: number, h: number) => [
  { x: 0, y: 0 },
  { x: w, y: 0 },
  { x: w, y: h },
  { x: 0, y: h },
];

describe("the largest offset that reaches everything", () => {
  it("inside a hole is the hole's radius, and outside a disc there is no limit", () => {
    const hole = circleContour({ x: 3, y: 4 }, 0.2);
    expect(largestOffset(hole, 1, 0).offset).toBeCloseTo(0.2, 6);
    expect(largestOffset(hole, 1, 0).at?.x).toBeCloseTo(3, 4);
    expect(largestOffset(reverseContour(hole), 1, 0)).toEqual({
      offset: 1,
      at: null,
    });
  });

  it("is the radius of the tightest fillet, with its place", () => {
    const pocket = rounded(rectangle(10, 6), 0.3);
    expect(largestOffset(pocket, 1, 0).offset).toBeCloseTo(0.3, 6);
    const { at } = largestOffset(pocket, 1, 0);
    expect([0.3, 9.7].some((x) => Math.abs((at?.x ?? 0) - x) < 1e-4)).toBe(
      true,
    );
  });

  it("is half the width of a slot with a round or a square end", () => {
    const slot = (bulge: number): Contour =>
      bulged([
        [0, 0, 0],
        [10, 0, 0],
        [10, 2, 0],
        [14, 2, bulge],
        [14, 2.3, 0],
        [10, 2.3, 0],
        [10, 6, 0],
        [0, 6, 0],
      ]);
    expect(largestOffset(slot(1), 1, Infinity).offset).toBeCloseTo(0.15, 6);
    expect(largestOffset(slot(0), 1, Infinity).offset).toBeCloseTo(0.15, 6);
    expect(largestOffset(slot(0), 1, Infinity).at?.y).toBeCloseTo(2.15, 4);
  });

  it("is half the width of a neck between two rooms, even between two tips", () => {
    const rooms = polygon(
      [0, 0],
      [4, 0],
      [5, 1.9],
      [6, 0],
      [10, 0],
      [10, 4],
      [6, 4],
      [5, 2.1],
      [4, 4],
      [0, 4],
    );
    const { offset, at } = largestOffset(rooms, 1, Infinity);
    expect(offset).toBeCloseTo(0.1, 6);
    expect(at?.x).toBeCloseTo(5, 2);
    expect(at?.y).toBeCloseTo(2, 2);
  });

  it("with a sharp corner is what leaves no more than allowed in it: d·(√2 − 1) in a square one", () => {
    const square = polygonContour(rectangle(10, 10));
    for (const leave of [0.0005, 0.05])
      expect(largestOffset(square, 1, leave).offset).toBeCloseTo(
        leave / (Math.SQRT2 - 1),
        5,
      );
    expect(largestOffset(square, 20, Infinity).offset).toBeCloseTo(5, 6);
  });

  it("still touches a chamfer between two sharp corners: c / (2·tan(π/8)) for one of 45°", () => {
    const c = 0.2;
    const chamfered = polygon(
      [0, 0],
      [10 - c / Math.SQRT2, 0],
      [10, c / Math.SQRT2],
      [10, 8],
      [0, 8],
    );
    expect(largestOffset(chamfered, 2, Infinity).offset).toBeCloseTo(
      c / (2 * Math.tan(Math.PI / 8)),
      6,
    );
  });

  it("of an outline without sharp corners is its reach: the smallest inside radius or half the narrowest slot", () => {
    const limits = { radius: 0, slot: 0 };
    for (let seed = 1; seed <= 40; seed++) {
      const rnd = random(seed);
      const points = Array.from(
        { length: 4 + Math.floor(rnd() * 9) },
        () => 2 + 5 * rnd(),
      );
      const c = rounded(
        points.map((r, i) => {
          const a = (2 * Math.PI * i) / points.length;
          return { x: r * Math.cos(a), y: r * Math.sin(a) };
        }),
        0.05 + 0.6 * rnd(),
      );
      if (findConflicts([c]).length > 0) continue;
      const radius = smallestInsideRadius(c, "inside")?.value ?? Infinity;
      const { slot } = narrowestGaps([c], (p) =>
        windingNumber(c, p) !== 0 ? "waste" : "kept",
      );
      const half = (slot?.width ?? Infinity) / 2;
      limits[radius < half ? "radius" : "slot"]++;
      expect(largestOffset(c, 9, 0).offset, `seed ${seed}`).toBeCloseTo(
        Math.min(radius, half),
        5,
      );
    }
    expect(limits.radius).toBeGreaterThan(5);
  });

  it("of anything reaches all but the corners, and a larger one does not", () => {
    let asked = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const c = randomContour(random(seed));
      if (!c) continue;
      const { offset, at } = largestOffset(c, 0.8, Infinity);
      const faults = (d: number): number => {
        const loops = offsetLeft([c], d);
        const missed = unreachedStretches(c, loops, d).filter(
          (u) => u.turn > 0.05 && u.corners !== 1 && u.left > 2e-7,
        );
        return missed.length + Math.abs(loops.length - 1);
      };
      expect(faults(offset - 1e-6), `seed ${seed}`).toBe(0);
      if (at === null) continue;
      asked++;
      expect(faults(offset + 0.01), `seed ${seed}`).toBeGreaterThan(0);
    }
    expect(asked).toBeGreaterThan(10);
  });

  it("parts the wires that reach everything from those that do not, with corners and without", () => {
    for (let seed = 1; seed <= 20; seed++) {
      const c = randomContour(random(seed));
      if (!c) continue;
      for (const d of [0.06, 0.11, 0.17, 0.3]) {
        const reaches = reachesAll(c, d);
        for (const leave of [0.0005, Infinity])
          expect(reaches(leave), `seed ${seed}, ${d}`).toBe(
            largestOffset(c, 1, leave).offset >= d,
          );
      }
    }
  });
});
