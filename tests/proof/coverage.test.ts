import fc from "fast-check";
import { expect, test } from "vitest";
import { line } from "../../src/geometry/segment.js";
import { vec } from "../../src/geometry/vec.js";
import { nearestMove, type Path, pathOf } from "../../src/proof/coverage.js";
import { pointTo } from "../../src/proof/measure.js";

const place = fc
  .tuple(
    fc.double({ min: -50, max: 50, noNaN: true }),
    fc.double({ min: -50, max: 50, noNaN: true }),
  )
  .map(([x, y]) => vec(x, y));

test("the nearest of many moves is found wherever they lie, as looking at each finds it", () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(place, place), { minLength: 1, maxLength: 60 }),
      place,
      fc.constantFrom(0, 100, 7000),
      (pairs, at, off) => {
        const segments = pairs.map(([a, b]) =>
          line(vec(a.x + off, a.y), vec(b.x + off, b.y)),
        );
        const path = pathOf(
          segments.map((segment) => ({ segment })) as unknown as Path["moves"],
        );
        const each = segments.map((s) => pointTo(s, at.x, at.y));
        expect(nearestMove(path, at)).toBe(Math.min(...each));
      },
    ),
  );
});
