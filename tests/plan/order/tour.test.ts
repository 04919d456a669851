import { describe, expect, it } from "vitest";
import { distance, type Vec } from "../../../src/geometry/vec.js";
import type { Visits } from "../../../src/plan/order/tour/route.js";
import { shortTour, tourLength } from "../../../src/plan/order/tour/tour.js";
import { random } from "../../helpers/shapes.js";

const lengthOf = (visits: Visits): number =>
  tourLength(visits, shortTour(visits));

/** There and back from the first of the points. */
function closed([first, ...rest]: readonly Vec[]): Visits {
  const home = first as Vec;
  return { points: rest, ranks: rest.map(() => 0), start: home, end: home };
}

function shuffled<T>(list: readonly T[], rnd: () => number): T[] {
  return list
    .map((item) => ({ item, key: rnd() }))
    .sort((a, b) => a.key - b.key)
    .map(({ item }) => item);
}

const scattered = (n: number, rnd: () => number): Vec[] =>
  Array.from({ length: n }, () => ({ x: 100 * rnd(), y: 100 * rnd() }));

/** The shortest of all orders in which no point comes before one of a lower rank, by trying every one of them. */
function shortestOfAll({ points, ranks, start, end }: Visits): number {
  const left = new Set(points.keys());
  const from = (at: Vec): number => {
    if (left.size === 0) return end ? distance(at, end) : 0;
    const rank = Math.min(...[...left].map((i) => ranks[i] as number));
    let least = Number.POSITIVE_INFINITY;
    for (const i of [...left]) {
      if (ranks[i] !== rank) continue;
      left.delete(i);
      const p = points[i] as Vec;
      least = Math.min(least, distance(at, p) + from(p));
      left.add(i);
    }
    return least;
  };
  return from(start);
}

/** Length of the shortest tree through all points (Prim 1957). */
function treeLength(points: readonly Vec[]): number {
  const reach = points.map(() => Number.POSITIVE_INFINITY);
  reach[0] = 0;
  const left = new Set(points.keys());
  let sum = 0;
  while (left.size > 0) {
    const next = [...left].reduce((a, b) =>
      (reach[b] as number) < (reach[a] as number) ? b : a,
    );
    left.delete(next);
    sum += reach[next] as number;
    for (const i of left)
      reach[i] = Math.min(
        reach[i] as number,
        distance(points[i] as Vec, points[next] as Vec),
      );
  }
  return sum;
}

describe("a short tour", () => {
  it("of points on a circle goes round it: n chords, whatever the order they are drawn in", () => {
    for (const n of [3, 12, 100]) {
      const ring = Array.from({ length: n }, (_, i) => ({
        x: 50 * Math.cos((2 * Math.PI * i) / n),
        y: 50 * Math.sin((2 * Math.PI * i) / n),
      }));
      // The shortest tour of points in convex position is their hull (Barachet 1957).
      expect(lengthOf(closed(shuffled(ring, random(n))))).toBeCloseTo(
        2 * n * 50 * Math.sin(Math.PI / n),
        6,
      );
    }
  });

  it("of points in a row from its end is the row", () => {
    const row = Array.from({ length: 40 }, (_, i) => ({ x: 3 * i, y: 0 }));
    const [start, ...rest] = row as [Vec, ...Vec[]];
    const points = shuffled(rest, random(7));
    expect(
      lengthOf({ points, ranks: points.map(() => 0), start, end: null }),
    ).toBeCloseTo(3 * 39, 9);
  });

  it("of an 8 × 10 grid of holes takes 80 steps there and back", () => {
    // A tour of n points at least a step apart is at least n steps long; with an even side there is one of just that.
    const grid = Array.from({ length: 80 }, (_, i) => ({
      x: 6 * (i % 8),
      y: 6 * Math.floor(i / 8),
    }));
    expect(lengthOf(closed(shuffled(grid, random(3))))).toBeCloseTo(80 * 6, 6);
  });

  it("of a grid whose holes are each visited twice, as for a cut and its tab, comes to an end", () => {
    const side = 14;
    const grid = Array.from({ length: side * side }, (_, i) => ({
      x: 12 * (i % side) + 4,
      y: 12 * Math.floor(i / side) + 3,
    }));
    const points = [...grid, ...grid];
    const length = lengthOf({
      points,
      ranks: points.map((_, i) => (i < grid.length ? 0 : 1)),
      start: { x: 0, y: 0 },
      end: null,
    });
    // From the zero to the first hole, a step to each of the others, and nothing between the two rounds at the least.
    expect(length).toBeGreaterThan(5 + 2 * (grid.length - 1) * 12 - 1e-6);
    expect(length).toBeLessThan(1.1 * 2 * grid.length * 12);
  });

  it("of up to 8 points is the shortest of all that keep the ranks", () => {
    for (let seed = 0; seed < 150; seed++) {
      const rnd = random(900 + seed);
      const points = scattered(Math.floor(9 * rnd()), rnd);
      const kinds = 1 + Math.floor(3 * rnd());
      const visits: Visits = {
        points,
        ranks: points.map(() => Math.floor(kinds * rnd())),
        start: { x: 0, y: 0 },
        end: rnd() < 0.5 ? null : { x: 100, y: 0 },
      };
      expect(lengthOf(visits), `seed ${seed}`).toBeCloseTo(
        shortestOfAll(visits),
        6,
      );
    }
  });

  it("visits each point once, rank by rank, also where points coincide", () => {
    for (let seed = 0; seed < 30; seed++) {
      const rnd = random(40 + seed);
      const points = scattered(60, rnd).map((p, i, all) =>
        i % 3 === 0 ? (all[0] as Vec) : p,
      );
      const ranks = points.map(() => Math.floor(4 * rnd()));
      const order = shortTour({
        points,
        ranks,
        start: { x: 50, y: 50 },
        end: null,
      });
      expect([...order].sort((a, b) => a - b)).toEqual([...points.keys()]);
      const visited = order.map((i) => ranks[i] as number);
      expect(visited).toEqual([...visited].sort((a, b) => a - b));
    }
  });

  it("of 250 random holes is at most a fifth longer than the shortest tree that ties them together", () => {
    // Every tour is such a tree, so none is shorter; nearest neighbour alone comes out some 40 % longer.
    const [start, ...points] = scattered(250, random(5)) as [Vec, ...Vec[]];
    expect(
      lengthOf({ points, ranks: points.map(() => 0), start, end: null }),
    ).toBeLessThan(1.2 * treeLength([start, ...points]));
  });

  it("comes out the same twice", () => {
    const points = scattered(80, random(11));
    const visits: Visits = {
      points,
      ranks: points.map((_, i) => i % 2),
      start: { x: 0, y: 0 },
      end: null,
    };
    expect(shortTour(visits)).toEqual(shortTour(visits));
  });
});
