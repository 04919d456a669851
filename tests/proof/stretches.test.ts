import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { arcAbout, line, pointAt } from "../../src/geometry/segment.js";
import { vec } from "../../src/geometry/vec.js";
import { pointTo } from "../../src/proof/measure.js";
import { stretchesWithin, union, without } from "../../src/proof/stretches.js";
import { segments } from "../helpers/segments.js";

describe("stretches of a segment within a distance of another", () => {
  test("worked by hand: a line past a line's end", () => {
    // 3-4-5: at distance 5 from the end (4, 3 below), 4 mm along on either side.
    const q = line(vec(-10, 3), vec(10, 3));
    const s = line(vec(0, 0), vec(0, -5));
    const [only] = stretchesWithin(q, s, 5);
    expect(only?.from).toBeCloseTo(6 / 20, 12);
    expect(only?.to).toBeCloseTo(14 / 20, 12);
  });

  test("a line through a ring is near it twice", () => {
    const ring = arcAbout(vec(0, 0), 10, 0, Math.PI);
    const q = line(vec(-20, 0.5), vec(20, 0.5));
    expect(stretchesWithin(q, ring, 1)).toHaveLength(2);
    expect(stretchesWithin(q, ring, 9.4)).toHaveLength(2);
    expect(stretchesWithin(q, ring, 9.6)).toHaveLength(1);
  });

  test("a path on the other lies within all along, whatever the tolerance", () => {
    const q = arcAbout(vec(3, 4), 7, 1, 2);
    expect(stretchesWithin(q, q, 1e-6)).toEqual([{ from: 0, to: 1 }]);
  });

  test("each place is told right, but for those just at the distance", () => {
    fc.assert(
      fc.property(
        segments,
        segments,
        fc.double({ min: 0.001, max: 10, noNaN: true }),
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), {
          minLength: 20,
          maxLength: 20,
        }),
        (q, s, d, looks) => {
          const found = stretchesWithin(q, s, d);
          for (const t of looks) {
            const p = pointAt(q, t);
            const off = pointTo(s, p.x, p.y) - d;
            if (Math.abs(off) < 1e-6) continue;
            expect(found.some((f) => f.from <= t && t <= f.to)).toBe(off < 0);
          }
        },
      ),
      { numRuns: 500 },
    );
  });
});

test("arcs about nearly one centre, whichever way they run and whatever they leave open", () => {
  const angle = fc.double({ min: -3, max: 3, noNaN: true });
  const sweep = fc.double({ min: 0.2, max: 6.2, noNaN: true });
  fc.assert(
    fc.property(
      fc.tuple(angle, sweep, fc.boolean(), angle, sweep, fc.boolean()),
      fc.double({ min: -0.01, max: 0.01, noNaN: true }),
      ([a, b, back, c, e, turned], shift) => {
        const q = arcAbout(vec(0, 0), 5, a, back ? -b : b);
        const s = arcAbout(vec(shift, 0), 5 + shift, c, turned ? -e : e);
        const found = stretchesWithin(q, s, 0.05);
        for (let k = 0; k <= 40; k++) {
          const p = pointAt(q, k / 40);
          const off = pointTo(s, p.x, p.y) - 0.05;
          if (Math.abs(off) < 1e-6) continue;
          expect(found.some((f) => f.from <= k / 40 && k / 40 <= f.to)).toBe(
            off < 0,
          );
        }
      },
    ),
    { numRuns: 300 },
  );
});

describe("sets of stretches", () => {
  const s = (from: number, to: number) => ({ from, to });

  test("union and difference", () => {
    const a = [s(0.5, 0.7), s(0, 0.2), s(0.1, 0.3)];
    expect(union(a)).toEqual([s(0, 0.3), s(0.5, 0.7)]);
    expect(without([s(0, 1)], union(a))).toEqual([s(0.3, 0.5), s(0.7, 1)]);
    expect(without(union(a), [s(0, 1)])).toEqual([]);
  });
});
