import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readDxf } from "../../src/drawing/read-dxf.js";
import { distance } from "../../src/geometry/vec.js";
import { dxfText, lineTags } from "../helpers/dxf.js";

describe("an open outline", () => {
  it("names the smallest gap, not the distance of its own ends", () => {
    // A 10 mm square in two halves that miss each other by 0.05 and by 0.3 mm.
    const { open, findings } = readDxf(
      dxfText([
        lineTags(0, 0, 10, 0),
        lineTags(10, 0, 10, 9.95),
        lineTags(10, 10, 0, 10),
        lineTags(0, 10, 0, 0.3),
      ]),
    );
    expect(open.map((o) => o.gap.size)).toEqual([
      expect.closeTo(0.05, 9),
      expect.closeTo(0.05, 9),
    ]);
    expect(findings[0]?.message).toMatch(
      /open by 0\.05 mm, from \(10, 9\.95\)/,
    );
  });

  it("comes before those that miss by more, and is not closed across layers", () => {
    const { open } = readDxf(
      dxfText([
        lineTags(0, 0, 10, 0, "A"),
        lineTags(0, 5, 10, 5, "A"),
        lineTags(10.2, 0, 20, 0, "B"),
        lineTags(20, 1, 30, 1, "B"),
      ]),
    );
    expect(open.map((o) => [o.layer, o.gap.size])).toEqual([
      ["B", 1],
      ["B", 1],
      ["A", 5],
      ["A", 5],
    ]);
  });

  it("has no smaller gap than the one that trying all ends finds", () => {
    const coordinate = fc.integer({ min: 0, max: 60 });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(coordinate, coordinate, coordinate, coordinate), {
          minLength: 1,
          maxLength: 12,
        }),
        (lines) => {
          const { open } = readDxf(
            dxfText(lines.map(([a, b, c, d]) => lineTags(a, b, c, d))),
          );
          const ends = open.flatMap(({ contour: { segments } }) =>
            [segments[0]?.start, segments.at(-1)?.end].filter((p) => !!p),
          );
          open.forEach(({ gap }, i) => {
            const own = ends.slice(2 * i, 2 * i + 2);
            const all = own.flatMap((p) => ends.map((q) => distance(p, q)));
            const least = Math.min(...all.filter((d) => d > 0.01));
            if (Number.isFinite(least)) expect(gap.size).toBeCloseTo(least, 9);
            expect(distance(gap.from, gap.to)).toBeCloseTo(gap.size, 9);
          });
        },
      ),
      { numRuns: 200 },
    );
  });
});
