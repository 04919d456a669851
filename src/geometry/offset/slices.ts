/**
 * Step 3 of the offset: the candidates are cut where they meet. Each meeting is a node with a number; where three
 * curves go through one place they meet pair by pair, and what lies nearer together than `node` along a curve is
 * united to one.
 */
import type { Candidates } from "./candidates.js";
import { at, type Curves, type Place, pointAlong } from "./curves.js";
import { type Cuts, findCuts } from "./cuts.js";
import { placeOf, unite } from "./nodes.js";
import { type Rows, rowsOf, sortRow } from "./rows.js";
import type { OffsetTolerance } from "./tolerance.js";

/** Pieces of candidates between nodes. All arrays by slice. */
export interface Slices {
  readonly candidate: number[];
  /** Fractions along the candidate. */
  readonly t0: number[];
  readonly t1: number[];
  /** Places (see `placeOf`) where it begins and ends. */
  readonly from: number[];
  readonly to: number[];
}

export function cutAtMeetings(all: Candidates, tol: OffsetTolerance): Slices {
  const cuts = findCuts(all, tol);
  const rows = rowsOf(cuts.candidate, all.curves.count);
  // All that is one place must be united before any place is read.
  for (let i = 0; i < all.curves.count; i++) {
    sortRow(rows, i, cuts.t);
    uniteNear(all, i, cuts, rows, tol.node);
  }
  const slices: Slices = { candidate: [], t0: [], t1: [], from: [], to: [] };
  for (let i = 0; i < all.curves.count; i++)
    cut(all, i, cuts, rows, tol.loop, slices);
  return slices;
}

function uniteNear(
  { curves, nodes, start, end }: Candidates,
  i: number,
  cuts: Cuts,
  rows: Rows,
  reach: number,
): void {
  const near = reach / at(curves.length, i);
  let node = at(start, i);
  let t = 0;
  for (let r = at(rows.start, i); r < at(rows.start, i + 1); r++) {
    const k = at(rows.item, r);
    const next = cuts.node[k] as number;
    if ((cuts.t[k] as number) - t <= near) unite(nodes, node, next);
    node = next;
    t = cuts.t[k] as number;
  }
  if (1 - t <= near) unite(nodes, at(end, i), node);
}

function cut(
  { curves, nodes, start, end }: Candidates,
  i: number,
  cuts: Cuts,
  rows: Rows,
  far: number,
  slices: Slices,
): void {
  const last = at(rows.start, i + 1);
  let place = placeOf(nodes, at(start, i));
  let t = 0;
  for (let r = at(rows.start, i); r <= last; r++) {
    const k = r < last ? at(rows.item, r) : -1;
    const node = k < 0 ? at(end, i) : (cuts.node[k] as number);
    const next = placeOf(nodes, node);
    const tNext = k < 0 ? 1 : (cuts.t[k] as number);
    // From a place to itself is nothing, unless it is far round.
    if (next !== place || (tNext - t) * at(curves.length, i) > far) {
      slices.candidate.push(i);
      slices.t0.push(t);
      slices.t1.push(tNext);
      slices.from.push(place);
      slices.to.push(next);
    }
    place = next;
    t = tNext;
  }
}

export function sliceLength(
  { candidate, t0, t1 }: Slices,
  c: Curves,
  s: number,
): number {
  return (
    ((t1[s] as number) - (t0[s] as number)) *
    at(c.length, candidate[s] as number)
  );
}

/** The point at a fraction of slice `s`. */
function pointOnSlice(
  { candidate, t0, t1 }: Slices,
  c: Curves,
  s: number,
  fraction: number,
): Place {
  const i = candidate[s] as number;
  const t = (t0[s] as number) * (1 - fraction) + (t1[s] as number) * fraction;
  return pointAlong(c, i, t * at(c.length, i), { x: 0, y: 0 });
}

export function sliceMiddle(slices: Slices, c: Curves, s: number): Place {
  return pointOnSlice(slices, c, s, 0.5);
}

/** rad; the arc about a tip that turns nearly back goes round by almost half a turn. */
const FAR_ROUND = 2;

export function goesFarRound(slices: Slices, c: Curves, s: number): boolean {
  const turn =
    at(c.k, slices.candidate[s] as number) * sliceLength(slices, c, s);
  return Math.abs(turn) > FAR_ROUND;
}

/**
 * Where it is asked whether slice `s` is clear: in the middle; if it goes far round, at its quarters too. About a tip
 * behind which the outline crosses itself by next to nothing (`findConflicts` lets that pass) such an arc lies on the
 * wrong side, where no candidates are for it to meet, and is clear straight ahead of the tip only.
 */
export function placesToAsk(slices: Slices, c: Curves, s: number): Place[] {
  return (goesFarRound(slices, c, s) ? [0.5, 0.25, 0.75] : [0.5]).map((t) =>
    pointOnSlice(slices, c, s, t),
  );
}

/** Unit direction of travel along slice `s`, where `t` (t0 or t1) says. */
export function headingAt(
  { candidate }: Slices,
  c: Curves,
  s: number,
  t: readonly number[],
): Place {
  const i = candidate[s] as number;
  const turn = at(c.k, i) * at(c.length, i) * (t[s] as number);
  const x = at(c.tx0, i);
  const y = at(c.ty0, i);
  return {
    x: x * Math.cos(turn) - y * Math.sin(turn),
    y: y * Math.cos(turn) + x * Math.sin(turn),
  };
}
