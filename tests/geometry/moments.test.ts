import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  polygonContour,
  reverseContour,
} from "../../src/geometry/contour.js";
import { principalAxes, secondMoments } from "../../src/geometry/moments.js";
import { rotate, type Vec } from "../../src/geometry/vec.js";
import { flatten } from "../helpers/clipper.js";
import { bulged, random, randomContour } from "../helpers/shapes.js";

const rectangle = (b: number, h: number, at: Vec, angle: number): Contour =>
  polygonContour(
    [
      { x: 0, y: 0 },
      { x: b, y: 0 },
      { x: b, y: h },
      { x: 0, y: h },
    ].map((p) => {
      const r = rotate(p, angle);
      return { x: r.x + at.x, y: r.y + at.y };
    }),
  );

describe("the second moments of area about the centroid", () => {
  it("of a disc are πr⁴/4 either way, and nothing mixed (exact mathematics)", () => {
    const m = secondMoments(circleContour({ x: 120, y: -40 }, 3));
    expect(m.xx).toBeCloseTo((Math.PI * 81) / 4, 9);
    expect(m.yy).toBeCloseTo((Math.PI * 81) / 4, 9);
    expect(m.xy).toBeCloseTo(0, 9);
  });

  it("of a rectangle are b³h/12 and bh³/12 (exact mathematics)", () => {
    const m = secondMoments(rectangle(7, 2, { x: 5, y: 9 }, 0));
    expect(m.xx).toBeCloseTo((343 * 2) / 12, 10);
    expect(m.yy).toBeCloseTo((7 * 8) / 12, 10);
    expect(m.xy).toBeCloseTo(0, 10);
  });

  it("of a half disc are πr⁴/8 along its edge and (π/8 − 8/9π)r⁴ across (exact mathematics)", () => {
    const m = secondMoments(
      bulged([
        [-3, 0, 0],
        [3, 0, 1],
      ]),
    );
    expect(m.xx).toBeCloseTo((Math.PI / 8) * 81, 10);
    expect(m.yy).toBeCloseTo((Math.PI / 8 - 8 / (9 * Math.PI)) * 81, 10);
  });

  it("of a right triangle with legs a and b have ∫xy = −a²b²/72 (exact mathematics)", () => {
    const m = secondMoments(
      polygonContour([
        { x: 0, y: 0 },
        { x: 4, y: 0 },
        { x: 0, y: 3 },
      ]),
    );
    expect(m.xy).toBeCloseTo(-(16 * 9) / 72, 12);
  });

  it("of a disc drawn as arcs of one degree or as one arc and a hair of a line are the disc's", () => {
    const degree = Math.tan(Math.PI / 720);
    const many = bulged(
      Array.from({ length: 360 }, (_, i) => {
        const a = (i * Math.PI) / 180;
        return [5 * Math.cos(a), 5 * Math.sin(a), degree] as const;
      }),
    );
    const gap = 1e-5;
    const one = bulged([
      [
        5 * Math.cos(gap),
        5 * Math.sin(gap),
        Math.tan((2 * Math.PI - 2 * gap) / 4),
      ],
      [5 * Math.cos(gap), -5 * Math.sin(gap), 0],
    ]);
    for (const c of [many, one]) {
      const m = secondMoments(c);
      expect(m.xx / ((Math.PI * 625) / 4)).toBeCloseTo(1, 9);
      expect(m.yy / ((Math.PI * 625) / 4)).toBeCloseTo(1, 9);
    }
  });

  it("of a square with one edge an arc of 25 km radius are the square's but for its sagitta", () => {
    const m = secondMoments(
      bulged([
        [0, 0, 1e-7],
        [10, 0, 0],
        [10, 10, 0],
        [0, 10, 0],
      ]),
    );
    // Its centroid too: (100·5 + 3.3e-6·0) / (100 + 3.3e-6).
    expect(m.centroid.y).toBeCloseTo(500 / (100 + (2 / 3) * 10 * 5e-7), 10);
    // The cap of 5·10⁻⁷ mm adds about 3.3e-6 mm² some 5 mm off: 8e-5 mm⁴.
    expect(m.yy).toBeCloseTo(10_000 / 12 + (2 / 3) * 10 * 5e-7 * 25, 8);
  });

  it("of anything are those of its fine polygon, and change sign when it is turned back", () => {
    for (let seed = 1; seed <= 60; seed++) {
      const c = randomContour(random(seed));
      if (!c) continue;
      const chord = 1e-5;
      const m = secondMoments(c);
      const fine = secondMoments(polygonContour(flatten(c, chord)));
      const back = secondMoments(reverseContour(c));
      for (const k of ["xx", "yy", "xy"] as const) {
        // Outlines of these families are under 100 mm long and keep within 10 mm of the middle.
        expect(Math.abs(m[k] - fine[k])).toBeLessThan(chord * 100 * 100);
        expect(back[k]).toBeCloseTo(-m[k], 8);
      }
    }
  });
});

describe("the principal axes", () => {
  it("of a turned rectangle lie along its sides", () => {
    for (const angle of [-1.2, 0, 0.3, 1.5]) {
      const axes = principalAxes(
        secondMoments(rectangle(7, 2, { x: 5, y: 9 }, angle)),
      );
      expect(axes.angle).toBeCloseTo(angle, 10);
      expect(axes.aboutLong).toBeCloseTo((7 * 8) / 12, 9);
      expect(axes.aboutShort).toBeCloseTo((343 * 2) / 12, 9);
    }
  });
});
