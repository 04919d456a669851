/**
 * A short tour: from a start through all points, rank by rank, to an end or to wherever the last point is. Nearest
 * neighbour, then 2-opt and Or-opt on neighbour lists, then iterated: two short stretches beside each other change
 * places (a local double bridge), what that spoils is mended, and what does not come out shorter is taken back
 * (Martin, Otto & Felten, Complex Systems 5 (1991) 299-326; survey: Johnson & McGeoch, "The traveling salesman
 * problem: a case study in local optimization", 1997). The work is bounded by counts, never by a clock.
 */
import { enqueue, type Queue, shorten } from "./moves.js";
import { neighbourLists } from "./neighbours.js";
import {
  nearestNeighbourRoute,
  type Route,
  sameRank,
  swapStretches,
  takeBack,
  type Visits,
  way,
} from "./route.js";

/** Double bridges for each point, and in all. */
const KICKS_EACH = 12;
const KICKS = 10_000;

/** Points in a stretch that a double bridge moves: longer ones are seldom mended. */
const STRETCH = 50;

/** Indices of the points in the order of the tour. Same input, same order. */
export function shortTour(visits: Visits): number[] {
  const route = nearestNeighbourRoute(visits);
  const near = neighbourLists(route);
  const queue: Queue = { nodes: [], waiting: new Uint8Array(route.n + 2) };
  for (const node of route.at) enqueue(queue, node);
  shorten(route, near, queue);
  route.reversals.length = 0;

  const random = randomNumbers();
  const kicks = Math.min(KICKS, KICKS_EACH * route.n);
  for (let k = 0; k < kicks; k++) {
    const lost = doubleBridge(route, queue, random);
    if (lost === null) continue;
    if (lost - shorten(route, near, queue) > 0) takeBack(route, 0);
    route.reversals.length = 0;
  }
  return Array.from(route.at.subarray(1, route.n + 1));
}

/** Length of a tour through the points in the given order. */
export function tourLength(
  { points, start, end }: Visits,
  order: readonly number[],
): number {
  const stops = [start, ...order.map((i) => points[i] as Visits["start"])];
  if (end) stops.push(end);
  return stops.reduce((sum, p, i) => {
    const q = stops[i - 1] ?? p;
    return sum + Math.hypot(p.x - q.x, p.y - q.y);
  }, 0);
}

/** Swaps two stretches somewhere; returns by how much that lengthens the route, or null where there was no room. */
function doubleBridge(
  r: Route,
  queue: Queue,
  random: (below: number) => number,
): number | null {
  const longest = Math.max(1, Math.min(STRETCH, Math.floor(r.n / 3)));
  const first = 1 + random(r.n);
  const second = first + 1 + random(longest);
  const last = second + random(longest);
  if (last > r.n || !sameRank(r, first, last)) return null;
  const [a, b, c, d, e, f] = [
    first - 1,
    first,
    second - 1,
    second,
    last,
    last + 1,
  ].map((k) => r.at[k] as number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  swapStretches(r, first, second, last);
  for (const node of [a, b, c, d, e, f]) enqueue(queue, node);
  return (
    way(r, a, d) +
    way(r, e, b) +
    way(r, c, f) -
    way(r, a, b) -
    way(r, c, d) -
    way(r, e, f)
  );
}

/** Whole numbers that look random and are the same every time (Lehmer's generator; Park & Miller 1988). */
function randomNumbers(): (below: number) => number {
  let state = 1;
  return (below) => {
    state = (state * 16_807) % 2_147_483_647;
    return state % below;
  };
}
