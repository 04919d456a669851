/**
 * Step 2 of the offset: every curve on which a point of the result can lie, and how they hang together.
 *
 * A point of the result is at distance d from all outlines and at exactly d from some piece of them, on its left.
 * So it lies on a line moved left by d, on an arc with its radius changed by d about the same centre, or on an arc
 * of radius d about a corner that turns away. At each joint of the outline, by its turn:
 *
 *   none      ====X====     the moved curves meet in X on the bisector: what they overlap there is trimmed, what
 *                           they lack is added (a square corner is joined so, too, however much it turns)
 *   right     ====.         an arc of radius d about the corner joins them end to end
 *                  \
 *   left      ====|==       they cross: a question for later; what runs past the crossing leads nowhere
 *
 * An arc that turns left with a radius of less than d has no such points: the wire cannot touch it. One of just d
 * is a point.
 */
import {
  addArc,
  addMoved,
  at,
  type Curves,
  newCurves,
  trim,
} from "./curves.js";
import { type Joints, movedBend } from "./joints.js";
import { addNode, type Nodes, newNodes, unite } from "./nodes.js";
import type { Source } from "./source.js";

export interface Candidates {
  readonly curves: Curves;
  readonly nodes: Nodes;
  /** For each candidate the source curve that it is parallel to, or round whose end it goes. */
  readonly source: Int32Array;
  readonly corner: Uint8Array;
  /** Nodes at its ends. */
  readonly start: Int32Array;
  readonly end: Int32Array;
  /** The candidate that carries on without a kink, or −1: the two meet there and nowhere else. */
  readonly smooth: Int32Array;
}

export function candidatesOf(
  { curves: from }: Source,
  joints: Joints,
  d: number,
): Candidates {
  const n = from.count;
  const most = countOf(joints);
  const all: Candidates = {
    curves: newCurves(most),
    nodes: newNodes(2 * n + most),
    source: new Int32Array(most),
    corner: new Uint8Array(most),
    start: new Int32Array(most),
    end: new Int32Array(most),
    smooth: new Int32Array(most).fill(-1),
  };
  const moved = moveAll(all, from, d, joints);
  for (let i = 0; i < n; i++) {
    const j = at(joints.next, i);
    const a = moved[i] as number;
    const b = moved[j] as number;
    if (joints.joined[i]) {
      const place = unite(all.nodes, endNode(i), startNode(j));
      const [x, y] = bisectorPoint(from, i, j, d, at(joints.overlap, i));
      all.nodes.x[place] = x;
      all.nodes.y[place] = y;
      if (a >= 0 && b >= 0) all.smooth[a] = b;
    } else if (at(joints.turn, i) < 0) {
      const [p, q] = goRound(all, from, i, j, at(joints.turn, i), d);
      if (a >= 0) all.smooth[a] = p;
      all.smooth[q] = b;
    }
  }
  return all;
}

/** Curves that are moved, and the arcs round their ends: two where that is over half a turn. */
function countOf({ left, joined, turn }: Joints): number {
  let count = 0;
  for (let i = 0; i < turn.length; i++) {
    if (left[i] === "curve") count++;
    if (joined[i] || at(turn, i) >= 0) continue;
    count += at(turn, i) >= -Math.PI ? 1 : 2;
  }
  return count;
}

/** Nodes 2i and 2i + 1 are the ends of source curve i moved by d, whether any of it is left or not. */
const startNode = (i: number): number => 2 * i;
const endNode = (i: number): number => 2 * i + 1;

/** Adds the moved curves; gives the candidate of each source curve, −1 where there is none. */
function moveAll(
  all: Candidates,
  from: Curves,
  d: number,
  { left, overlap, previous }: Joints,
): Int32Array {
  const moved = new Int32Array(from.count).fill(-1);
  for (let i = 0; i < from.count; i++) {
    addNode(
      all.nodes,
      at(from.x0, i) - at(from.ty0, i) * d,
      at(from.y0, i) + at(from.tx0, i) * d,
    );
    addNode(
      all.nodes,
      at(from.x1, i) - at(from.ty1, i) * d,
      at(from.y1, i) + at(from.tx1, i) * d,
    );
    if (left[i] === "point") unite(all.nodes, startNode(i), endNode(i));
    if (left[i] !== "curve") continue;
    const p = all.curves.count;
    addMoved(all.curves, from, i, d);
    all.source[p] = i;
    all.start[p] = startNode(i);
    all.end[p] = endNode(i);
    const before = at(overlap, at(previous, i));
    const behind = at(overlap, i);
    if (before !== 0 || behind !== 0) trim(all.curves, p, before, behind);
    moved[i] = p;
  }
  return moved;
}

/**
 * The arc about the end of curve i, from its moved end to the moved start of j; two where that is over half a turn,
 * by as little as straight back may be. Gives the first and the last of them.
 */
function goRound(
  all: Candidates,
  from: Curves,
  i: number,
  j: number,
  turn: number,
  d: number,
): [number, number] {
  const { nodes } = all;
  const outX = at(from.tx1, i);
  const outY = at(from.ty1, i);
  const intoX = at(from.tx0, j);
  const intoY = at(from.ty0, j);
  const add = (
    start: number,
    end: number,
    tx0: number,
    ty0: number,
    tx1: number,
    ty1: number,
    sweep: number,
  ): number => {
    const p = all.curves.count;
    addArc(
      all.curves,
      nodes.x[start] as number,
      nodes.y[start] as number,
      nodes.x[end] as number,
      nodes.y[end] as number,
      tx0,
      ty0,
      tx1,
      ty1,
      -1 / d,
      -sweep * d,
    );
    all.source[p] = i;
    all.corner[p] = 1;
    all.start[p] = start;
    all.end[p] = end;
    return p;
  };
  const start = endNode(i);
  const end = startNode(j);
  if (turn >= -Math.PI) {
    const p = add(start, end, outX, outY, intoX, intoY, turn);
    return [p, p];
  }
  const x = outX * Math.cos(turn / 2) - outY * Math.sin(turn / 2);
  const y = outX * Math.sin(turn / 2) + outY * Math.cos(turn / 2);
  const middle = addNode(nodes, at(from.x1, i) - y * d, at(from.y1, i) + x * d);
  const p = add(start, middle, outX, outY, x, y, turn / 2);
  const q = add(middle, end, x, y, intoX, intoY, turn / 2);
  all.smooth[p] = q;
  return [p, q];
}

/**
 * Where both moved curves meet: on the bisector of the corner, and off the meeting point of their tangents by what
 * they bend away from those, bend·overlap²/2.
 */
function bisectorPoint(
  from: Curves,
  i: number,
  j: number,
  d: number,
  overlap: number,
): [number, number] {
  const nx = -at(from.ty1, i) - at(from.ty0, j);
  const ny = at(from.tx1, i) + at(from.tx0, j);
  const bend = (movedBend(from, i, d) + movedBend(from, j, d)) / 2;
  const reach = (2 * d) / (nx * nx + ny * ny) + (bend * overlap * overlap) / 4;
  return [at(from.x1, i) + nx * reach, at(from.y1, i) + ny * reach];
}
