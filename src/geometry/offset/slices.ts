/**
 * Step 3 of the offset: the candidates are cut where they meet. Each meeting is a node with a number; where three
 * curves go through one place they meet pair by pair, and what lies nearer together than `node` along a curve is
 * united to one. Slices that lie on each other are settled here: of two in the same direction one stays, two in
 * opposite directions vanish, so that a slot of exactly the wire's width is not entered.
 */
import Flatbush from "flatbush";
import type { Candidates } from "./candidates.js";
import { at, type Curves, pointAlong, turningX, turningY } from "./curves.js";
import { meet, newMeetings } from "./meet.js";
import { addNode, placeOf, unite } from "./nodes.js";
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
  const { curves, nodes } = all;
  const n = curves.count;
  // Cuts in order along each candidate, and what lies close together united, before any place is read.
  const rows = rowsOf(cuts.candidate, n);
  for (let i = 0; i < n; i++) {
    const first = at(rows.start, i);
    const end = at(rows.start, i + 1);
    sortBy(rows.item, first, end, cuts.t);
    const near = tol.node / at(curves.length, i);
    let node = at(all.start, i);
    let t = 0;
    for (let r = first; r < end; r++) {
      const cut = at(rows.item, r);
      const next = cuts.node[cut] as number;
      if ((cuts.t[cut] as number) - t <= near) unite(nodes, node, next);
      node = next;
      t = cuts.t[cut] as number;
    }
    if (1 - t <= near) unite(nodes, at(all.end, i), node);
  }
  const slices: Slices = { candidate: [], t0: [], t1: [], from: [], to: [] };
  for (let i = 0; i < n; i++) {
    const end = at(rows.start, i + 1);
    let node = placeOf(nodes, at(all.start, i));
    let t = 0;
    for (let r = at(rows.start, i); r <= end; r++) {
      const cut = r < end ? at(rows.item, r) : -1;
      const next = placeOf(
        nodes,
        cut < 0 ? at(all.end, i) : (cuts.node[cut] as number),
      );
      const tNext = cut < 0 ? 1 : (cuts.t[cut] as number);
      // From a place to itself is nothing, unless it is far round.
      if (next !== node || (tNext - t) * at(curves.length, i) > tol.heal) {
        slices.candidate.push(i);
        slices.t0.push(t);
        slices.t1.push(tNext);
        slices.from.push(node);
        slices.to.push(next);
      }
      node = next;
      t = tNext;
    }
  }
  return slices;
}

interface Cuts {
  readonly candidate: number[];
  readonly t: number[];
  readonly node: number[];
}

/** All meetings of two candidates, found through their boxes. */
function findCuts(all: Candidates, tol: OffsetTolerance): Cuts {
  const { curves, nodes, smooth } = all;
  const cuts: Cuts = { candidate: [], t: [], node: [] };
  if (curves.count === 0) return cuts;
  const { tree, boxes } = indexCurves(curves);
  const found = newMeetings();
  const cut = (candidate: number, t: number, node: number): void => {
    cuts.candidate.push(candidate);
    cuts.t.push(t);
    cuts.node.push(node);
  };
  /** The candidate's own node where the meeting is at one of its ends. */
  const ownNode = (i: number, t: number): number =>
    t === 0 ? at(all.start, i) : t === 1 ? at(all.end, i) : -1;
  let i = 0;
  const visit = (j: number): boolean => {
    if (j <= i || smooth[i] === j || smooth[j] === i) return false;
    meet(curves, i, j, tol, found);
    for (let m = 0; m < found.count; m++) {
      const ta = found.ta[m] as number;
      const tb = found.tb[m] as number;
      const a = ownNode(i, ta);
      const b = ownNode(j, tb);
      if (a >= 0 && b >= 0) unite(nodes, a, b);
      else if (a >= 0) cut(j, tb, a);
      else if (b >= 0) cut(i, ta, b);
      else {
        const node = addNode(nodes, found.x[m] as number, found.y[m] as number);
        cut(i, ta, node);
        cut(j, tb, node);
      }
    }
    return false;
  };
  for (; i < curves.count; i++) {
    const m = tol.node;
    tree.search(
      at(boxes, 4 * i) - m,
      at(boxes, 4 * i + 1) - m,
      at(boxes, 4 * i + 2) + m,
      at(boxes, 4 * i + 3) + m,
      visit,
    );
  }
  return cuts;
}

