/** A web is as thick as the shapes beside it are drawn apart: exact by construction. */
import { describe, expect, it } from "vitest";
import { circleContour } from "../../../src/geometry/contour.js";
import { vec } from "../../../src/geometry/vec.js";
import type { Layout } from "../../../src/plan/feature.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";

const told = (layout: Layout) =>
  makePlan(layout, settleJob({}), "x").findings.filter(
    (f) => f.code === "web/thin",
  );
const round = (id: string, x: number) =>
  feature(id, "opening", circleContour(vec(x, 0), 5));

describe("a web of kept metal too thin to stand", () => {
  it("is told between two round openings of 5 mm radius, 10.05 mm apart", () => {
    const [found, ...others] = told(
      layoutOf(round("opening-1", 0), round("opening-2", 10.05)),
    );
    expect(others).toEqual([]);
    expect(found).toMatchObject({
      severity: "warning",
      feature: "opening-1",
      where: [expect.closeTo(5.025, 9), expect.closeTo(0, 9)],
    });
    expect(found?.message).toContain(
      "0.05 mm between opening-1 and opening-2 at (5.025, 0)",
    );
    expect(found?.message).toContain("move the outlines apart");
  });

  it("is told between an opening and the block's edge, and none where the block is wider", () => {
    const slot = feature("opening-1", "opening", rectangle(0, 0, 10, 4));
    const inBlock = (margin: number): Layout => ({
      ...layoutOf(slot),
      stock: rectangle(-20, -20, 40, 24 + margin),
    });
    expect(told(inBlock(0.08))).toMatchObject([
      {
        where: [5, expect.closeTo(4.04, 9)],
        message: expect.stringContaining(
          "0.08 mm between opening-1 and the block's edge at (5, 4.04)",
        ),
      },
    ]);
    expect(told(inBlock(2))).toEqual([]);
  });

  it("is told between an opening and the edge of the part that it is in", () => {
    const part = feature("part-1", "part", rectangle(-20, -20, 40, 40));
    const slot = feature(
      "opening-1",
      "opening",
      rectangle(0, 0, 19.9, 4),
      part,
    );
    expect(told(layoutOf(part, slot))).toMatchObject([
      {
        message: expect.stringContaining(
          "0.1 mm between part-1 and opening-1 at (19.95, 2)",
        ),
      },
    ]);
  });

  it("is none when drawn as thick as the thinnest fins that have been cut, 0.117 mm (Micromachines 12, 2020)", () => {
    const apart = (web: number) =>
      told(layoutOf(round("opening-1", 0), round("opening-2", 10 + web)));
    expect(apart(0.117)).toEqual([]);
    expect(apart(0.116)).toHaveLength(1);
  });

  it("is told once for a row of 40 windows with 39 webs, the thinnest first", () => {
    const row = Array.from({ length: 40 }, (_, i) =>
      feature(
        `opening-${i + 1}`,
        "opening",
        rectangle(4.1 * i + (i >= 20 ? -0.05 : 0), 0, 4, 4),
      ),
    );
    const found = told(layoutOf(...row));
    expect(found).toHaveLength(1);
    expect(found[0]?.message).toMatch(/^39 webs .* and 35 more like it/);
    expect(found[0]?.message).toMatch(
      /: 0\.05 mm between opening-20 and opening-21 at .*, 0\.1 mm between opening-1 and opening-2 at .*, 0\.1 mm between opening-2 and opening-3 at /,
    );
    // Between the right side of the 20th, x = 4.1 · 19 + 4, and the next.
    expect(found[0]?.where?.[0]).toBeCloseTo(81.9 + 0.025, 9);
  });

  it("is none across waste: between two parts, or a part and the opening around it", () => {
    const opening = feature("opening-1", "opening", rectangle(0, 0, 20, 20));
    const inIt = feature("part-1", "part", rectangle(0.1, 5, 10, 10), opening);
    const beside = feature("part-2", "part", rectangle(10.2, 5, 5, 9), opening);
    expect(told(layoutOf(opening, inIt, beside))).toEqual([]);
  });

  it("is none between two that another outline stands between", () => {
    // The thin middle one is no wider than 0.02 mm; and hides the two others from each other.
    const left = feature("opening-1", "opening", rectangle(0, 0, 5, 5));
    const middle = feature(
      "opening-2",
      "opening",
      rectangle(5.04, -1, 0.02, 7),
    );
    const right = feature("opening-3", "opening", rectangle(5.1, 0, 5, 5));
    const [found] = told(layoutOf(left, middle, right));
    expect(found?.message).toMatch(/^2 webs /);
    expect(found?.message).not.toContain("opening-1 and opening-3");
  });
});
