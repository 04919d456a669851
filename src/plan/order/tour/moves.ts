/**
 * Moves that shorten a route: 2-opt (Croes, Operations Research 6 (1958) 791-812) and Or-opt, which carries up to three
 * nodes to another place (Or, thesis, Northwestern University (1976)). Both look only at neighbour lists, and only at
 * nodes whose surroundings have changed (Bentley, ORSA Journal on Computing 4 (1992) 387-411).
 */
import { type Route, reverse, sameRank, swapStretches, way } from "./route.js";

/** Gains under this share of the ways they come from are rounding, and chasing them may never end. */
const LEAST_GAIN = 1e-10;

/** Nodes that Or-opt carries at once. */
const CARRIED = 3;

/** Nodes to look at, each once, first come first served. */
export interface Queue {
  readonly nodes: number[];
  readonly waiting: Uint8Array;
}

export function enqueue(queue: Queue, node: number): void {
  if (queue.waiting[node]) return;
  queue.waiting[node] = 1;
  queue.nodes.push(node);
}

/** Shortens until the queue is empty; returns by how much. */
export function shorten(
  r: Route,
  near: readonly Int32Array[],
  queue: Queue,
): number {
  let gained = 0;
  for (let k = 0; k < queue.nodes.length; k++) {
    const node = queue.nodes[k] as number;
    queue.waiting[node] = 0;
    for (;;) {
      const gain = twoOpt(r, near, queue, node) || orOpt(r, near, queue, node);
      if (gain === 0) break;
      gained += gain;
    }
  }
  queue.nodes.length = 0;
  return gained;
}

/**
 *     … a b … c d …   →   … a c … b d …     for a ranked beside c, or b beside d
 */
function twoOpt(
  r: Route,
  near: readonly Int32Array[],
  queue: Queue,
  node: number,
): number {
  const { at, position, n } = r;
  const p = position[node] as number;
  for (const step of [1, -1] as const) {
    if (p + step < 0 || p + step > n + 1) continue;
    const mate = at[p + step] as number;
    const old = way(r, node, mate);
    for (const other of near[node] as Int32Array) {
      const fresh = way(r, node, other);
      if (fresh >= old) break;
      const q = position[other] as number;
      if (q + step < 0 || q + step > n + 1) continue;
      const otherMate = at[q + step] as number;
      const before = old + way(r, other, otherMate);
      const gain = before - fresh - way(r, mate, otherMate);
      if (gain <= LEAST_GAIN * before) continue;
      const first = step === 1 ? Math.min(p, q) + 1 : Math.min(p, q);
      const last = step === 1 ? Math.max(p, q) : Math.max(p, q) - 1;
      if (!sameRank(r, first, last)) continue;
      reverse(r, first, last);
      for (const touched of [node, mate, other, otherMate])
        enqueue(queue, touched);
      return gain;
    }
  }
  return 0;
}

/**
 * The stretch that begins or ends with the node is carried between two others so that the node stands beside a
 * neighbour:   a [node … tail] b … other c   →   a b … other [node … tail] c
 */
function orOpt(
  r: Route,
  near: readonly Int32Array[],
  queue: Queue,
  node: number,
): number {
  const { at, position, n } = r;
  if (node >= n) return 0;
  const p = position[node] as number;
  for (const step of [1, -1] as const) {
    const mate = at[p - step] as number;
    const open = way(r, mate, node);
    for (let k = 0; k < CARRIED; k++) {
      const end = p + step * k;
      if (end < 1 || end > n) break;
      const tail = at[end] as number;
      const after = at[end + step] as number;
      const freed = open + way(r, tail, after);
      const closed = way(r, mate, after);
      const first = Math.min(p, end);
      const last = Math.max(p, end);
      for (const other of near[node] as Int32Array) {
        const fresh = way(r, node, other);
        if (fresh >= open) break;
        const q = position[other] as number;
        if (q >= first && q <= last) continue;
        for (const side of [1, -1] as const) {
          const c = q + side;
          if (c < 0 || c > n + 1 || (c >= first && c <= last)) continue;
          const beyond = at[c] as number;
          const before = freed + way(r, other, beyond);
          const gain = before - closed - fresh - way(r, tail, beyond);
          if (gain <= LEAST_GAIN * before) continue;
          const low = Math.min(q, c);
          const later = low > last;
          const from = later ? first : low + 1;
          const to = later ? low : last;
          if (!sameRank(r, from, to)) continue;
          // Does the carried stretch keep its direction: the node goes ahead of its tail as before?
          const ahead = step === 1;
          const goesAhead = side === 1;
          const turned =
            ahead === goesAhead ? "none" : later ? "first" : "second";
          swapStretches(r, from, later ? last + 1 : first, to, turned);
          for (const touched of [node, tail, mate, after, other, beyond])
            enqueue(queue, touched);
          return gain;
        }
      }
    }
  }
  return 0;
}
