import { describe, expect, it } from "vitest";
import {
  type Contour,
  contourArea,
  contourLength,
  polygonContour,
} from "../../../src/geometry/contour.js";
import { flattenedChords } from "../../../src/geometry/fit/flattened.js";
import { refitChords } from "../../../src/geometry/fit/refit.js";
import type { Vec } from "../../../src/geometry/vec.js";
import {
  chainFaults,
  distanceFrom,
  sharpestJoint,
  worstOff,
} from "../../helpers/nearness.js";

const { PI } = Math;
const on = (r: number, a: number, x = 0, y = 0): Vec => ({
  x: x + r * Math.cos(a),
  y: y + r * Math.sin(a),
});
/** Points of an arc, both ends among them. */
const arcPoints = (
  r: number,
  from: number,
  to: number,
  n: number,
  x = 0,
  y = 0,
) =>
  Array.from({ length: n + 1 }, (_, i) =>
    on(r, from + ((to - from) * i) / n, x, y),
  );
const rounded = (points: readonly Vec[], digits: number): Vec[] =>
  points.map(({ x, y }) => ({
    x: Number(x.toFixed(digits)),
    y: Number(y.toFixed(digits)),
  }));

function refitted(c: Contour, tolerance: number) {
  const result = refitChords(c, tolerance);
  if (result === null) throw new Error("nothing was refitted");
  expect(chainFaults(result.contour)).toEqual([]);
  const { segments } = result.contour;
  const arcs = segments.filter((s) => s.kind === "arc");
  return { ...result, segments, arcs };
}

describe("short chords made into curves again", () => {
  // Check values: so many chords keep a sagitta of 0.001 mm, R (1 − cos(π / n)).
  it.each([
    [1, 71],
    [10, 223],
    [50, 497],
  ])(
    "a circle of radius %d in %d chords lies 0.001 mm off its curve, one chord fewer lies farther",
    (radius, n) => {
      const off = (count: number): number =>
        flattenedChords(
          polygonContour(arcPoints(radius, 0, 2 * PI, count).slice(0, -1)),
          0.002,
        ).sagitta;
      expect(off(n)).toBeLessThanOrEqual(0.001 + 1e-7);
      expect(off(n - 1)).toBeGreaterThan(0.001);
    },
  );

  // Check value: a circle of radius 10 in chords of sagitta 0.001 has 223 sides.
  const sides = Math.ceil(PI / Math.acos(1 - 0.001 / 10));
  const circle = arcPoints(10, 0, 2 * PI, sides).slice(0, -1);

  it.each([12, 6, 4])(
    "223 sides with %d digits are one circle of radius 10",
    (digits) => {
      expect(sides).toBe(223);
      const drawn = polygonContour(rounded(circle, digits));
      const { segments, chords, size } = refitted(drawn, 0.001);
      expect(chords).toBe(223);
      expect(segments).toHaveLength(2);
      for (const s of segments)
        expect(s.kind === "arc" && Math.abs(s.radius - 10)).toBeLessThan(
          10 ** -digits + 1e-9,
        );
      // The middles of the chords lie as far inside as the circle was flattened: 10·(1 − cos(π/223)).
      expect(Math.abs(size - 10 * (1 - Math.cos(PI / 223)))).toBeLessThan(
        10 ** -digits + 1e-6,
      );
    },
  );

  it("a slot with round ends is two lines and two arcs, tangent", () => {
    const points = [
      ...arcPoints(2, -PI / 2, PI / 2, 60, 30),
      ...arcPoints(2, PI / 2, 1.5 * PI, 60),
    ];
    const { contour, segments, arcs } = refitted(polygonContour(points), 0.001);
    expect([segments.length, arcs.length]).toEqual([4, 2]);
    expect(contourArea(contour)).toBeCloseTo(4 * PI + 120, 9);
    expect(contourLength(contour)).toBeCloseTo(4 * PI + 60, 9);
    expect(sharpestJoint(contour)).toBeLessThan(1e-3);
  });

  it("an ellipse in 400 chords is tens of tangent arcs near the true one", () => {
    const at = (t: number): Vec => ({
      x: 50 * Math.cos(t),
      y: 30 * Math.sin(t),
    });
    const points = Array.from({ length: 400 }, (_, i) => at((i * PI) / 200));
    const { contour, segments, arcs } = refitted(polygonContour(points), 0.002);
    expect(arcs.length).toBe(segments.length);
    expect(segments.length).toBeLessThan(80);
    expect(sharpestJoint(contour)).toBeLessThan(1e-5);
    const truth = Array.from({ length: 4000 }, (_, i) => at((i * PI) / 2000));
    expect(worstOff(segments, truth)).toBeLessThan(0.001);
  });

  it("corners stay where they were, to the last bit", () => {
    // Half a disc of radius 10 on its straight side: the corners are at (±10, 0).
    const points = arcPoints(10, 0, PI, 110);
    const { segments, arcs, contour } = refitted(polygonContour(points), 0.002);
    expect([segments.length, arcs.length]).toEqual([2, 1]);
    expect(segments.map((s) => s.start)).toContainEqual(points[0]);
    expect(segments.map((s) => s.end)).toContainEqual(points[110]);
    expect(contourArea(contour)).toBeCloseTo(50 * PI, 9);
    // A shallow corner between long sides, and one of a saw with short ones.
    const shallow = [
      on(10, 0),
      { x: 10, y: 30 },
      { x: 9.7, y: 60 },
      { x: -9, y: 60 },
    ];
    expect(refitChords(polygonContour(shallow), 0.001)).toBeNull();
    const saw = Array.from({ length: 40 }, (_, i) => ({
      x: i * 0.1,
      y: (i % 2) * 0.05,
    }));
    expect(
      refitChords(polygonContour([...saw, { x: 2, y: 9 }]), 0.001),
    ).toBeNull();
  });

  it("polygons and broken corners are left alone", () => {
    for (const n of [3, 6, 12, 48])
      expect(
        refitChords(
          polygonContour(arcPoints(10, 0, 2 * PI, n).slice(1)),
          0.001,
        ),
      ).toBeNull();
    const broken = [0, 1, 2, 3].flatMap((k) =>
      arcPoints(
        0.5,
        (k * PI) / 2,
        ((k + 1) * PI) / 2,
        3,
        k % 3 === 0 ? 9 : -9,
        k < 2 ? 9 : -9,
      ),
    );
    expect(refitChords(polygonContour(broken), 0.001)).toBeNull();
  });

  it("an open chain keeps its ends", () => {
    const points = arcPoints(5, 0.3, 2.9, 80);
    const closed = polygonContour(points);
    const drawn = { closed: false, segments: closed.segments.slice(0, -1) };
    const { segments } = refitted(drawn, 0.001);
    expect(segments).toHaveLength(1);
    expect(segments[0]?.start).toEqual(points[0]);
    expect(segments[0]?.end).toEqual(points[80]);
    expect(distanceFrom(segments[0] as never, on(5, 1.7))).toBeLessThan(1e-9);
  });

  it("are counted without being changed", () => {
    const { chords, sagitta } = flattenedChords(polygonContour(circle), 0.02);
    expect(chords).toBe(223);
    expect(sagitta).toBeCloseTo(10 * (1 - Math.cos(PI / 223)), 6);
    const square = polygonContour([on(1, 0), on(1, 2), on(1, 4)]);
    expect(flattenedChords(square, 0.02).chords).toBe(0);
  });
});
