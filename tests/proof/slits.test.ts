import { expect, it } from "vitest";
import { line, type Segment } from "../../src/geometry/segment.js";
import { vec } from "../../src/geometry/vec.js";
import type { Layout } from "../../src/plan/feature.js";
import { settleJob } from "../../src/plan/job/job.js";
import { groundOf } from "../../src/proof/ground.js";
import { slitLines, slitsFollowed } from "../../src/proof/slits.js";
import { feature, layoutOf, rectangle } from "../helpers/layouts.js";

it("a move of two nanometres that is millimetres off a long slanted slit is none of its cut", () => {
  // Where a control that offsets by itself joins two moves that are all but tangent, it goes round by as little.
  const drawn = line(vec(0, 0), vec(10, 10));
  const layout: Layout = {
    ...layoutOf(feature("opening-1", "opening", rectangle(-8, -8, 8, 8))),
    slits: [
      {
        id: "slit-1",
        layer: "SLIT",
        contour: { closed: false, segments: [drawn] },
      },
    ],
  };
  const job = settleJob({});
  const joint: Segment = line(vec(7, 2), vec(7.000002, 2));
  expect(
    slitsFollowed([drawn, joint], slitLines(groundOf(layout), job)),
  ).toEqual([0, null]);
});
