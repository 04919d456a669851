import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  contourArea,
  contourLength,
  polygonContour,
  reverseContour,
} from "../../../src/geometry/contour.js";
import { loopContour, offsetLeft } from "../../../src/geometry/offset.js";
import { arcAbout, line, type Segment } from "../../../src/geometry/segment.js";

const d = 0.145;
const polygon = (...points: [number, number][]): Contour =>
  polygonContour(points.map(([x, y]) => ({ x, y })));
const inward = (c: Contour): Contour[] => offsetLeft([c], d).map(loopContour);
const outward = (c: Contour): Contour[] => inward(reverseContour(c));
const area = (loops: readonly Contour[]): number =>
  loops.reduce((sum, l) => sum + contourArea(l), 0);
const steiner = (c: Contour): number =>
  contourArea(c) + contourLength(c) * d + Math.PI * d * d;

describe("the offset of outlines as drawings have them", () => {
  it("takes one arc that closes but for a millionth of a turn for a circle", () => {
    const arc = arcAbout({ x: 0, y: 0 }, 10, 0, 2 * Math.PI - 1e-6);
    const c = { closed: true, segments: [arc, line(arc.end, arc.start)] };
    expect(area(inward(c))).toBeCloseTo(Math.PI * 9.855 ** 2, 6);
    expect(-area(outward(c))).toBeCloseTo(Math.PI * 10.145 ** 2, 6);
  });

  it("keeps an arc of 300° one arc, inside and outside", () => {
    const arc = arcAbout({ x: 3, y: -2 }, 4, 0.3, (5 / 3) * Math.PI);
    const c = { closed: true, segments: [arc, line(arc.end, arc.start)] };
    const arcs = (loops: Contour[]): Segment[] =>
      loops.flatMap((l) => l.segments).filter((s) => s.kind === "arc");
    expect(arcs(inward(c))).toHaveLength(1);
    // The arc itself and the two corners it has with its chord.
    expect(arcs(outward(c))).toHaveLength(3);
    expect(-area(outward(c)) / steiner(c)).toBeCloseTo(1, 11);
  });

  it("passes over points drawn twice", () => {
    const c = polygon([0, 0], [0, 0], [10, 0], [10, 10], [10, 10], [0, 10]);
    expect(area(inward(c))).toBeCloseTo(9.71 ** 2, 10);
    expect(-area(outward(c))).toBeCloseTo(100 + 40 * d + Math.PI * d * d, 10);
  });

  it("makes nothing of a kink of 1e-9 rad, to either side", () => {
    for (const kink of [5e-9, -5e-9]) {
      const c = polygon([0, 0], [5, kink], [10, 0], [10, 10], [0, 10]);
      for (const loops of [inward(c), outward(c)]) {
        expect(loops).toHaveLength(1);
        const lines = loops[0]?.segments.filter((s) => s.kind === "line");
        expect(lines).toHaveLength(5);
      }
      expect(area(inward(c))).toBeCloseTo(9.71 ** 2, 6);
    }
  });

  it("follows a crescent whose horns meet in a point", () => {
    // Circles of radius 2 about (0, 0) and of radius 1 about (1, 0), tangent at (2, 0).
    const big = circleContour({ x: 0, y: 0 }, 2).segments;
    const small = reverseContour(circleContour({ x: 1, y: 0 }, 1)).segments;
    const c = { closed: true, segments: [...big, ...small] };
    expect(-area(outward(c))).toBeCloseTo(
      Math.PI * ((2 + d) ** 2 - (1 - d) ** 2),
      9,
    );
    // Inside, a disc of 2 − d less its lens with one of 1 + d, centres 1 apart.
    const R = 2 - d;
    const r = 1 + d;
    const lens =
      R * R * Math.acos((1 + R * R - r * r) / (2 * R)) +
      r * r * Math.acos((1 + r * r - R * R) / (2 * r)) -
      Math.sqrt((r + R - 1) * (1 + r - R) * (1 - r + R) * (1 + r + R)) / 2;
    expect(area(inward(c))).toBeCloseTo(Math.PI * R * R - lens, 9);
  });

  it("goes over a step of 1e-6 mm in an edge of 1 m", () => {
    const step = 1e-6;
    const c = polygon(
      [0, 0],
      [500, 0],
      [500, step],
      [1000, step],
      [1000, 10],
      [0, 10],
    );
    expect(area(inward(c))).toBeCloseTo(
      (1000 - 2 * d) * (10 - 2 * d) - step * (500 - d),
      6,
    );
  });

  it("gives the same a kilometre from the origin, with ends that meet to the last bit", () => {
    const at = 1e6;
    const c = polygon(
      [at, -at],
      [at + 10, -at],
      [at + 10, 10 - at],
      [at, 10 - at],
    );
    for (const [loops, expected] of [
      [inward(c), 9.71 ** 2],
      [outward(c), -(100 + 40 * d + Math.PI * d * d)],
    ] as const) {
      expect(area(loops)).toBeCloseTo(expected, 7);
      for (const { segments } of loops)
        segments.forEach((s, i) => {
          expect(s.end).toEqual(segments[(i + 1) % segments.length]?.start);
        });
    }
  });

  it("does not go between an island and the edge exactly 2d apart", () => {
    const island = polygon([8, 0.29], [12, 0.29], [12, 4.29], [8, 4.29]);
    const loops = offsetLeft(
      [polygon([0, 0], [20, 0], [20, 10], [0, 10]), reverseContour(island)],
      d,
    ).map(loopContour);
    expect(loops).toHaveLength(1);
    expect(area(loops)).toBeCloseTo(19.71 * 9.71 - steiner(island), 9);
  });

  it("goes round two islands exactly 2d apart as round one", () => {
    const a = polygon([4, 4], [8, 4], [8, 6], [4, 6]);
    const b = polygon([8.29, 4], [12, 4], [12, 6], [8.29, 6]);
    const loops = offsetLeft(
      [
        polygon([0, 0], [20, 0], [20, 10], [0, 10]),
        reverseContour(a),
        reverseContour(b),
      ],
      d,
    ).map(loopContour);
    expect(loops).toHaveLength(2);
    expect(area(loops)).toBeCloseTo(19.71 * 9.71 - steiner(a) - steiner(b), 9);
  });
});
