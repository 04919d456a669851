import { describe, expect, it } from "vitest";
import {
  compose,
  handedness,
  isSimilarity,
  objectSystem,
  placed,
  rotation,
  scaling,
  translation,
} from "../../src/drawing/placement.js";

describe("an entity's own coordinate system", () => {
  // Check values 16 and 17: the arbitrary axis algorithm of the DXF reference.
  it("mirrors when it looks down: (3, 4, 0) lies at (−3, 4, 0) in the world", () => {
    const own = objectSystem({ x: 0, y: 0, z: -1 });
    const at = placed(own, { x: 3, y: 4, z: 0 });
    expect([at.x, at.y, at.z].map((v) => v + 0)).toEqual([-3, 4, 0]);
    expect(handedness(own)).toBe(-1);
  });

  it("for a normal along y has its x axis along −x and its y axis along z", () => {
    const { u, v } = objectSystem({ x: 0, y: 1, z: 0 });
    expect([u.x, u.y, u.z]).toEqual(
      [-1, 0, 0].map((n) => expect.closeTo(n, 12)),
    );
    expect([v.x, v.y, v.z]).toEqual(
      [0, 0, 1].map((n) => expect.closeTo(n, 12)),
    );
  });

  it("turns over to the y axis within a 64th of the z axis", () => {
    // N = (0.01, 0, 1): Ax = Wy × N = (1, 0, −0.01) / √1.0001.
    const near = objectSystem({ x: 0.01, y: 0, z: 1 });
    expect(near.u.x).toBeCloseTo(1 / Math.sqrt(1.0001), 12);
    // N = (0.1, 0, 1): Ax = Wz × N = (0, 0.1, 0), so along +y.
    expect(objectSystem({ x: 0.1, y: 0, z: 1 }).u.y).toBeCloseTo(1, 12);
  });
});

describe("placements", () => {
  it("turn by whole quarters without rounding", () => {
    const at = placed(rotation(-270), { x: 2, y: 1, z: 0 });
    expect([at.x + 0, at.y + 0]).toEqual([-1, 2]);
  });

  it("apply the inner one first", () => {
    // Scaled to (2, 3), turned by 90° to (−3, 2), moved to (7, 2).
    const all = [
      translation({ x: 10, y: 0, z: 0 }),
      rotation(90),
      scaling(2, 3, 1),
    ].reduce(compose);
    expect(placed(all, { x: 1, y: 1, z: 0 })).toMatchObject({ x: 7, y: 2 });
  });

  it("keep circles round only when both axes are scaled alike and stay square", () => {
    expect(isSimilarity(compose(rotation(33), scaling(2, -2, 1)))).toBe(true);
    expect(isSimilarity(scaling(2, 2.000001, 1))).toBe(false);
    expect(
      isSimilarity(
        [scaling(2, 1, 1), rotation(30), scaling(1, 1, 1)].reduce(compose),
      ),
    ).toBe(false);
  });
});
