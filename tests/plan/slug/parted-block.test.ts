import { describe, expect, it } from "vitest";
import { circleContour } from "../../../src/geometry/contour.js";
import { vec } from "../../../src/geometry/vec.js";
import type { Layout } from "../../../src/plan/feature.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";

/** Two passes: the rough's kerf, 0.31 mm wide, lies from 0.05 to 0.36 mm off the outline. */
const file: JobFile = {
  passes: [
    { gap: 0.03, leave: 0.05 },
    { gap: 0.01, leave: 0 },
  ],
};
const disc = feature("part-1", "part", circleContour(vec(0, 0), 10));
const inBlock = (below: number, above: number): Layout => ({
  ...layoutOf(disc),
  stock: rectangle(-25, -10 - below, 50, 20 + below + above),
});
const errors = (layout: Layout, more: JobFile = {}) =>
  makePlan(layout, settleJob({ ...file, ...more }), "x").findings.filter(
    (f) => f.severity === "error",
  );

describe("a part near the block's edge", () => {
  it("is cut where the kerf stays in the block, or runs out of it at one side: the rest holds together", () => {
    proved(inBlock(0.5, 0.5), file);
    proved(inBlock(0.2, 5), file);
  });

  it("is refused where the kerf runs out at two sides: the end of the bar without a tab would fall", () => {
    const [found, ...others] = errors(inBlock(0.2, 0.2));
    expect(others).toEqual([]);
    expect(found).toMatchObject({
      code: "part/parts-block",
      feature: "part-1",
    });
    expect(found?.message).toContain("between part-1 and the block's edge");
    // About one of the two ends of the bar.
    expect(Math.abs(found?.where?.[0] ?? 0)).toBeGreaterThan(10);
  });

  it("does not begin at the edge where its kerf opens another one, too", () => {
    const edge: JobFile = { start: "edge" };
    expect(errors(inBlock(3, 3), edge)).toEqual([]);
    expect(errors(inBlock(0.2, 5), edge).map((f) => f.code)).toEqual([
      "part/parts-block",
    ]);
  });
});

describe("parts near each other", () => {
  const four = (apart: number): Layout =>
    layoutOf(
      ...[0, 1, 2, 3].map((k) =>
        feature(
          `part-${k + 1}`,
          "part",
          circleContour(
            vec((k % 2) * (20 + apart), (k >> 1) * (20 + apart)),
            10,
          ),
        ),
      ),
    );

  it("are cut where their kerfs leave a web between them", () => {
    proved(four(1), file);
  });

  it("are refused where their kerfs meet all round a piece of waste", () => {
    const [found] = errors(four(0.6));
    expect(found?.code).toBe("part/parts-block");
    // Between the four.
    expect(found?.where?.[0]).toBeCloseTo(10.3, 1);
    expect(found?.where?.[1]).toBeCloseTo(10.3, 1);
    expect(found?.message).toContain("part-1 and part-2 and part-3 and part-4");
  });
});
