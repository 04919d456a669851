import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type Contour,
  contourArea,
  contourLength,
  reverseContour,
  turnBetween,
} from "../../../src/geometry/contour.js";
import { loopContour, offsetLeft } from "../../../src/geometry/offset.js";
import type { Segment } from "../../../src/geometry/segment.js";
import { bulged } from "../../helpers/shapes.js";

/** Corners on an ellipse, joined by lines or by arcs that bulge out by no more than keeps it convex. */
const convex: fc.Arbitrary<Contour> = fc
  .record({
    width: fc.double({ min: 0.1, max: 200, noNaN: true }),
    height: fc.double({ min: 0.1, max: 200, noNaN: true }),
    steps: fc.array(fc.double({ min: 0.05, max: 1, noNaN: true }), {
      minLength: 3,
      maxLength: 40,
    }),
    bend: fc.constantFrom(0, 0.3, 0.9, 1),
  })
  .map(({ width, height, steps, bend }) => {
    const round = steps.reduce((sum, s) => sum + s, 0);
    let angle = 0;
    const corners = steps.map((s) => {
      angle += (2 * Math.PI * s) / round;
      return [width * Math.cos(angle), height * Math.sin(angle), 0] as const;
    });
    const { segments } = bulged(corners);
    // The turn at the corner that segment i begins at.
    const turns = segments.map((s, i) =>
      turnBetween(segments.at(i - 1) as Segment, s),
    );
    return bulged(
      corners.map(([x, y], i) => {
        const room = Math.min(
          turns[i] as number,
          turns[(i + 1) % turns.length] as number,
        );
        return [x, y, Math.tan((bend * room) / 4)] as const;
      }),
    );
  });

describe("a convex shape grown by d", () => {
  it("has the area A + P·d + π·d² and the length P + 2π·d (Steiner 1840)", () => {
    fc.assert(
      fc.property(
        convex,
        fc.double({ min: 1e-3, max: 300, noNaN: true }),
        (c, d) => {
          const loops = offsetLeft([reverseContour(c)], d).map(loopContour);
          expect(loops).toHaveLength(1);
          const grown = loops[0] as Contour;
          const length = contourLength(c) + 2 * Math.PI * d;
          const area = contourArea(c) + contourLength(c) * d + Math.PI * d * d;
          const rounding = 1e-10 * length;
          expect(Math.abs(contourLength(grown) - length)).toBeLessThan(
            rounding,
          );
          expect(Math.abs(-contourArea(grown) - area)).toBeLessThan(
            rounding * length,
          );
        },
      ),
      { numRuns: 400, seed: 1 },
    );
  });

  it("shrinks back to what it was", () => {
    fc.assert(
      fc.property(
        convex,
        fc.double({ min: 1e-2, max: 50, noNaN: true }),
        (c, d) => {
          const grown = offsetLeft([reverseContour(c)], d).map(loopContour);
          const back = offsetLeft(grown.map(reverseContour), d).map(
            loopContour,
          );
          expect(back).toHaveLength(1);
          // A nanometre on a metre, all round.
          const rounding = 1e-9 * contourLength(c);
          const again = back[0] as Contour;
          expect(Math.abs(contourArea(again) - contourArea(c))).toBeLessThan(
            rounding * contourLength(c),
          );
          expect(
            Math.abs(contourLength(again) - contourLength(c)),
          ).toBeLessThan(10 * rounding);
        },
      ),
      { numRuns: 200, seed: 1 },
    );
  });
});
