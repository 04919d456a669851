import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readDxf } from "../../src/drawing/read-dxf.js";
import { contourArea } from "../../src/geometry/contour.js";
import { inspect } from "../../src/run.js";
import { arcTags, circleTags, dxfText, lineTags } from "../helpers/dxf.js";

/** A slot of 20 × 10 mm with round ends: straight sides on one layer, arcs (31.4 mm of 51.4 mm) on another. */
const slot = [
  lineTags(0, 0, 10, 0, "SIDES"),
  arcTags(10, 5, 5, 270, 90, "ENDS"),
  lineTags(10, 10, 0, 10, "SIDES"),
  arcTags(0, 5, 5, 90, 270, "ENDS"),
];

const readOf = (entities: Parameters<typeof dxfText>[0], options = {}) =>
  readDxf(dxfText(entities), options);

const codes = (findings: readonly { code: string }[]): string[] =>
  findings.map((f) => f.code);

describe("an outline drawn in pieces on two layers", () => {
  it("is one outline on the layer with the longer share, and a warning names both", () => {
    const { outlines, open, findings } = readOf(slot);
    expect(open).toEqual([]);
    expect(outlines.map((o) => o.layer)).toEqual(["ENDS"]);
    // 10 × 10 and a circle of radius 5.
    expect(contourArea(outlines[0]?.contour as never)).toBeCloseTo(
      100 + 25 * Math.PI,
      9,
    );
    expect(codes(findings)).toEqual(["outline/across-layers"]);
    expect(findings[0]).toMatchObject({
      severity: "warning",
      layers: ["ENDS"],
    });
    expect(findings[0]?.message).toMatch(/layers ENDS, SIDES; .*holds 61 %/);
  });

  it("is the same outline however its pieces are spread over layers", () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom("A", "B", "C"), {
          minLength: 4,
          maxLength: 4,
        }),
        (layers) => {
          const spread = slot.map((tags, i) =>
            tags.map((t, k) => (k === 3 ? (layers[i] as string) : t)),
          );
          const { outlines, open, findings } = readOf(spread);
          expect(open).toEqual([]);
          expect(outlines).toHaveLength(1);
          expect(findings).toHaveLength(new Set(layers).size > 1 ? 1 : 0);
        },
      ),
      { numRuns: 40 },
    );
  });

  it("tells the gaps that were closed in it", () => {
    const { repairs, outlines } = readOf([
      lineTags(0, 0, 10, 0, "A"),
      lineTags(10, 0.004, 10, 10, "A"),
      lineTags(10, 10, 0, 10, "B"),
      lineTags(0, 10, 0, 0.006, "B"),
    ]);
    expect(outlines).toHaveLength(1);
    expect(repairs.map((r) => [r.kind, r.layer, r.size])).toEqual([
      ["gap-closed", "A", expect.closeTo(0.004, 9)],
      ["gap-closed", "A", expect.closeTo(0.006, 9)],
    ]);
  });

  it("nests, and stands in drawing order, like any other", () => {
    const { outlines } = readOf([
      circleTags(200, 0, 3, "HOLES"),
      ...slot,
      circleTags(5, 5, 2, "HOLES"),
    ]);
    expect(outlines.map((o) => [o.layer, o.parent])).toEqual([
      ["HOLES", null],
      ["ENDS", null],
      ["HOLES", 1],
    ]);
  });
});

describe("ends on different layers", () => {
  it("stay apart where they close nothing", () => {
    const { outlines, open, findings } = readOf([
      lineTags(0, 0, 10, 0, "DIE"),
      lineTags(10, 0, 10, 10, "DIE"),
      lineTags(10, 10, 30, 10, "CENTRE"),
    ]);
    expect(outlines).toEqual([]);
    expect(open.map((o) => o.layer).sort()).toEqual(["CENTRE", "DIE"]);
    expect(codes(findings)).not.toContain("outline/across-layers");
  });

  it("are no reason to take a closed outline apart", () => {
    const square = [
      lineTags(0, 0, 10, 0, "DIE"),
      lineTags(10, 0, 10, 10, "DIE"),
      lineTags(10, 10, 0, 10, "DIE"),
      lineTags(0, 10, 0, 0, "DIE"),
    ];
    const { outlines, open } = readOf([
      ...square,
      lineTags(0, 0, 10, 10, "CENTRE"),
    ]);
    expect(outlines.map((o) => o.layer)).toEqual(["DIE"]);
    expect(open.map((o) => o.layer)).toEqual(["CENTRE"]);
  });

  it("never join with what the job ignores, so that no error is hidden with it", () => {
    const order = { name: "slot", drawing: dxfText(slot) };
    const ignoring = (layer: string) =>
      inspect({
        ...order,
        job: JSON.stringify({ roles: { layers: { [layer]: "ignore" } } }),
      });
    for (const layer of ["ENDS", "SIDES"]) {
      const { contours, ok, findings } = ignoring(layer);
      expect(contours).toEqual([]);
      expect(ok).toBe(false);
      expect(codes(findings)).toContain("outline/not-closed");
    }
    expect(inspect(order).contours.map((c) => c.layer)).toEqual(["ENDS"]);
  });

  it("are told by place for the first ten outlines of a layer, the rest are counted", () => {
    const many = Array.from({ length: 13 }, (_, i) => [
      arcTags(20 * i, 0, 5, 0, 180, "A"),
      arcTags(20 * i, 0, 5, 180, 360, "B"),
    ]).flat();
    const { outlines, findings } = readOf(many);
    expect(outlines).toHaveLength(13);
    expect(findings).toHaveLength(11);
    expect(findings.at(-1)?.message).toMatch(/^3 more outlines on layer A/);
  });
});
