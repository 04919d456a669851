import { describe, expect, it } from "vitest";
import { readDxf } from "../../src/drawing/read-dxf.js";
import { contourArea } from "../../src/geometry/contour.js";
import {
  circleTags,
  dxfText,
  lineTags,
  lwpolylineTags,
  rectangleTags,
  type Tags,
} from "../helpers/dxf.js";
import { chainFaults } from "../helpers/nearness.js";

describe("a drawing", () => {
  it("in inches is read in mm: a 2 by 1 inch plate with a hole of 0.5 inch", () => {
    const { outlines, units } = readDxf(
      dxfText([...rectangleTags(0, 0, 2, 1), circleTags(1, 0.5, 0.25)], {
        insunits: 1,
      }),
    );
    expect(units).toEqual({ drawing: "in", toMm: 25.4, source: "$INSUNITS" });
    expect(contourArea(outlines[0]?.contour as never)).toBeCloseTo(
      2 * 645.16,
      9,
    );
    expect(contourArea(outlines[1]?.contour as never)).toBeCloseTo(
      Math.PI * 6.35 ** 2,
      9,
    );
  });

  it("without a unit is refused with its size in both, until the caller says which", () => {
    const text = dxfText([...rectangleTags(0, 0, 2, 1)], { insunits: null });
    expect(() => readDxf(text)).toThrow(/2 × 1 mm.*50\.8 × 25\.4 mm/);
    expect(readDxf(text, { fallbackUnit: "in" }).units.toMm).toBe(25.4);
  });

  it("far from the origin keeps its shape", () => {
    const { outlines, open } = readDxf(
      dxfText([
        ...rectangleTags(1e6, -1e6, 20, 10),
        circleTags(1e6 + 5, -1e6 + 5, 2),
      ]),
    );
    expect(open).toEqual([]);
    expect(contourArea(outlines[0]?.contour as never)).toBeCloseTo(200, 6);
    expect(outlines[1]).toMatchObject({ depth: 1, parent: 0 });
  });

  it("further away than a double can tell micrometres apart is refused", () => {
    expect(() => readDxf(dxfText([circleTags(2e7, 0, 1)]))).toThrow(
      /line \d+.*from the origin/,
    );
  });

  it("has its outlines in the order of drawing, numbered, nested, counter-clockwise", () => {
    const { outlines } = readDxf(
      dxfText([
        circleTags(5, 5, 1),
        ...rectangleTags(0, 0, 20, 10),
        lwpolylineTags(
          [
            [12, 2],
            [12, 8],
            [18, 8],
            [18, 2],
          ],
          true,
        ),
      ]),
    );
    expect(outlines.map((o) => [o.id, o.depth, o.parent])).toEqual([
      ["c1", 1, 1],
      ["c2", 0, null],
      ["c3", 1, 1],
    ]);
    expect(outlines.every((o) => contourArea(o.contour) > 0)).toBe(true);
    expect(outlines.flatMap((o) => chainFaults(o.contour))).toEqual([]);
  });

  it("joins ends across layers only where that closes an outline", () => {
    const [bottom, right, top] = rectangleTags(0, 0, 6, 3, "CUT") as [
      Tags,
      Tags,
      Tags,
    ];
    const { outlines, open, findings } = readDxf(
      dxfText([bottom, right, top, lineTags(0, 3, 0, 1, "NOTES")]),
    );
    expect(outlines).toEqual([]);
    expect(open.map((o) => o.layer)).toEqual(["NOTES", "CUT"]);
    expect(findings.map((f) => f.message)).toEqual([
      expect.stringContaining("meets an outline on layer CUT"),
      expect.stringContaining("meets an outline on layer NOTES"),
    ]);
  });

  it("joins ends up to 0.01 mm apart, or as far as the caller says, and lists each repair with its place", () => {
    const sides: Tags[] = [
      lineTags(0, 0, 6, 0),
      lineTags(6, 0.008, 6, 3),
      lineTags(6, 3, 0, 3),
      lineTags(0, 3, 0, 0),
    ];
    const mended = readDxf(dxfText(sides));
    expect(mended.outlines).toHaveLength(1);
    expect(mended.repairs).toEqual([
      {
        kind: "gap-closed",
        layer: "0",
        at: [6, 0.004],
        size: expect.closeTo(0.008, 12),
      },
    ]);
    const strict = readDxf(dxfText(sides), { chainGap: 0.005 });
    expect(strict.outlines).toEqual([]);
    expect(strict.findings).toEqual([
      {
        code: "outline/not-closed",
        severity: "error",
        layers: ["0"],
        where: expect.arrayContaining([6]),
        message: expect.stringMatching(
          /open by 0\.008 mm.*\(6, 0.*\(6, 0.*close it.*0\.005 mm/,
        ),
      },
    ]);
  });

  it("with 200 lines on a layer where nothing closes tells of them at once", () => {
    const { findings, open } = readDxf(
      dxfText([
        circleTags(0, 0, 3, "CUT"),
        ...Array.from({ length: 200 }, (_, i) =>
          lineTags(9, i, 20, i, "CENTER"),
        ),
      ]),
    );
    expect(open).toHaveLength(200);
    expect(findings).toHaveLength(1);
    expect(findings[0]?.message).toMatch(
      /^200 lines on layer CENTER do not close, nearest to it by 1 mm at/,
    );
  });

  it("with 200 lines beside an outline on its layer tells of ten, and counts the rest", () => {
    const { findings } = readDxf(
      dxfText([
        circleTags(0, 0, 3),
        ...Array.from({ length: 200 }, (_, i) => lineTags(9, i, 20, i)),
      ]),
    );
    expect(findings).toHaveLength(11);
    expect(findings.at(-1)?.message).toMatch(
      /^Outlines on layer 0 are open at \d+ more places/,
    );
  });

  it("with outlines drawn twice has them once", () => {
    const { outlines, repairs } = readDxf(
      dxfText([
        circleTags(0, 0, 3),
        circleTags(0, 0, 3),
        lwpolylineTags(
          [
            [-3, 0, 1],
            [3, 0, 1],
          ],
          true,
        ),
        ...rectangleTags(10, 0, 4, 4),
        lwpolylineTags(
          [
            [14, 4],
            [14, 0],
            [10, 0],
            [10, 4],
          ],
          true,
        ),
      ]),
    );
    expect(outlines).toHaveLength(2);
    expect(repairs.map((r) => r.kind)).toEqual(Array(3).fill("double-dropped"));
  });

  it("with an outline that crosses itself, or another, is in error with the place", () => {
    const eight = readDxf(
      dxfText([
        lwpolylineTags(
          [
            [0, 0],
            [4, 4],
            [4, 0],
            [0, 4],
          ],
          true,
        ),
      ]),
    );
    expect(eight.findings).toMatchObject([
      { code: "outline/crosses-itself", severity: "error", where: [2, 2] },
    ]);
    const two = readDxf(dxfText([circleTags(0, 0, 5), circleTags(6, 0, 5)]));
    expect(two.findings).toMatchObject([
      { code: "outline/crosses-another", severity: "error" },
    ]);
    // Circles of radius 5 with centres 6 apart meet at x = 3, y = ±4.
    expect(
      two.findings[0]?.where?.map((v) => Math.abs(Math.round(v * 1e9) / 1e9)),
    ).toEqual([3, 4]);
    const touching = readDxf(
      dxfText([circleTags(0, 0, 5), circleTags(8, 0, 3)]),
    );
    expect(touching.findings).toMatchObject([
      { code: "outline/touches-another", severity: "warning", where: [5, 0] },
    ]);
  });

  it("that is empty, or holds nothing to cut, is in error", () => {
    for (const entities of [[], [[0, "TEXT", 8, "0", 1, "x"]]] as Tags[][])
      expect(
        readDxf(dxfText(entities)).findings.map((f) => [f.code, f.severity]),
      ).toEqual([["drawing/empty", "error"]]);
  });

  it("is read alike from bytes and from text, twice", () => {
    const text = dxfText([
      ...rectangleTags(0, 0, 20, 10),
      circleTags(5, 5, 1),
      lineTags(30, 0, 40, 0),
    ]);
    const once = readDxf(text);
    expect(readDxf(new TextEncoder().encode(text))).toEqual(once);
    expect(JSON.stringify(readDxf(text))).toBe(JSON.stringify(once));
  });
});
