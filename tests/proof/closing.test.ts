import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Vec, vec } from "../../src/geometry/vec.js";
import {
  closings as closingsOf,
  type Link,
  touchesOf,
} from "../../src/proof/closing.js";

/** Kerfs closer than `web` count as touching. */
const closings = (
  links: readonly Link[],
  points: readonly Vec[],
  rest: Vec | null,
  web: number,
) => closingsOf(links, touchesOf(links, web), points, rest);

/** A path of chords, one move each. */
function path(points: readonly Vec[], radius = 0.15, from = 0): Link[] {
  return points.slice(1).map((end, k) => ({
    start: points[k] as Vec,
    end,
    radius,
    move: from + k,
    joined: k > 0,
  }));
}

const square = [vec(1, 0), vec(10, 0), vec(10, 10), vec(0, 10), vec(0, 0)];
const middle = vec(5, 5);

describe("when a kerf closes round a place", () => {
  test("a square left open by 1 mm does not, and closes with the move that comes home", () => {
    expect(closings(path(square), [middle], null, 0.005)).toEqual([null]);
    expect(
      closings(path([...square, vec(1, 0)]), [middle], null, 0.005),
    ).toEqual([4]);
  });

  test("kerfs that touch by their widths close as well", () => {
    // The last move ends 0.31 mm, then 0.29 mm before the first began; the kerf is 0.30 wide.
    const ends = (gap: number) => path([...square, vec(1 - gap, 0)]);
    expect(closings(ends(0.31), [middle], null, 0.005)).toEqual([null]);
    expect(closings(ends(0.29), [middle], null, 0.005)).toEqual([4]);
  });

  test("a place outside is never enclosed", () => {
    expect(
      closings(path([...square, vec(1, 0)]), [vec(20, 5)], null, 0.005),
    ).toEqual([null]);
  });

  test("a path that winds about a place and comes back the same way encloses nothing", () => {
    const spiral = [...square, vec(0.5, 0)];
    const back = [...spiral].reverse();
    expect(
      closings(path([...spiral, ...back.slice(1)]), [middle], null, 0.005),
    ).toEqual([null]);
  });

  test("a cut right across a block parts its halves", () => {
    const block = [vec(0, 0), vec(20, 0), vec(20, 10), vec(0, 10), vec(0, 0)];
    const edge = path(block, 0, 0).map((l) => ({ ...l, move: -1 }));
    const cut = path([vec(12, -1), vec(12, 5), vec(12, 11)]);
    // From the left half (the rest) the right half is parted by the second move; from itself never.
    expect(closings([...edge, ...cut], [vec(16, 5)], vec(4, 5), 0.005)).toEqual(
      [1],
    );
    expect(closings([...edge, ...cut], [vec(6, 5)], vec(4, 5), 0.005)).toEqual([
      null,
    ]);
  });

  test("a ring in any number of moves closes with the last, wherever it begins", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 3, max: 80 }),
        fc.double({ min: 0, max: 6.28, noNaN: true }),
        fc.boolean(),
        (n, from, back) => {
          const points = Array.from({ length: n + 1 }, (_, k) => {
            const a = from + ((back ? -1 : 1) * 2 * Math.PI * k) / n;
            return vec(5 + 4 * Math.cos(a), 5 + 4 * Math.sin(a));
          });
          expect(closings(path(points), [middle], null, 0.005)).toEqual([
            n - 1,
          ]);
        },
      ),
      { numRuns: 100 },
    );
  });
});
