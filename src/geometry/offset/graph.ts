/**
 * The slices as a graph: places, and the slices that begin and end there. Slices are only ever taken away, first
 * those that lead nowhere, then those too near, then those that lie on each other; what is left closes to loops.
 */
import { at, type Curves } from "./curves.js";
import { type Rows, rowsOf } from "./rows.js";
import { type Slices, sliceMiddle } from "./slices.js";

export interface Graph {
  readonly slices: Slices;
  /** 0 for slices taken away. */
  readonly alive: Uint8Array;
  /** Slices by the place where they begin and where they end, and how many of them are alive. */
  readonly out: Rows;
  readonly into: Rows;
  readonly outgoing: Int32Array;
  readonly incoming: Int32Array;
}

export function graphOf(slices: Slices, places: number): Graph {
  const out = rowsOf(slices.from, places);
  const into = rowsOf(slices.to, places);
  return {
    slices,
    alive: new Uint8Array(slices.from.length).fill(1),
    out,
    into,
    outgoing: countsOf(out),
    incoming: countsOf(into),
  };
}

function countsOf({ start }: Rows): Int32Array {
  const counts = new Int32Array(start.length - 1);
  for (let r = 0; r < counts.length; r++)
    counts[r] = at(start, r + 1) - at(start, r);
  return counts;
}

export function takeAway(
  { slices, alive, outgoing, incoming }: Graph,
  s: number,
): void {
  const from = slices.from[s] as number;
  const to = slices.to[s] as number;
  alive[s] = 0;
  outgoing[from] = at(outgoing, from) - 1;
  incoming[to] = at(incoming, to) - 1;
}

/**
 * Of slices that lie on each other, one of each direction stays; and of two that then run against each other none:
 * a slot of exactly the wire's width is not entered.
 */
export function settleDoubles(g: Graph, c: Curves, near: number): void {
  const { slices, alive, out, into } = g;
  for (let s = 0; s < alive.length; s++) {
    if (!alive[s]) continue;
    const from = slices.from[s] as number;
    const to = slices.to[s] as number;
    const same = twinOf(g, c, s, out, from, slices.to, to, near);
    if (same >= 0) takeAway(g, s);
    if (same >= 0 || from === to) continue;
    const opposite = twinOf(g, c, s, into, from, slices.from, to, near);
    if (opposite < 0) continue;
    takeAway(g, s);
    takeAway(g, opposite);
  }
}

/** An earlier slice of the row whose other end is at `to`, and that lies on slice `s`; −1 if there is none. */
function twinOf(
  { slices, alive }: Graph,
  c: Curves,
  s: number,
  rows: Rows,
  row: number,
  otherEnd: readonly number[],
  to: number,
  near: number,
): number {
  for (let r = at(rows.start, row); r < at(rows.start, row + 1); r++) {
    const twin = at(rows.item, r);
    if (twin >= s || !alive[twin] || otherEnd[twin] !== to) continue;
    const p = sliceMiddle(slices, c, s);
    const q = sliceMiddle(slices, c, twin);
    if (Math.abs(p.x - q.x) <= near && Math.abs(p.y - q.y) <= near) return twin;
  }
  return -1;
}

/** Takes slices away that come from nowhere or lead nowhere, and what then does. */
export function pruneLooseEnds(g: Graph): void {
  const { slices, alive, out, into, outgoing, incoming } = g;
  const loose: number[] = [];
  for (let p = 0; p < outgoing.length; p++)
    if ((outgoing[p] === 0) !== (incoming[p] === 0)) loose.push(p);
  for (let p = loose.pop(); p !== undefined; p = loose.pop()) {
    const forward = incoming[p] === 0;
    if (forward === (outgoing[p] === 0)) continue;
    const rows = forward ? out : into;
    const otherEnd = forward ? slices.to : slices.from;
    for (let r = at(rows.start, p); r < at(rows.start, p + 1); r++) {
      const s = at(rows.item, r);
      if (!alive[s]) continue;
      takeAway(g, s);
      loose.push(otherEnd[s] as number);
    }
  }
}
