/**
 * Step 2a of the offset: what becomes of each curve of the outline when it is moved, and of each joint.
 *
 * Where an outline is tangent, or so nearly that no formula can say where the two moved curves cross (rounding
 * divided by the angle), the joint is settled on the spot: both are trimmed to the bisector, by d·tan(turn / 2).
 */
import { at, type Curves } from "./curves.js";
import type { Source } from "./source.js";
import { type Corners, isSquare } from "./square.js";
import { signedTurn } from "./straight-back.js";
import {
  NEARLY_TANGENT,
  type OffsetTolerance,
  SHORT_OF_RADIUS,
} from "./tolerance.js";

/** What is left of a curve moved by d: an arc that turns left loses d of its radius. */
export type Left = "curve" | "point" | "nothing";

/** All arrays by source curve; joint i is the one at the end of curve i. */
export interface Joints {
  readonly next: Int32Array;
  readonly previous: Int32Array;
  readonly left: readonly Left[];
  /** Turn of the direction at the joint, rad, left positive. */
  readonly turn: Float64Array;
  /** 1: the two moved curves meet at the bisector, each shortened by `overlap` mm (lengthened when below 0). */
  readonly joined: Uint8Array;
  readonly overlap: Float64Array;
  /** 1: joined so as a square corner. */
  readonly square: Uint8Array;
}

export function jointsOf(
  { curves, ringStart }: Source,
  d: number,
  corners: Corners,
  tol: OffsetTolerance,
): Joints {
  const n = curves.count;
  const joints = {
    next: new Int32Array(n),
    previous: new Int32Array(n),
    left: Array.from({ length: n }, (_, i) => leftOf(curves, i, d, tol.touch)),
    turn: new Float64Array(n),
    joined: new Uint8Array(n),
    overlap: new Float64Array(n),
    square: new Uint8Array(n),
  };
  for (let ring = 0; ring + 1 < ringStart.length; ring++) {
    const first = ringStart[ring] as number;
    const end = ringStart[ring + 1] as number;
    for (let i = first; i < end; i++) {
      const j = i + 1 < end ? i + 1 : first;
      joints.next[i] = j;
      joints.previous[j] = i;
    }
  }
  for (let i = 0; i < n; i++) {
    const j = at(joints.next, i);
    const turn = signedTurn(
      curves,
      joints.next,
      joints.previous,
      i,
      j,
      turnAt(curves, i, j),
    );
    joints.turn[i] = turn;
    const overlap = d * Math.tan(turn / 2);
    const square = corners === "square" && isSquare(curves, i, j, turn);
    joints.square[i] = square ? 1 : 0;
    const joined =
      joints.left[i] !== "nothing" &&
      joints.left[j] !== "nothing" &&
      (square ||
        (Math.abs(turn) <= NEARLY_TANGENT &&
          joints.left[i] === "curve" &&
          joints.left[j] === "curve" &&
          meetOnBisector(curves, i, j, d, overlap, tol.touch)) ||
        Math.abs(turn) * d <= tol.node);
    joints.joined[i] = joined ? 1 : 0;
    // Less than rounding is not worth the trimming.
    joints.overlap[i] = joined && Math.abs(overlap) > tol.touch ? overlap : 0;
  }
  leaveEnough(curves, joints, d, tol.node);
  return joints;
}

function leftOf(c: Curves, i: number, d: number, small: number): Left {
  const k = at(c.k, i);
  const shrink = 1 - k * d;
  if (shrink < -k * small) return "nothing";
  return shrink <= k * small || shrink * at(c.length, i) <= small
    ? "point"
    : "curve";
}

function turnAt(c: Curves, i: number, j: number): number {
  const ax = at(c.tx1, i);
  const ay = at(c.ty1, i);
  const bx = at(c.tx0, j);
  const by = at(c.ty0, j);
  return Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
}

/**
 * Whether trimmed moved curves meet on the bisector as well as rounding can tell: they bend alike, and what is trimmed
 * is so short beside their radius that it is as long along the curve as along its tangent.
 */
function meetOnBisector(
  c: Curves,
  i: number,
  j: number,
  d: number,
  overlap: number,
  touch: number,
): boolean {
  const a = movedBend(c, i, d);
  const b = movedBend(c, j, d);
  return (
    (Math.abs(a - b) * overlap * overlap) / 2 <= touch &&
    Math.max(Math.abs(a), Math.abs(b)) * Math.abs(overlap) <= SHORT_OF_RADIUS
  );
}

/** Bend of curve i moved by d, 1/mm, left positive; none where nothing is left of it. */
export function movedBend(c: Curves, i: number, d: number): number {
  const k = at(c.k, i);
  const shrink = 1 - k * d;
  return shrink > 0 ? k / shrink : 0;
}

/** Curves too short for what is to be trimmed off them: those joints turn left and are crossings after all. */
function leaveEnough(
  c: Curves,
  { next, previous, left, joined, overlap }: Joints,
  d: number,
  node: number,
): void {
  for (let i = 0; i < next.length; i++) {
    if (left[i] !== "curve") continue;
    const before = at(previous, i);
    const length = at(c.length, i) * (1 - at(c.k, i) * d);
    if (length - at(overlap, before) - at(overlap, i) > node) continue;
    for (const joint of [before, i]) {
      if (at(overlap, joint) <= 0) continue;
      joined[joint] = 0;
      overlap[joint] = 0;
    }
  }
}
