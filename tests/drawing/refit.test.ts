import { describe, expect, it } from "vitest";
import { readDxf } from "../../src/drawing/read-dxf.js";
import { contourArea } from "../../src/geometry/contour.js";
import { inspect } from "../../src/run.js";
import { dxfText, lineTags } from "../helpers/dxf.js";

/** A circle of radius 10 as a laser's export: 223 loose lines with six digits. */
const corner = (i: number) =>
  [Math.cos, Math.sin].map((f) =>
    Number((10 * f((2 * Math.PI * i) / 223)).toFixed(6)),
  ) as [number, number];
const laser = dxfText(
  Array.from({ length: 223 }, (_, i) =>
    lineTags(...corner(i), ...corner(i + 1), "CUT"),
  ),
);

describe("a drawing of short chords", () => {
  it("stays as it is drawn, and says how it could be refitted", () => {
    const { outlines, findings } = readDxf(laser);
    expect(outlines[0]?.contour.segments).toHaveLength(223);
    expect(findings.map((f) => [f.code, f.severity])).toEqual([
      ["outline/flattened", "note"],
    ]);
    expect(findings[0]?.message).toContain("223 short chords on layer CUT");
    expect(findings[0]?.message).toContain("here 0.001 mm");
  });

  it("becomes a circle when the job asks, with the greatest deviation told", () => {
    const { contours, repairs, findings } = inspect({
      name: "laser",
      drawing: laser,
      job: '{ "units": "mm", "drawing": { "refit": 0.001 } }',
    });
    expect(contours.map((c) => c.segments)).toEqual([{ lines: 0, arcs: 2 }]);
    expect(Math.sqrt((contours[0]?.area ?? 0) / Math.PI)).toBeCloseTo(10, 5);
    expect(repairs.map((r) => [r.kind, r.layer])).toEqual([
      ["chords-refitted", "CUT"],
    ]);
    // 10·(1 − cos(π/223)) = 0.00099231
    expect(repairs[0]?.size).toBeCloseTo(0.000992, 5);
    const note = findings.find((f) => f.code === "outline/refitted");
    expect(note?.message).toContain("0.00099 mm");
  });

  it("keeps exactly what no chord stands for", () => {
    const { outlines } = readDxf(laser, { refit: 1e-5 });
    expect(contourArea(outlines[0]?.contour as never)).toBeCloseTo(
      111.5 * 100 * Math.sin((2 * Math.PI) / 223),
      3,
    );
  });
});
