/**
 * Step 5 of the offset: kept slices become closed loops. The wire's side is on the left of every slice. Where loops
 * touch in a point, each way in takes the leftmost way out, so that they stay separate loops.
 */
import { InternalError } from "../../base/finding.js";
import { angleBetween, type Vec } from "../vec.js";
import { at, type Curves } from "./curves.js";
import type { Graph } from "./graph.js";
import { headingAt, type Slices } from "./slices.js";
import { SAME_HEADING } from "./tolerance.js";

/** Loops as rows of slices. */
export function stitch(g: Graph, c: Curves): number[][] {
  const used = new Uint8Array(g.alive.length);
  const loops: number[][] = [];
  for (let first = 0; first < used.length; first++) {
    if (!g.alive[first] || used[first]) continue;
    const loop: number[] = [];
    let s = first;
    do {
      used[s] = 1;
      loop.push(s);
      s = wayOn(g, c, s, first, used);
    } while (s !== first);
    loops.push(loop);
  }
  return loops;
}

function wayOn(
  { slices, alive, out }: Graph,
  c: Curves,
  s: number,
  first: number,
  used: Uint8Array,
): number {
  const p = slices.to[s] as number;
  let best = -1;
  for (let r = at(out.start, p); r < at(out.start, p + 1); r++) {
    const way = at(out.item, r);
    if (!alive[way] || (used[way] && way !== first)) continue;
    if (best < 0 || isLefter(slices, c, s, way, best)) best = way;
  }
  if (best < 0) throw new InternalError("offset: a loop does not close");
  return best;
}

/** Coming along `arriving`: does `a` turn more to the left than `b`, or, in the same direction, bend more? */
function isLefter(
  slices: Slices,
  c: Curves,
  arriving: number,
  a: number,
  b: number,
): boolean {
  const heading = headingAt(slices, c, arriving, slices.t1);
  const turnA = turnInto(heading, headingAt(slices, c, a, slices.t0));
  const turnB = turnInto(heading, headingAt(slices, c, b, slices.t0));
  if (Math.abs(turnA - turnB) >= SAME_HEADING) return turnA > turnB;
  return (
    at(c.k, slices.candidate[a] as number) >
    at(c.k, slices.candidate[b] as number)
  );
}

function turnInto(heading: Vec, way: Vec): number {
  const turn = angleBetween(heading, way);
  // Straight back is the very last choice, whichever sign rounding gave it.
  return Math.PI - turn < SAME_HEADING ? -Math.PI : turn;
}
