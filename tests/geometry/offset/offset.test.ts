import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  contourArea,
  contourLength,
  polygonContour,
  reverseContour,
} from "../../../src/geometry/contour.js";
import { indexSegments } from "../../../src/geometry/distance.js";
import { loopContour, offsetLeft } from "../../../src/geometry/offset.js";
import { pointAt } from "../../../src/geometry/segment.js";
import { clipperOffsetAreas } from "../../helpers/clipper.js";
import {
  bulged,
  gear,
  random,
  randomContour,
  rounded,
  star,
} from "../../helpers/shapes.js";

const polygon = (...points: [number, number][]): Contour =>
  polygonContour(points.map(([x, y]) => ({ x, y })));
const square = polygon([0, 0], [10, 0], [10, 10], [0, 10]);
const inward = (c: Contour, d: number): Contour[] =>
  offsetLeft([c], d).map(loopContour);
const outward = (c: Contour, d: number): Contour[] =>
  offsetLeft([reverseContour(c)], d).map(loopContour);
const only = (loops: Contour[]): Contour => {
  expect(loops).toHaveLength(1);
  return loops[0] as Contour;
};

describe("the offset of simple shapes, by formula", () => {
  it("a 10 mm square outward by 0.145 is 40.91106187 long and 105.86605199 in area", () => {
    // 4·10 + 2π·0.145 and 100 + 40·0.145 + π·0.145² (Steiner)
    const c = only(outward(square, 0.145));
    expect(contourLength(c)).toBeCloseTo(40.91106187, 8);
    expect(-contourArea(c)).toBeCloseTo(105.86605199, 8);
    expect(c.segments.filter((s) => s.kind === "arc")).toHaveLength(4);
  });

  it("a 10 mm square inward by 0.145 is a square of 9.71, 38.84 long", () => {
    const c = only(inward(square, 0.145));
    expect(contourLength(c)).toBeCloseTo(38.84, 10);
    expect(c.segments.every((s) => s.kind === "line")).toBe(true);
  });

  it("a 20 mm hole has a wire path of 19.71 mm, a 20 mm punch one of 20.29 mm", () => {
    const hole = circleContour({ x: 3, y: 4 }, 10);
    expect(contourLength(only(inward(hole, 0.145)))).toBeCloseTo(
      Math.PI * 19.71,
      10,
    );
    expect(contourLength(only(outward(hole, 0.145)))).toBeCloseTo(
      Math.PI * 20.29,
      10,
    );
  });

  it("convex shapes grow by Steiner's formula A + P·d + π·d²", () => {
    const shapes = [
      rounded(star(3, 5, 5), 0.7),
      polygon([0, 0], [7, 1], [5, 6]),
      circleContour({ x: 0, y: 0 }, 2),
    ];
    for (const c of shapes) {
      for (const d of [0.01, 0.145, 1, 25]) {
        const expected =
          contourArea(c) + contourLength(c) * d + Math.PI * d * d;
        expect(-contourArea(only(outward(c, d))) / expected).toBeCloseTo(1, 10);
      }
    }
  });
});

describe("the offset in tight places", () => {
  const d = 0.15;
  it("does not enter a slot of exactly the kerf's width", () => {
    expect(
      inward(polygon([0, 0], [10, 0], [10, 0.3], [0, 0.3]), d),
    ).toHaveLength(0);
  });

  it("enters a slot 2 µm wider, as a loop 9.7 mm long and 2 µm wide", () => {
    expect(
      contourArea(
        only(inward(polygon([0, 0], [10, 0], [10, 0.302], [0, 0.302]), d)),
      ),
    ).toBeCloseTo(0.0194, 9);
  });

  it("falls apart at a neck of exactly the kerf's width into two loops", () => {
    const dumbbell = polygon(
      [0, 0],
      [4, 0],
      [4, 1.85],
      [6, 1.85],
      [6, 0],
      [10, 0],
      [10, 4],
      [6, 4],
      [6, 2.15],
      [4, 2.15],
      [4, 4],
      [0, 4],
    );
    expect(inward(dumbbell, d)).toHaveLength(2);
  });

  it("vanishes in a hole of the offset's own radius and is a 1 µm circle in one 1 µm larger", () => {
    expect(inward(circleContour({ x: 0, y: 0 }, d), d)).toHaveLength(0);
    const c = only(inward(circleContour({ x: 0, y: 0 }, d + 0.001), d));
    expect(contourLength(c)).toBeCloseTo(2 * Math.PI * 0.001, 9);
  });

  it("keeps a fillet larger than the offset and trims one that is smaller or equal", () => {
    for (const [r, arcs] of [
      [0.2, 4],
      [0.15, 0],
      [0.1, 0],
      [0.15 * (1 + 1e-9), 0],
    ] as const) {
      const c = only(
        inward(
          rounded(
            [
              { x: 0, y: 0 },
              { x: 10, y: 0 },
              { x: 10, y: 10 },
              { x: 0, y: 10 },
            ],
            r,
          ),
          d,
        ),
      );
      expect(
        c.segments.filter((s) => s.kind === "arc" && s.radius > 1e-6),
      ).toHaveLength(arcs);
      expect(contourArea(c)).toBeCloseTo(
        9.7 ** 2 - (arcs ? (4 - Math.PI) * (r - d) ** 2 : 0),
        8,
      );
    }
  });

  it("goes round a zero-width spike on either side", () => {
    // The spike is a wall 5 mm long: rolled round, it takes 2·d·5 and half a disc, less where it meets the edge.
    const withSpike = polygon(
      [0, 0],
      [10, 0],
      [10, 10],
      [5, 10],
      [5, 5],
      [5, 10],
      [0, 10],
    );
    const lost = 9.7 ** 2 - contourArea(only(inward(withSpike, d)));
    expect(lost).toBeCloseTo(2 * d * (5 - d) + (Math.PI * d * d) / 2, 9);
    // From outside it is a slit without width, into which nothing goes.
    expect(-contourArea(only(outward(withSpike, d)))).toBeCloseTo(
      100 + 40 * d + Math.PI * d * d,
      9,
    );
  });

  it("takes an almost straight arc of 25 km radius for what it is", () => {
    const c = only(
      inward(
        bulged([
          [0, 0, 1e-7],
          [10, 0, 0],
          [10, 10, 0],
          [0, 10, 0],
        ]),
        d,
      ),
    );
    expect(contourArea(c)).toBeCloseTo(9.7 ** 2, 4);
  });

  it("passes 1 µm segments and 501 points on a line", () => {
    const micro = Array.from({ length: 1001 }, (_, i): [number, number] => [
      i / 1000,
      0,
    ]);
    expect(
      contourArea(only(inward(polygon(...micro, [1, 1], [0, 1]), d))),
    ).toBeCloseTo(0.49, 9);
    const dense = Array.from({ length: 501 }, (_, i): [number, number] => [
      i / 50,
      0,
    ]);
    expect(
      contourArea(only(inward(polygon(...dense, [10, 10], [0, 10]), d))),
    ).toBeCloseTo(94.09, 9);
  });

  it("gives one loop round two islands whose kerfs meet, also when they just touch", () => {
    for (const gap of [0.2, 0.3]) {
      const loops = offsetLeft(
        [
          square,
          reverseContour(polygon([4, 4], [6, 4], [6, 6], [4, 6])),
          reverseContour(polygon([6 + gap, 4], [8, 4], [8, 6], [6 + gap, 6])),
        ],
        d,
      );
      expect(loops).toHaveLength(2);
    }
  });
});

