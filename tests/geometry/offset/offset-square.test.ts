import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  contourArea,
  contourLength,
  polygonContour,
  reverseContour,
  turnBetween,
} from "../../../src/geometry/contour.js";
import { indexSegments } from "../../../src/geometry/distance.js";
import { loopContour, offsetLeft } from "../../../src/geometry/offset.js";
import { pointAt, type Segment } from "../../../src/geometry/segment.js";
import { random, randomContour, rounded } from "../../helpers/shapes.js";

const polygon = (...points: [number, number][]): Contour =>
  polygonContour(points.map(([x, y]) => ({ x, y })));
const outward = (contours: Contour[], d: number): Contour[] =>
  offsetLeft(contours.map(reverseContour), d, { corners: "square" }).map(
    loopContour,
  );
const only = (loops: Contour[]): Contour => {
  expect(loops).toHaveLength(1);
  return loops[0] as Contour;
};
const d = 0.145;

describe("square corners, by formula", () => {
  it("make a 10 mm square one of 10.29 mm with four lines, and know its edges", () => {
    const square = polygon([0, 0], [10, 0], [10, 10], [0, 10]);
    const c = only(outward([square], d));
    expect(-contourArea(c)).toBeCloseTo(10.29 ** 2, 10);
    expect(c.segments.map((s) => s.kind)).toEqual(Array(4).fill("line"));
    const [loop] = offsetLeft([reverseContour(square)], d, {
      corners: "square",
    });
    expect(loop?.segments.map((s) => [s.from, s.to, s.corner])).toEqual(
      Array(4).fill([0, 1, false]),
    );
  });

  it("grow convex polygons by A + P·d + d²·Σ tan(turn / 2)", () => {
    const rnd = random(7);
    for (let k = 0; k < 40; k++) {
      const n = 4 + Math.floor(rnd() * 6);
      // On a circle, so convex; each turn is under 132°.
      const shift = rnd();
      const c = polygonContour(
        Array.from({ length: n }, (_, i) => {
          const a = ((i + shift + 0.4 * rnd()) * 2 * Math.PI) / n;
          return { x: 5 * Math.cos(a), y: 5 * Math.sin(a) };
        }),
      );
      const tangents = c.segments.reduce((sum, s, i) => {
        const turn = turnBetween(s, c.segments[(i + 1) % n] as Segment);
        return sum + Math.tan(turn / 2);
      }, 0);
      for (const by of [0.01, 0.4, 7]) {
        const expected =
          contourArea(c) + contourLength(c) * by + by * by * tangents;
        expect(-contourArea(only(outward([c], by))) / expected).toBeCloseTo(
          1,
          11,
        );
      }
    }
  });

  it("stay square where the wire goes round an inside step of an opening", () => {
    const ell = polygon([0, 0], [10, 0], [10, 5], [5, 5], [5, 10], [0, 10]);
    const loops = offsetLeft([ell], d, { corners: "square" }).map(loopContour);
    expect(contourArea(only(loops))).toBeCloseTo(9.71 ** 2 - 25, 10);
  });

  it("are trimmed against other parts, and trim them", () => {
    // Two squares corner to corner, 0.1 mm apart both ways: 10.29² and 10.19² share a square of 0.19.
    const c = only(
      outward(
        [
          polygon([0, 0], [10, 0], [10, 10], [0, 10]),
          polygon([10.1, 10.1], [20, 10.1], [20, 20], [10.1, 20]),
        ],
        d,
      ),
    );
    expect(-contourArea(c)).toBeCloseTo(10.29 ** 2 + 10.19 ** 2 - 0.19 ** 2, 9);
  });

  it("reach into a neighbour that a rolled corner would miss", () => {
    // Corner to corner it is 0.21·√2 = 0.297 mm, more than 2·0.145; edge to edge 0.21, less than that.
    const loops = (corners: "rolled" | "square"): number =>
      offsetLeft(
        [
          reverseContour(polygon([0, 0], [10, 0], [10, 10], [0, 10])),
          reverseContour(
            polygon([10.21, 10.21], [12, 10.21], [12, 12], [10.21, 12]),
          ),
        ],
        d,
        { corners },
      ).length;
    expect(loops("rolled")).toBe(2);
    expect(loops("square")).toBe(1);
  });

  it("are rolled where sharper than 48°, and beside arcs", () => {
    const needle = only(outward([polygon([0, 0], [10, 0], [10, 3])], d));
    // 16.7° at the tip is rolled, 90° and 73.3° are square.
    expect(needle.segments.filter((s) => s.kind === "arc")).toHaveLength(1);
    const r = rounded(
      [
        { x: 0, y: 0 },
        { x: 9, y: 0 },
        { x: 9, y: 9 },
      ],
      1,
    );
    const rolled = offsetLeft([reverseContour(r)], d).map(loopContour);
    expect(outward([r], d).map(contourArea)).toEqual(rolled.map(contourArea));
    const circle = circleContour({ x: 1, y: 2 }, 3);
    expect(contourLength(only(outward([circle], d)))).toBeCloseTo(
      2 * Math.PI * 3.145,
      10,
    );
  });
});

describe("square corners of anything", () => {
  it("are nowhere nearer than d, at most 2.5 d away, and take no less room than rolled ones", () => {
    for (let seed = 1; seed < 60; seed++) {
      const rnd = random(seed);
      const c = randomContour(rnd);
      if (!c) continue;
      const by = 0.03 + rnd() * 0.6;
      const index = indexSegments(c.segments);
      for (const side of [c, reverseContour(c)]) {
        const square = offsetLeft([side], by, { corners: "square" });
        for (const { segments } of square) {
          for (const s of segments) {
            for (const t of [0, 0.3, 0.5, 0.8]) {
              const away = index.nearest(pointAt(s.segment, t))?.distance ?? 0;
              expect(away - by, `seed ${seed}`).toBeGreaterThan(-1e-9);
              expect(away, `seed ${seed}`).toBeLessThan(2.5 * by + 1e-9);
            }
          }
        }
        const free = (loops: readonly Contour[]): number =>
          loops.reduce((sum, l) => sum + contourArea(l), 0);
        expect(free(square.map(loopContour)), `seed ${seed}`).toBeLessThan(
          free(offsetLeft([side], by).map(loopContour)) + 1e-7,
        );
      }
    }
  });
});
