import { describe, expect, it } from "vitest";
import { contourArea } from "../../../src/geometry/contour.js";
import { loopContour, offsetLeft } from "../../../src/geometry/offset.js";
import { pointAt } from "../../../src/geometry/segment.js";
import { outlinesOf } from "../../fuzz/offset-case.js";
import { drawCase } from "../../fuzz/offset-draw.js";
import { bruteDistance, roundingOf } from "../../fuzz/offset-judge.js";

describe("square corners on random nasty outlines", () => {
  it("are nowhere nearer than d, at most 2.5 d away, and leave no more free than rolled ones", () => {
    // Among them those on which a slice beside another corner's kite was called a lost loop.
    for (let seed = 1400; seed < 2000; seed++) {
      const c = drawCase(seed);
      if (!c.valid) continue;
      const outlines = outlinesOf(c);
      const all = outlines.flatMap((o) => o.segments);
      const rounding = roundingOf(c, outlines);
      const square = offsetLeft(outlines, c.d, { corners: "square" });
      let length = 0;
      for (const { segments } of square)
        for (const { segment } of segments)
          for (const t of [0, 0.5]) {
            const far = bruteDistance(all, pointAt(segment, t));
            expect(far).toBeGreaterThan(c.d - rounding);
            expect(far).toBeLessThan(2.5 * c.d + rounding);
            length += Math.hypot(
              segment.end.x - segment.start.x,
              segment.end.y - segment.start.y,
            );
          }
      const area = (loops: typeof square): number =>
        loops.reduce((sum, l) => sum + contourArea(loopContour(l)), 0);
      expect(area(square)).toBeLessThan(
        area(offsetLeft(outlines, c.d)) + 100 * rounding * (length + 1),
      );
    }
  }, 120_000);
});
