import { describe, expect, it } from "vitest";
import { polygonContour } from "../../../src/geometry/contour.js";
import type { Vec } from "../../../src/geometry/vec.js";
import { threadPlaces } from "../../../src/plan/plan.js";
import { setupSheet } from "../../../src/report/setup-sheet.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";

/** Bars 20 × 8 mm, one above the other, their long sides `gap` apart. */
const pair = (gap: number) =>
  layoutOf(
    feature("part-1", "part", rectangle(0, 0, 20, 8)),
    feature("part-2", "part", rectangle(0, 8 + gap, 20, 8)),
  );

describe("parts near each other in one block", () => {
  it("share a hole between them, drilled once", () => {
    const { plan, proof } = proved(pair(4), { passes: 3 });
    const [hole, ...others] = threadPlaces(plan);
    expect(others).toEqual([]);
    expect(hole?.serves).toEqual(["part-1", "part-2"]);
    expect(hole?.hole.at.y).toBeGreaterThan(8);
    expect(hole?.hole.at.y).toBeLessThan(12);
    expect(proof.loosePieces).toHaveLength(2);
    const rows = setupSheet(plan, proof).match(/to make, right through/g);
    expect(rows).toHaveLength(1);
  });

  it("have a hole each where they lie far apart", () => {
    const { plan } = proved(pair(30), { passes: 3 });
    expect(threadPlaces(plan)).toHaveLength(2);
  });

  it("share a drawn hole", () => {
    const layout = {
      ...pair(4),
      holes: [{ at: { x: 6.2, y: 10 }, diameter: 1 }],
    };
    const { plan } = proved(layout, {
      passes: 3,
      startHoles: { layer: "HOLES" },
    });
    expect(threadPlaces(plan).map((p) => p.serves)).toEqual([
      ["part-1", "part-2"],
    ]);
  });

  it("share no second one: two ties would cut the block between them loose", () => {
    // 160 × 120 × 40 mm weighs over 5 kg: two tabs each.
    const big = (id: string, y: number) =>
      feature(id, "part", rectangle(0, y, 160, 120));
    const layout = layoutOf(big("part-1", 0), big("part-2", 124));
    const holes = [20, 140].map((x) => ({ at: { x, y: 122 }, diameter: 1 }));
    const { plan, proof } = proved(
      { ...layout, holes },
      {
        passes: 2,
        stock: { thickness: 40 },
        startHoles: { layer: "HOLES" },
      },
    );
    const shared = threadPlaces(plan).filter((p) => p.serves.length > 1);
    expect(shared.length).toBeLessThan(2);
    expect(proof.loosePieces.map((p) => p.feature).sort()).toEqual([
      "part-1",
      "part-2",
    ]);
  });
});

describe("a part in the slug of an opening", () => {
  it("has its hole clear of the opening’s", () => {
    const corners = (...places: [number, number][]) =>
      polygonContour(places.map(([x, y]) => ({ x, y })));
    const opening = feature(
      "opening-1",
      "opening",
      corners(
        [31.532, -2.244],
        [32.403, 44.104],
        [12.203, 44.483],
        [11.332, -1.864],
      ),
    );
    const part = feature(
      "part-1",
      "part",
      corners(
        [28.697, 36.018],
        [15.603, 36.264],
        [15.039, 6.221],
        [28.132, 5.975],
      ),
      opening,
    );
    const { plan } = proved(layoutOf(opening, part), {
      stock: { thickness: 46 },
      wire: { diameter: 0.2 },
      passes: 3,
      startHoles: { diameter: 1, clearance: 1 },
    });
    const [a, b] = threadPlaces(plan).map((p) => p.hole.at) as [Vec, Vec];
    // Two holes of 1 mm whose middles are 1 mm apart break into each other.
    expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeGreaterThan(1);
  });
});
