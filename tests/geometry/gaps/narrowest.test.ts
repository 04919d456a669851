import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  counterClockwise,
  polygonContour,
  windingNumber,
} from "../../../src/geometry/contour.js";
import { findConflicts } from "../../../src/geometry/crossings.js";
import {
  type Gap,
  type Material,
  narrowestGaps,
  smallestInsideRadius,
} from "../../../src/geometry/gaps/narrowest.js";
import { pointAt, segmentFromBulge } from "../../../src/geometry/segment.js";
import { distance, type Vec } from "../../../src/geometry/vec.js";
import { distanceFrom } from "../../helpers/nearness.js";

const polygon = (...points: [number, number][]): Contour =>
  counterClockwise(polygonContour(points.map(([x, y]) => ({ x, y }))));

const path = (...vertices: [number, number, number][]): Contour => ({
  closed: true,
  segments: vertices.flatMap(([x, y, bulge], i) => {
    const [nx, ny] = vertices[(i + 1) % vertices.length] as [
      number,
      number,
      number,
    ];
    return segmentFromBulge({ x, y }, { x: nx, y: ny }, bulge) ?? [];
  }),
});

/** Openings in a plate: inside an odd number of contours is waste. */
const inPlate =
  (contours: readonly Contour[]) =>
  (p: Vec): Material =>
    contours.filter((c) => windingNumber(c, p) !== 0).length % 2 === 1
      ? "waste"
      : "kept";

const gapsOf = (...contours: Contour[]) =>
  narrowestGaps(contours, inPlate(contours));

function widths({ slot, web }: { slot: Gap | null; web: Gap | null }) {
  return { slot: slot?.width ?? null, web: web?.width ?? null };
}

