import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  areaMoments,
  circleContour,
  contourArea,
  contourLength,
  polygonContour,
  reverseContour,
  totalTurn,
  windingNumber,
} from "../../src/geometry/contour.js";
import { flatten } from "../helpers/clipper.js";
import { bulged, random, randomContour } from "../helpers/shapes.js";

const square = polygonContour([
  { x: 0, y: 0 },
  { x: 10, y: 0 },
  { x: 10, y: 10 },
  { x: 0, y: 10 },
]);

describe("a closed contour", () => {
  it("of a circle has area πr² and length 2πr (exact mathematics)", () => {
    const c = circleContour({ x: 1e4, y: -1e4 }, 10);
    expect(contourArea(c)).toBeCloseTo(Math.PI * 100, 8);
    expect(contourLength(c)).toBeCloseTo(2 * Math.PI * 10, 10);
    expect(areaMoments(c).centroid.x).toBeCloseTo(1e4, 8);
  });

  it("of a half disc has its centroid 4r/3π above the chord (plane geometry)", () => {
    const half = bulged([
      [-3, 0, 0],
      [3, 0, 1],
    ]);
    const { area, centroid } = areaMoments(half);
    expect(area).toBeCloseTo((Math.PI * 9) / 2, 10);
    expect(centroid.x).toBeCloseTo(0, 10);
    expect(centroid.y).toBeCloseTo((4 * 3) / (3 * Math.PI), 10);
  });

  it("turns once round: +2π counter-clockwise, −2π clockwise", () => {
    expect(totalTurn(square)).toBeCloseTo(2 * Math.PI, 12);
    expect(totalTurn(reverseContour(square))).toBeCloseTo(-2 * Math.PI, 12);
  });

  it("has the area of its fine polygon, whatever its shape (shoelace of 1e-5 mm chords)", () => {
    for (let seed = 1; seed <= 60; seed++) {
      const c = randomContour(random(seed));
      if (!c) continue;
      const p = flatten(c, 1e-6);
      let twice = 0;
      p.forEach((a, i) => {
        const b = p[(i + 1) % p.length] as typeof a;
        twice += a.x * b.y - a.y * b.x;
      });
      expect(Math.abs(contourArea(c) - twice / 2)).toBeLessThan(
        1e-6 * contourLength(c),
      );
    }
  });

  it("knows inside from outside as its fine polygon does", () => {
    for (let seed = 1; seed <= 40; seed++) {
      const rnd = random(seed);
      const c = randomContour(rnd);
      if (!c) continue;
      const fine = polygonContour(flatten(c, 1e-7));
      for (let k = 0; k < 40; k++) {
        const p = { x: (rnd() - 0.5) * 16, y: (rnd() - 0.5) * 16 };
        expect(windingNumber(c, p)).toBe(windingNumber(fine, p));
        expect(windingNumber(reverseContour(c), p)).toBe(
          -windingNumber(c, p) + 0,
        );
      }
    }
  });

  it("knows a point on the line between the ends of its two half circles for inside", () => {
    const c = circleContour({ x: 0, y: 0 }, 28);
    for (const x of [-6, 0, 6]) {
      expect(windingNumber(c, { x, y: 0 })).toBe(1);
      expect(windingNumber(reverseContour(c), { x, y: 0 })).toBe(-1);
    }
    const upright = bulged([
      [0, -5, 1],
      [0, 5, 1],
    ]);
    for (const y of [-3, 0, 3])
      expect(windingNumber(upright, { x: 0, y })).toBe(1);
    for (const y of [-6, 6])
      expect(windingNumber(upright, { x: 0, y })).toBe(0);
  });

  it("keeps its area when moved far off, within the digits that are left", () => {
    fc.assert(
      fc.property(fc.integer({ min: -6, max: 6 }), (k) => {
        const far = 1e5 * k;
        const moved = polygonContour([
          { x: far, y: far },
          { x: far + 3, y: far },
          { x: far, y: far + 4 },
        ]);
        expect(contourArea(moved)).toBeCloseTo(6, 8);
      }),
    );
  });
});