describe("the offset of anything", () => {
  const shapes = Array.from({ length: 120 }, (_, i) => {
    const rnd = random(1000 + i);
    const c = randomContour(rnd);
    return c ? { c, d: 0.03 + rnd() * 0.6, seed: 1000 + i } : null;
  }).filter((s) => s !== null);

  it("is nowhere nearer to the outline than d, nor farther, by more than a nanometre", () => {
    for (const { c, d } of shapes) {
      const index = indexSegments(c.segments);
      for (const loop of [...inward(c, d), ...outward(c, d)]) {
        for (const s of loop.segments) {
          for (const t of [0, 0.13, 0.5, 0.8, 1]) {
            const near = index.nearest(pointAt(s, t));
            expect(Math.abs((near?.distance ?? 0) - d)).toBeLessThan(1e-9);
          }
        }
      }
    }
  });

  it("has the loops and the area of clipper-lib's answer on the same shape cut into 10 nm chords", () => {
    for (const { c, d, seed } of shapes) {
      for (const sign of [-1, 1]) {
        const ours = (sign < 0 ? inward(c, d) : outward(c, d)).map(
          (l) => -sign * contourArea(l),
        );
        const seen = (areas: number[]): number[] =>
          areas.filter((a) => Math.abs(a) > 1e-4).sort((a, b) => a - b);
        const theirs = seen(clipperOffsetAreas([c], sign * d));
        expect(seen(ours), `seed ${seed}`).toHaveLength(theirs.length);
        const sum = (areas: number[]): number =>
          areas.reduce((a, b) => a + b, 0);
        expect(
          Math.abs(sum(seen(ours)) - sum(theirs)),
          `seed ${seed}`,
        ).toBeLessThan(1e-4 + 3e-5 * (contourLength(c) + 2 * Math.PI * d));
      }
    }
  }, 240_000);

  it("in, out and in again is in once (opening identity)", () => {
    for (const { c, d } of shapes.slice(0, 40)) {
      const once = inward(c, d);
      const back = once.flatMap((loop) => outward(loop, d).map(reverseContour));
      const again = back.flatMap((loop) => inward(loop, d));
      const area = (loops: Contour[]): number =>
        loops.reduce((sum, l) => sum + contourArea(l), 0);
      expect(area(again)).toBeCloseTo(area(once), 5);
    }
  });

  it("knows which stretch of outline each piece is parallel to", () => {
    for (const { c, d } of shapes.slice(0, 40)) {
      for (const loop of offsetLeft([c], d)) {
        for (const p of loop.segments) {
          const source = c.segments[p.index];
          if (!source) throw new Error("no source");
          const from = p.corner
            ? source.end
            : pointAt(source, (p.from + p.to) / 2);
          const gap = Math.hypot(
            from.x - pointAt(p.segment, 0.5).x,
            from.y - pointAt(p.segment, 0.5).y,
          );
          expect(gap).toBeCloseTo(d, 8);
        }
      }
    }
  });

  it("comes out as one loop round all teeth of a gear of 2,000 segments", () => {
    const c = gear(500, 175, 173.8, 0.35);
    expect(only(inward(c, 0.1)).segments.length).toBeGreaterThan(2000);
  });
});