describe("the narrowest slot and the thinnest web", () => {
  it("among 2,000 round openings that hold nothing is the metal between the two nearest", () => {
    const holes = Array.from({ length: 2000 }, (_, i) =>
      circleContour(
        {
          x: 10 * (i % 50) + (i === 777 ? 0.5 : 0),
          y: 10 * Math.floor(i / 50),
        },
        2,
      ),
    );
    const plate = circleContour({ x: 250, y: 200 }, 400);
    const inHole = (p: Vec): boolean =>
      [-1, 0, 1].some((k) => {
        const row = Math.round(p.y / 10);
        const i = 50 * row + Math.round(p.x / 10) + k;
        const hole = holes[i]?.segments[0];
        return hole?.kind === "arc" && distance(hole.center, p) < hole.radius;
      });
    const { slot, web } = narrowestGaps([plate, ...holes], (p) =>
      inHole(p) ? "waste" : "kept",
    );
    expect(slot).toBeNull();
    expect(web?.width).toBeCloseTo(5.5, 9);
    expect(web?.at.x).toBeCloseTo(275.25, 9);
  });

  it("of two round openings is the metal between their centres: 13 − 5 − 5 = 3", () => {
    const { slot, web } = gapsOf(
      circleContour({ x: 0, y: 0 }, 5),
      circleContour({ x: 13, y: 0 }, 5),
    );
    expect(slot).toBeNull();
    expect(web).toEqual({
      width: 3,
      at: { x: 6.5, y: 0 },
      ends: expect.arrayContaining([
        { x: 5, y: 0 },
        { x: 8, y: 0 },
      ]),
    });
  });

  it("of a slot with round ends is its width, not the diameter of its ends", () => {
    const slot = path([0, 0, 0], [10, 0, 1], [10, 0.2, 0], [0, 0.2, 1]);
    expect(gapsOf(slot).slot).toMatchObject({
      width: expect.closeTo(0.2, 12),
      at: { x: expect.closeTo(5, 9), y: expect.closeTo(0.1, 9) },
    });
  });

  it("of a round hole is nothing: no two stretches face each other, only the radius counts", () => {
    expect(widths(gapsOf(circleContour({ x: 1, y: 2 }, 3)))).toEqual({
      slot: null,
      web: null,
    });
  });

  it("of a rectangle is its shorter side", () => {
    expect(widths(gapsOf(polygon([0, 0], [10, 0], [10, 4], [0, 4])))).toEqual({
      slot: 4,
      web: null,
    });
  });

  it("at a notch is from the tip to the side across", () => {
    const notched = polygon(
      [0, 0],
      [10, 0],
      [10, 4],
      [6, 4],
      [5, 1],
      [4, 4],
      [0, 4],
    );
    expect(gapsOf(notched).slot).toMatchObject({
      width: 1,
      ends: expect.arrayContaining([{ x: 5, y: 0 }]),
    });
  });

  it("between two tips is from tip to tip", () => {
    const waist = polygon(
      [0, 0],
      [4, 0],
      [5, 3],
      [6, 0],
      [10, 0],
      [10, 8],
      [6.5, 8],
      [5.4, 3.3],
      [4.5, 8],
      [0, 8],
    );
    // From (5, 3) to (5.4, 3.3): 0.5.
    expect(gapsOf(waist).slot?.width).toBeCloseTo(0.5, 12);
  });

  it("between a tip and an arc lies on the arc's radius", () => {
    // Tip at (0, 3) over a bump of radius 2 about the origin: 1.
    const shape = path(
      [-6, -1, 0],
      [-Math.sqrt(3), -1, 0],
      [-Math.sqrt(3), 1, -Math.tan(Math.PI / 6)],
      [Math.sqrt(3), 1, 0],
      [Math.sqrt(3), -1, 0],
      [6, -1, 0],
      [6, 9, 0],
      [1, 9, 0],
      [0, 3, 0],
      [-1, 9, 0],
      [-6, 9, 0],
    );
    expect(gapsOf(shape).slot?.width).toBeCloseTo(1, 9);
  });

  it("of a ring groove is the difference of the radii less the offset of the centres: 5 − 4 − 0.1", () => {
    const gaps = gapsOf(
      circleContour({ x: 0, y: 0 }, 5),
      circleContour({ x: 0.1, y: 0 }, 4),
    );
    expect(gaps.slot?.width).toBeCloseTo(0.9, 12);
    expect(gaps.slot?.at.x).toBeCloseTo(4.55, 9);
  });

  it("of a ring groove with one centre is the same everywhere", () => {
    expect(
      widths(
        gapsOf(
          circleContour({ x: 0, y: 0 }, 5),
          circleContour({ x: 0, y: 0 }, 4.7),
        ),
      ),
    ).toMatchObject({ slot: expect.closeTo(0.3, 12) });
  });

  it("of a slot whose walls close by a hair is at its narrow end", () => {
    const tapered = polygon([0, 0], [10, 0], [10, 0.2], [0, 0.21]);
    const slot = gapsOf(tapered).slot as Gap;
    expect(slot.width).toBeCloseTo(0.2, 3);
    expect(slot.at.x).toBeGreaterThan(9.9);
  });

  it("at a sharp groove is nothing: its walls meet round the corner", () => {
    expect(gapsOf(polygon([0, 0], [5, 0], [2.5, 9])).slot).toBeNull();
  });

  it("of a U is the bay between its arms as web, the arm as slot", () => {
    const u = polygon(
      [0, 0],
      [20, 0],
      [20, 10],
      [11, 10],
      [11, 3],
      [10, 3],
      [10, 10],
      [0, 10],
    );
    expect(widths(gapsOf(u))).toEqual({ slot: 3, web: 1 });
  });

  it("does not look through an outline: behind a rib lies another slot", () => {
    // Two openings 1 mm wide with a rib of 0.5 mm: no web of 2.5 mm, no slot of 2.5 mm.
    const left = polygon([0, 0], [1, 0], [1, 20], [0, 20]);
    const right = polygon([1.5, 0], [2.5, 0], [2.5, 20], [1.5, 20]);
    expect(widths(gapsOf(left, right))).toEqual({ slot: 1, web: 0.5 });
  });

  it("between outlines is their least distance, as dense sampling finds it", () => {
    const corner = fc.record({
      r: fc.double({ min: 2, max: 9, noNaN: true }),
      bulge: fc.constantFrom(0, 0, 0.2, -0.15),
    });
    const blob = fc.array(corner, { minLength: 3, maxLength: 8 });
    const place = (
      corners: { r: number; bulge: number }[],
      x: number,
    ): Contour =>
      counterClockwise(
        path(
          ...corners.map(({ r, bulge }, i): [number, number, number] => {
            const a = (2 * Math.PI * i) / corners.length + 0.3;
            return [x + r * Math.cos(a), r * Math.sin(a), bulge];
          }),
        ),
      );
    fc.assert(
      fc.property(blob, blob, (one, other) => {
        const a = place(one, 0);
        const b = place(other, 24);
        fc.pre(findConflicts([a, b]).length === 0);
        const web = narrowestGaps([a, b], inPlate([a, b])).web as Gap;
        const onto = (from: Contour, to: Contour) =>
          Math.min(
            ...from.segments.flatMap((s) =>
              Array.from({ length: 101 }, (_, i) => {
                const p = pointAt(s, i / 100);
                return Math.min(...to.segments.map((t) => distanceFrom(t, p)));
              }),
            ),
          );
        const least = Math.min(onto(a, b), onto(b, a));
        // Between samples 0.1 mm apart the distance can fall by 0.1²/(8·least) and a little for the bend.
        expect(web.width).toBeLessThan(least + 1e-9);
        if (web.width < least - 0.003) {
          // Then it is a bay of one of them that is narrower than the metal between the two.
          const [p, q] = web.ends;
          const owner = (v: Vec) =>
            Math.min(...a.segments.map((s) => distanceFrom(s, v))) < 1e-6
              ? "a"
              : "b";
          expect(owner(p)).toBe(owner(q));
        }
      }),
      { numRuns: 60 },
    );
  });
});

describe("the smallest inside radius", () => {
  const slot = path([0, 0, 0], [10, 0, 1], [10, 0.2, 0], [0, 0.2, 1]);

  it("of a slot seen from inside is half its width; seen from outside nothing bends round the wire", () => {
    expect(smallestInsideRadius(slot, "inside")?.value).toBeCloseTo(0.1, 12);
    expect(smallestInsideRadius(slot, "outside")).toBeNull();
  });

  it("at a sharp inside corner is 0, with its place", () => {
    const square = polygon([0, 0], [4, 0], [4, 4], [0, 4]);
    expect(smallestInsideRadius(square, "inside")).toEqual({
      value: 0,
      at: { x: 0, y: 0 },
    });
    expect(smallestInsideRadius(square, "outside")).toBeNull();
  });

  it("does not take a circle drawn as 200 chords for 200 sharp corners", () => {
    const chords = polygon(
      ...Array.from({ length: 200 }, (_, i): [number, number] => [
        Math.cos((2 * Math.PI * i) / 200),
        Math.sin((2 * Math.PI * i) / 200),
      ]),
    );
    expect(smallestInsideRadius(chords, "inside")).toBeNull();
  });
});
