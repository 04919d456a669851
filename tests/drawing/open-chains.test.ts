import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readDxf } from "../../src/drawing/read-dxf.js";
import { distance } from "../../src/geometry/vec.js";
import { circleTags, dxfText, lineTags } from "../helpers/dxf.js";

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
    // Each gap is told once, with both its ends.
    expect(findings.map((f) => f.message)).toEqual([
      expect.stringMatching(
        /open by 0\.05 mm, from \(10, 9\.95\) to \(10, 10\)/,
      ),
      expect.stringMatching(/open by 0\.3 mm, from \(0, 0\) to \(0, 0\.3\)/),
    ]);
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

  it("says where it runs across an outline, another open line or itself", () => {
    const messages = (entities: Parameters<typeof dxfText>[0]): string[] =>
      readDxf(dxfText(entities)).findings.map((f) => f.message);
    // Two sides of a corner that run on 1 mm over it.
    const [one, two] = messages([
      lineTags(0, 0, 11, 0),
      lineTags(10, -1, 10, 10),
    ]);
    expect(one).toMatch(
      /crosses another open outline \(layer 0\) at \(10, 0\)/,
    );
    expect(two).toMatch(
      /crosses another open outline \(layer 0\) at \(10, 0\)/,
    );
    const [through] = messages([
      circleTags(0, 0, 5, "DIE"),
      lineTags(0, 0, 9, 0, "CENTRE"),
    ]);
    expect(through).toMatch(/crosses outline c1 \(layer DIE\) at \(5, 0\)/);
    const [loop] = messages([
      lineTags(0, 0, 10, 0),
      lineTags(10, 0, 10, 10),
      lineTags(10, 10, 5, -5),
    ]);
    // From (10, 10) down to (5, -5) at 3 mm a mm.
    expect(loop).toMatch(/crosses itself at \(6\.667, 0\)/);
  });

  it("does not cross what it only ends on, nor what ends on it", () => {
    const { findings } = readDxf(
      dxfText([
        circleTags(0, 0, 5),
        lineTags(5, 0, 9, 0),
        lineTags(7, 0, 7, 4),
        lineTags(9, 0, 12, 3),
        lineTags(9, 0, 12, -3),
      ]),
    );
    expect(findings.length).toBeGreaterThan(1);
    for (const f of findings) expect(f.message).not.toContain("crosses");
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