/** The curves' boxes, four numbers each, and a tree over them. At least one curve. */
export function indexCurves(c: Curves): {
  tree: Flatbush;
  boxes: Float64Array;
} {
  const boxes = new Float64Array(4 * c.count);
  const tree = new Flatbush(c.count);
  for (let i = 0; i < c.count; i++) {
    const x = turningX(c, i);
    const y = turningY(c, i);
    const minX = Math.min(at(c.x0, i), at(c.x1, i), x);
    const minY = Math.min(at(c.y0, i), at(c.y1, i), y);
    const maxX = Math.max(at(c.x0, i), at(c.x1, i), x);
    const maxY = Math.max(at(c.y0, i), at(c.y1, i), y);
    boxes[4 * i] = minX;
    boxes[4 * i + 1] = minY;
    boxes[4 * i + 2] = maxX;
    boxes[4 * i + 3] = maxY;
    tree.add(minX, minY, maxX, maxY);
  }
  tree.finish();
  return { tree, boxes };
}

/** Items grouped by their row: those of row r are item[start[r]] up to item[start[r + 1]]. */
export function rowsOf(
  row: readonly number[],
  rows: number,
): { start: Int32Array; item: Int32Array } {
  const start = new Int32Array(rows + 1);
  for (const r of row) start[r + 1] = at(start, r + 1) + 1;
  for (let r = 0; r < rows; r++) start[r + 1] = at(start, r + 1) + at(start, r);
  const item = new Int32Array(row.length);
  const next = start.slice(0, rows);
  row.forEach((r, i) => {
    item[at(next, r)] = i;
    next[r] = at(next, r) + 1;
  });
  return { start, item };
}

/** Sorts a few items in place by their value: rows are short, and mostly in order. */
function sortBy(
  item: Int32Array,
  first: number,
  end: number,
  value: readonly number[],
): void {
  if (end - first > 32) {
    item
      .subarray(first, end)
      .sort((a, b) => (value[a] as number) - (value[b] as number));
    return;
  }
  for (let r = first + 1; r < end; r++) {
    const moving = at(item, r);
    const v = value[moving] as number;
    let s = r;
    for (; s > first && (value[at(item, s - 1)] as number) > v; s--)
      item[s] = at(item, s - 1);
    item[s] = moving;
  }
}

/** Slices that lie on each other: which stay (1), one of each direction's surplus at most. */
export function settleDoubles(
  slices: Slices,
  all: Candidates,
  tol: OffsetTolerance,
): Uint8Array {
  const { from, to } = slices;
  const alive = new Uint8Array(from.length).fill(1);
  const places = all.nodes.parent.length;
  const slicesAt = new Uint8Array(places);
  for (const place of [...from, ...to])
    slicesAt[place] = Math.min(3, (slicesAt[place] as number) + 1);
  // Two slices with both ends in common: at such places more than two end.
  const byEnds = new Map<number, number[]>();
  for (let s = 0; s < from.length; s++) {
    const a = from[s] as number;
    const b = to[s] as number;
    if ((slicesAt[a] as number) < 3 && (slicesAt[b] as number) < 3) continue;
    const key = Math.min(a, b) * places + Math.max(a, b);
    const others = byEnds.get(key);
    if (others) others.push(s);
    else byEnds.set(key, [s]);
  }
  for (const group of byEnds.values()) {
    for (let g = 1; g < group.length; g++) {
      const s = group[g] as number;
      const twin = group
        .slice(0, g)
        .find((r) => alive[r] && sameMiddle(slices, all, r, s, 10 * tol.node));
      if (twin === undefined) continue;
      alive[s] = 0;
      if (from[s] !== to[s] && from[twin] !== from[s]) alive[twin] = 0;
    }
  }
  return alive;
}

function sameMiddle(
  slices: Slices,
  all: Candidates,
  r: number,
  s: number,
  near: number,
): boolean {
  const p = middleOf(slices, all.curves, r);
  const q = middleOf(slices, all.curves, s);
  return Math.abs(p.x - q.x) <= near && Math.abs(p.y - q.y) <= near;
}

export function middleOf(
  { candidate, t0, t1 }: Slices,
  c: Curves,
  s: number,
): { x: number; y: number } {
  const i = candidate[s] as number;
  const t = ((t0[s] as number) + (t1[s] as number)) / 2;
  return pointAlong(c, i, t * at(c.length, i), { x: 0, y: 0 });
}
