import { describe, expect, it } from "vitest";
import { type Contour, polygonContour } from "../../src/geometry/contour.js";
import { deepestPoint, isDeeperThan } from "../../src/geometry/deepest.js";
import { offsetLeft } from "../../src/geometry/offset.js";
import { unreachedStretches } from "../../src/geometry/reach.js";
import { rounded, star } from "../helpers/shapes.js";

const unreached = (c: Contour, d: number) =>
  unreachedStretches(c, offsetLeft([c], d), d);
const rectangle = (w: number, h: number) =>
  [
    { x: 0, y: 0 },
    { x: w, y: 0 },
    { x: w, y: h },
    { x: 0, y: h },
  ] as const;

describe("what a wire cannot reach", () => {
  it("in a sharp square corner it leaves 0.06006097 mm along the diagonal at offset 0.145", () => {
    // r·(√2 − 1), exact
    const left = unreached(polygonContour(rectangle(10, 10)), 0.145);
    expect(left).toHaveLength(4);
    for (const u of left) {
      expect(u.left).toBeCloseTo(0.06006097, 8);
      expect(u.turn).toBeCloseTo(Math.PI / 2, 9);
      expect(u.corners).toBe(1);
      expect(u.radius).toBe(0.145);
    }
  });

  it("in the sharp tip of a star it leaves d·(1/sin(θ/2) − 1), θ the tip's angle", () => {
    const points = star(5, 8, 4);
    const [p, q, r] = [points[9], points[0], points[1]] as const;
    if (!p || !q || !r) throw new Error("no star");
    const angle =
      Math.abs(Math.atan2(p.y - q.y, p.x - q.x)) +
      Math.abs(Math.atan2(r.y - q.y, r.x - q.x));
    const theta = 2 * Math.PI - angle;
    const left = unreached(polygonContour(points), 0.135);
    expect(left).toHaveLength(5);
    for (const u of left)
      expect(u.left).toBeCloseTo(0.135 * (1 / Math.sin(theta / 2) - 1), 8);
  });

  it("nothing is left where every corner is rounder than the offset", () => {
    expect(unreached(rounded(rectangle(10, 6), 0.2), 0.15)).toHaveLength(0);
  });

  it("a slot narrower than the kerf turns by π between the two places the wire touches", () => {
    const c = polygonContour([
      { x: 0, y: 0 },
      { x: 10, y: 0 },
      { x: 10, y: 2 },
      { x: 14, y: 2 },
      { x: 14, y: 2.2 },
      { x: 10, y: 2.2 },
      { x: 10, y: 5 },
      { x: 0, y: 5 },
    ]);
    const slot = unreached(c, 0.135).find((u) => u.turn > 3);
    expect(slot?.turn).toBeCloseTo(Math.PI, 9);
    expect(slot?.left).toBeGreaterThan(3.9);
  });
});

describe("the deepest place", () => {
  it("of a 10 × 6 rectangle is 3 mm from its edge", () => {
    expect(deepestPoint(polygonContour(rectangle(10, 6))).distance).toBeCloseTo(
      3,
      2,
    );
  });

  it("of a 20 × 1.1 slot is deeper than 0.54 mm and not deeper than 0.56", () => {
    const slot = polygonContour(rectangle(20, 1.1));
    expect(isDeeperThan(slot, 0.54)).toBe(true);
    expect(isDeeperThan(slot, 0.56)).toBe(false);
  });
});
