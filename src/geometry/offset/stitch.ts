/**
 * Step 5 of the offset: kept slices become closed loops. The wire's side is on the left of every slice. Where loops
 * touch in a point, each way in takes the leftmost way out, so that they stay separate loops.
 */
import { InternalError } from "../../base/finding.js";
import { angleBetween, type Vec } from "../vec.js";
import type { Candidates } from "./candidates.js";
import { at } from "./curves.js";
import type { Ways } from "./runs.js";
import type { Slices } from "./slices.js";
import { SAME_HEADING } from "./tolerance.js";

/** Loops as rows of slices. */
export function stitch(
  slices: Slices,
  all: Candidates,
  alive: Uint8Array,
  { out }: Ways,
): number[][] {
  const used = new Uint8Array(alive.length);
  const loops: number[][] = [];
  for (let first = 0; first < alive.length; first++) {
    if (!alive[first] || used[first]) continue;
    const loop: number[] = [];
    let s = first;
    do {
      used[s] = 1;
      loop.push(s);
      const p = slices.to[s] as number;
      let best = -1;
      for (let r = at(out.start, p); r < at(out.start, p + 1); r++) {
        const way = at(out.item, r);
        if (!alive[way] || (used[way] && way !== first)) continue;
        if (best < 0 || isLefter(slices, all, s, way, best)) best = way;
      }
      if (best < 0) throw new InternalError("offset: a loop does not close");
      s = best;
    } while (s !== first);
    loops.push(loop);
  }
  return loops;
}

/** Coming along `arriving`: does `a` turn more to the left than `b`, or, in the same direction, bend more? */
function isLefter(
  slices: Slices,
  all: Candidates,
  arriving: number,
  a: number,
  b: number,
): boolean {
  const heading = headingAt(slices, all, arriving, "t1");
  const turnA = turnInto(heading, headingAt(slices, all, a, "t0"));
  const turnB = turnInto(heading, headingAt(slices, all, b, "t0"));
  if (Math.abs(turnA - turnB) >= SAME_HEADING) return turnA > turnB;
  const bend = (s: number): number =>
    at(all.curves.k, slices.candidate[s] as number);
  return bend(a) > bend(b);
}

function turnInto(heading: Vec, way: Vec): number {
  const turn = angleBetween(heading, way);
  // Straight back is the very last choice, whichever sign rounding gave it.
  return Math.PI - turn < SAME_HEADING ? -Math.PI : turn;
}

function headingAt(
  slices: Slices,
  { curves: c }: Candidates,
  s: number,
  end: "t0" | "t1",
): Vec {
  const i = slices.candidate[s] as number;
  const turn = at(c.k, i) * at(c.length, i) * (slices[end][s] as number);
  const x = at(c.tx0, i);
  const y = at(c.ty0, i);
  return {
    x: x * Math.cos(turn) - y * Math.sin(turn),
    y: y * Math.cos(turn) + x * Math.sin(turn),
  };
}
