/**
 * A way through points from a fixed start to an end, kept as two arrays that answer "who stands there" and "where does
 * he stand". Everything that changes it is made of reversals of a stretch, so that any change can be taken back.
 */
import type { Vec } from "../../../geometry/vec.js";

/** What to visit; lengths in the unit of the points. */
export interface Visits {
  readonly points: readonly Vec[];
  /** Rank of each point: no point is visited before one of a lower rank. */
  readonly ranks: readonly number[];
  readonly start: Vec;
  /** null: wherever the last point is. */
  readonly end: Vec | null;
}

/** Nodes 0 to n − 1 are the points, n is the start, n + 1 the end; start and end never move. */
export interface Route {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly rank: Float64Array;
  /** Number of points, and of the node that costs nothing to go to: the end, where it is free. */
  readonly n: number;
  readonly free: number;
  /** Node at each position, and position of each node. */
  readonly at: Int32Array;
  readonly position: Int32Array;
  /** First and last position of every reversal so far. */
  readonly reversals: number[];
}

/** Each rank in turn, from neighbour to nearest neighbour (O(n²), but with the smallest of steps). */
export function nearestNeighbourRoute(visits: Visits): Route {
  const { points, ranks, start, end } = visits;
  const n = points.length;
  const all = [...points, start, end ?? start];
  const route: Route = {
    x: Float64Array.from(all, (p) => p.x),
    y: Float64Array.from(all, (p) => p.y),
    rank: Float64Array.from([
      ...ranks,
      Number.NEGATIVE_INFINITY,
      Number.POSITIVE_INFINITY,
    ]),
    n,
    free: end === null ? n + 1 : -1,
    at: new Int32Array(n + 2),
    position: new Int32Array(n + 2),
    reversals: [],
  };
  const rest = Int32Array.from(points.keys());
  rest.sort((a, b) => (ranks[a] as number) - (ranks[b] as number) || a - b);
  let at = n;
  for (let from = 0; from < n; from++) {
    const best = nearestOfRank(route, rest, from, at);
    at = rest[best] as number;
    rest[best] = rest[from] as number;
    rest[from] = at;
  }
  route.at.set([n, ...rest, n + 1]);
  route.at.forEach((node, k) => {
    route.position[node] = k;
  });
  return route;
}

/** Where in `rest`, from `from` on, the node nearest to `at` stands, of those that have the first one's rank. */
function nearestOfRank(
  r: Route,
  rest: Int32Array,
  from: number,
  at: number,
): number {
  const rank = r.rank[rest[from] as number];
  const x = r.x[at] as number;
  const y = r.y[at] as number;
  let best = from;
  let least = Number.POSITIVE_INFINITY;
  for (let k = from; k < rest.length; k++) {
    const node = rest[k] as number;
    if (r.rank[node] !== rank) break;
    const dx = (r.x[node] as number) - x;
    const dy = (r.y[node] as number) - y;
    const square = dx * dx + dy * dy;
    if (square < least) {
      best = k;
      least = square;
    }
  }
  return best;
}

/** Length of the way between two nodes. */
export function way(r: Route, a: number, b: number): number {
  if (a === r.free || b === r.free) return 0;
  const dx = (r.x[a] as number) - (r.x[b] as number);
  const dy = (r.y[a] as number) - (r.y[b] as number);
  return Math.sqrt(dx * dx + dy * dy);
}

/** May the stretch be put in another order: ranks only ever rise along a route, so its ends tell. */
export function sameRank(r: Route, first: number, last: number): boolean {
  return r.rank[r.at[first] as number] === r.rank[r.at[last] as number];
}

/** Turns the stretch from one position to another round. */
export function reverse(r: Route, first: number, last: number): void {
  if (first >= last) return;
  turn(r, first, last);
  r.reversals.push(first, last);
}

/** Takes back all reversals but the first `kept` numbers of the record. */
export function takeBack(r: Route, kept: number): void {
  while (r.reversals.length > kept) {
    const last = r.reversals.pop() as number;
    turn(r, r.reversals.pop() as number, last);
  }
}

function turn({ at, position }: Route, first: number, last: number): void {
  for (let i = first, j = last; i < j; i++, j--) {
    const a = at[i] as number;
    const b = at[j] as number;
    at[i] = b;
    at[j] = a;
    position[b] = i;
    position[a] = j;
  }
}

/** Two stretches that follow each other change places; each keeps its direction unless `turned` says so. */
export function swapStretches(
  r: Route,
  first: number,
  second: number,
  last: number,
  turned: "none" | "first" | "second" = "none",
): void {
  const middle = first + last - second + 1;
  reverse(r, first, last);
  if (turned !== "second") reverse(r, first, middle - 1);
  if (turned !== "first") reverse(r, middle, last);
}
