import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readDrawing } from "../../../src/drawing/read-drawing.js";
import { turnBetween } from "../../../src/geometry/contour.js";
import { nearestOnSegment } from "../../../src/geometry/distance.js";
import { type Segment, segmentLength } from "../../../src/geometry/segment.js";
import { distance, type Vec } from "../../../src/geometry/vec.js";
import { readJobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { layOut } from "../../../src/plan/layout/layout.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import { entriesOf, type PlannedFeature } from "../../../src/plan/plan.js";
import { feature, layoutOf } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";
import { gear } from "../../helpers/shapes.js";
import { ROWS } from "./toolmaker.js";

/** mm along the outline to the foot of a point on it, and once round. */
function placeOn(
  { contour }: PlannedFeature,
  p: Vec,
): readonly [number, number] {
  let start = 0;
  let best = { distance: Number.POSITIVE_INFINITY, place: 0 };
  for (const s of contour.segments) {
    const near = nearestOnSegment(s, p);
    const l = segmentLength(s);
    if (near.distance < best.distance)
      best = { distance: near.distance, place: start + near.t * l };
    start += l;
  }
  return [best.place, start];
}

/** Corners sharper than 10° under a tab. */
function cornersUnder(f: PlannedFeature, at: Vec, length: number): number {
  const [middle, round] = placeOn(f, at);
  const { segments } = f.contour;
  let end = 0;
  return segments.filter((s, i) => {
    end += segmentLength(s);
    const next = segments[(i + 1) % segments.length] as Segment;
    const way = Math.abs(end - middle) % round;
    return (
      Math.min(way, round - way) < length / 2 &&
      Math.abs(turnBetween(s, next)) > Math.PI / 18
    );
  }).length;
}

describe("hole, lead and tab are where a toolmaker would put them", () => {
  it.each(ROWS)("$shape: $why", ({ layout, job, tab, hole }) => {
    const { plan } = proved(layout, { passes: 3, ...job });
    for (const f of plan.features)
      for (const { startHole, leadPoint, tab: stands } of entriesOf(f)) {
        if (!stands) throw new Error("no tab");
        expect(tab(stands.at), `tab at ${JSON.stringify(stands.at)}`).toBe(
          true,
        );
        expect(
          hole(startHole.at),
          `hole at ${JSON.stringify(startHole.at)}`,
        ).toBe(true);
        // The lead ends beside the tab: half the tab, half a kerf, and a little for a place off a corner.
        expect(distance(leadPoint, stands.at)).toBeLessThan(
          stands.length / 2 + 0.3,
        );
        expect(cornersUnder(f, stands.at, stands.length)).toBe(0);
        // Not sawn through half the block, unless the hole is given.
        if (!startHole.drawn)
          expect(distance(leadPoint, startHole.at)).toBeLessThan(4.5);
      }
  });

  it("gear gauge with involute flanks: on the tip land of a tooth, all of it", () => {
    const folder = new URL("../../../samples/gear-gauge/", import.meta.url);
    const text = (name: string) => readFileSync(new URL(name, folder), "utf8");
    const job = settleJob(readJobFile(text("job.json")));
    const drawing = readDrawing(text("gear-gauge.dxf"), { unit: "mm" });
    const layout = layOut(drawing, job);
    const f = makePlan(layout, job, "gauge").features.find(
      (one) => one.role === "part",
    ) as PlannedFeature;
    // Module 2, 20 teeth: tips at radius 22, and a tip land of 1.39 mm (involute geometry).
    expect(Math.hypot(f.tab?.at.x ?? 0, f.tab?.at.y ?? 0)).toBeCloseTo(22, 3);
    expect(f.tab?.length).toBeCloseTo(1, 6);
    expect(cornersUnder(f, f.tab?.at as Vec, f.tab?.length ?? 0)).toBe(0);
  });

  it("teeth too fine for a tab on tip or root: it stands across a flank, and that is told", () => {
    const planned = (teeth: number) => {
      const { features, findings } = makePlan(
        layoutOf(feature("part-1", "part", gear(teeth, 22, 20.5, 0.3))),
        settleJob({ passes: 3 }),
        "x",
      );
      const told = findings.filter((f) => f.code === "tab/on-flank");
      return { tab: features[0]?.tab, told };
    };
    expect(planned(20).told).toEqual([]);
    const { tab, told } = planned(60);
    expect(told[0]?.severity).toBe("warning");
    expect(told[0]?.where).toEqual([tab?.at.x, tab?.at.y]);
  });
});
