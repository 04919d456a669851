import { describe, expect, it } from "vitest";
import { commonArea } from "../../src/geometry/common-area.js";
import {
  circleContour,
  polygonContour,
  reverseContour,
} from "../../src/geometry/contour.js";
import { vec } from "../../src/geometry/vec.js";

const square = (x: number, y: number, side: number) =>
  polygonContour([
    vec(x, y),
    vec(x + side, y),
    vec(x + side, y + side),
    vec(x, y + side),
  ]);

describe("what two figures have in common", () => {
  it("is a lens of 2π/3 - √3/2 where two unit circles go through each other's middle", () => {
    const { area, centroid } = commonArea(
      [circleContour(vec(0, 0), 1)],
      [circleContour(vec(1, 0), 1)],
    );
    expect(area).toBeCloseTo((2 * Math.PI) / 3 - Math.sqrt(3) / 2, 12);
    expect([centroid.x, centroid.y]).toEqual([
      expect.closeTo(0.5, 12),
      expect.closeTo(0, 12),
    ]);
  });

  it("is half a disc on a square's side, its centre 4r/3π in", () => {
    const { area, centroid } = commonArea(
      [square(0, 0, 10)],
      [circleContour(vec(5, 0), 2)],
    );
    expect(area).toBeCloseTo(2 * Math.PI, 12);
    expect(centroid.y).toBeCloseTo((4 * 2) / (3 * Math.PI), 12);
  });

  it("leaves a figure's holes out", () => {
    const frame = [square(0, 0, 10), reverseContour(square(2, 2, 6))];
    expect(commonArea(frame, [square(-1, 1, 4)]).area).toBeCloseTo(
      3 * 4 - 1 * 3,
      12,
    );
    expect(commonArea(frame, [square(3, 3, 2)]).area).toBe(0);
  });

  it("is the smaller one where it lies inside, and nothing where they lie apart", () => {
    expect(commonArea([square(0, 0, 10)], [square(4, 4, 1)]).area).toBeCloseTo(
      1,
      12,
    );
    expect(commonArea([square(0, 0, 10)], [square(20, 4, 1)]).area).toBe(0);
  });
});
