import { describe, expect, it } from "vitest";
import {
  circleContour,
  polygonContour,
  reverseContour,
} from "../../src/geometry/contour.js";
import { signedDistance, windingIndex } from "../../src/geometry/inside.js";
import { windingByHalving } from "../fuzz/winding.js";
import { distanceFrom } from "../helpers/nearness.js";
import { gear, random } from "../helpers/shapes.js";

describe("the signed distance", () => {
  it("from a ring of radii 3 and 5 is the nearer circle's, above 0 in the ring only", () => {
    const ring = signedDistance([
      circleContour({ x: 1, y: 2 }, 5),
      reverseContour(circleContour({ x: 1, y: 2 }, 3)),
    ]);
    for (const [r, expected] of [
      [0.5, -2.5],
      [3.25, 0.25],
      [4.75, 0.25],
      [7, -2],
    ] as const)
      for (const a of [0, 1, 2.5, 4])
        expect(
          ring({ x: 1 + r * Math.cos(a), y: 2 + r * Math.sin(a) }),
        ).toBeCloseTo(expected, 12);
  });

  it("from a square of side 2 is that to its edge or corner", () => {
    const square = signedDistance([
      polygonContour([
        { x: 0, y: 0 },
        { x: 2, y: 0 },
        { x: 2, y: 2 },
        { x: 0, y: 2 },
      ]),
    ]);
    expect(square({ x: 0.4, y: 1 })).toBeCloseTo(0.4, 12);
    expect(square({ x: 1, y: -3 })).toBeCloseTo(-3, 12);
    expect(square({ x: 5, y: 6 })).toBeCloseTo(-5, 12);
  });

  it("from nothing is endless", () => {
    expect(signedDistance([])({ x: 0, y: 0 })).toBe(Number.NEGATIVE_INFINITY);
  });

  it("from a gear of 88 lines and arcs is what asking every segment gives", () => {
    const wheel = gear(22, 6, 3, 0.4);
    const asked = signedDistance([wheel]);
    const winding = windingIndex([wheel]);
    const rnd = random(7);
    for (let i = 0; i < 500; i++) {
      const p = { x: 18 * rnd() - 9, y: 18 * rnd() - 9 };
      const far = Math.min(...wheel.segments.map((s) => distanceFrom(s, p)));
      const inside = windingByHalving(wheel, p);
      expect(winding(p)).toBe(inside);
      expect(asked(p)).toBeCloseTo(inside === 0 ? -far : far, 10);
    }
  });
});
