import { describe, expect, it } from "vitest";
import { dropDoubles } from "../../../src/geometry/chain/doubles.js";
import {
  type Contour,
  circleContour,
  polygonContour,
} from "../../../src/geometry/contour.js";

const triangle = (start: number): Contour => {
  const corners = [
    { x: 0, y: 0 },
    { x: 3, y: 0 },
    { x: 0, y: 4 },
  ];
  return polygonContour([...corners.slice(start), ...corners.slice(0, start)]);
};

describe("closed outlines drawn twice", () => {
  it("stay once, wherever they begin", () => {
    const { kept, dropped } = dropDoubles([
      triangle(0),
      circleContour({ x: 9, y: 9 }, 2),
      triangle(2),
      triangle(1),
    ]);
    expect(kept).toEqual([0, 1]);
    expect(dropped.map((d) => [d.index, d.size])).toEqual([
      [2, 12],
      [3, 12],
    ]);
  });

  it("are not doubles when only their corners are the same", () => {
    const points = [
      { x: -2, y: 0 },
      { x: 0, y: -2 },
      { x: 2, y: 0 },
      { x: 0, y: 2 },
    ];
    const { kept } = dropDoubles([
      circleContour({ x: 0, y: 0 }, 2),
      polygonContour(points),
      circleContour({ x: 0.00002, y: 0 }, 2),
    ]);
    expect(kept).toEqual([0, 1, 2]);
  });
});
