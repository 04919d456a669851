/**
 * A feature's track: its outline turned so that the wire's side is on the left, and the loop the wire's centre
 * follows on each pass. A spot is a place on the outline; every pass has its own point square to it.
 */

import { SAME_DIRECTION, SAME_POINT, STUB } from "../../base/tolerance.js";
import {
  type Contour,
  contourArea,
  reverseContour,
  turnBetween,
} from "../../geometry/contour.js";
import {
  loopContour,
  type OffsetLoop,
  type OffsetSegment,
  offsetLeft,
} from "../../geometry/offset.js";
import {
  pointAt,
  reverseSegment,
  type Segment,
  segmentLength,
  subSegment,
  tangentAt,
} from "../../geometry/segment.js";
import { along, left, type Vec } from "../../geometry/vec.js";
import type { Feature } from "../feature.js";
import type { Pass } from "../job/job.js";
import { loopIndex } from "./loop-index.js";

/** A place on the outline of a track: segment and fraction. */
export interface Spot {
  readonly index: number;
  readonly t: number;
}

export interface PassLoop {
  readonly pass: Pass;
  readonly loop: OffsetLoop;
}

export interface Track {
  readonly feature: Feature;
  /** The outline, wire's side on the left: counter-clockwise for an opening, clockwise for a part. */
  readonly contour: Contour;
  /** One loop a pass, in pass order. */
  readonly passes: readonly PassLoop[];
}

export function trackContour(feature: Feature): Contour {
  return feature.role === "opening"
    ? feature.contour
    : reverseContour(feature.contour);
}

/**
 * All loops of one pass. `main` is the one the wire follows; `others` are lobes behind a neck (opening) or
 * pockets behind a mouth (part) that it cannot get to from there.
 */
export function passLoops(
  feature: Feature,
  contour: Contour,
  offset: number,
): { main: OffsetLoop | null; others: OffsetLoop[] } {
  const loops = offsetLeft([contour], offset);
  const sign = feature.role === "opening" ? 1 : -1;
  const size = (l: OffsetLoop): number => sign * contourArea(loopContour(l));
  const [main, ...others] = loops.sort((a, b) => size(b) - size(a));
  return { main: main && size(main) > 0 ? main : null, others };
}

export function spotPoint(track: Track, spot: Spot): Vec {
  return pointAt(track.contour.segments[spot.index] as Segment, spot.t);
}

/** Unit vector from the outline into the waste. */
export function spotNormal(track: Track, spot: Spot): Vec {
  return left(tangentAt(track.contour.segments[spot.index] as Segment, spot.t));
}

/** The point `distance` off the outline, square to it, on the wire's side. */
export function offSpot(track: Track, spot: Spot, distance: number): Vec {
  return along(spotPoint(track, spot), spotNormal(track, spot), distance);
}

interface LoopPosition {
  readonly k: number;
  readonly u: number;
}

/** Fractions within this are on the piece. */
const ON_PIECE = 1e-9;

function locate(loop: OffsetLoop, spot: Spot): LoopPosition | null {
  const k = loopIndex(loop)
    .piecesOf.get(spot.index)
    ?.find((i) => {
      const { from, to } = loop.segments[i] as OffsetSegment;
      return spot.t >= from - ON_PIECE && spot.t <= to + ON_PIECE;
    });
  if (k === undefined) return null;
  const { from, to } = loop.segments[k] as OffsetSegment;
  return { k, u: Math.min(1, Math.max(0, (spot.t - from) / (to - from))) };
}

/** Does the wire touch this spot on every pass? */
export function reachedByAll(track: Track, spot: Spot): boolean {
  return track.passes.every(({ loop }) => locate(loop, spot) !== null);
}

/** A spot on the rough's path, and how far it is from where the walk began, mm; `corner`: no one spot is square to it. */
export interface Walked extends Spot {
  readonly corner: boolean;
  readonly far: number;
}

/**
 * The spot reached from `spot` by going `distance` mm (negative: backwards) along the rough's path, kept `STUB` off the
 * ends of its piece unless it is a smooth joint itself. On the arc round a corner that is the corner itself. `null` off the path.
 */
export function walk(
  track: Track,
  spot: Spot,
  distance: number,
): Walked | null {
  const { loop } = track.passes[0] as PassLoop;
  const start = locate(loop, spot);
  if (!start) return null;
  const n = loop.segments.length;
  const lengthOf = (i: number): number =>
    segmentLength((loop.segments[i] as OffsetSegment).segment);
  let { k } = start;
  let at = start.u * lengthOf(k) + distance;
  while (at < 0) {
    k = (k + n - 1) % n;
    at += lengthOf(k);
  }
  while (at > lengthOf(k)) {
    at -= lengthOf(k);
    k = (k + 1) % n;
  }
  const piece = loop.segments[k] as OffsetSegment;
  const u = at / lengthOf(k);
  const kept = piece.corner
    ? u
    : (smoothJoint(loop, k, at) ?? offEnds(track, piece, u));
  return {
    ...spotOn(piece, kept),
    corner: piece.corner,
    far: distance + (kept - u) * lengthOf(k),
  };
}

/** The end of piece `k` that `at` mm along it is, if the path goes on straight there; else `null`. */
function smoothJoint(
  { segments }: OffsetLoop,
  k: number,
  at: number,
): 0 | 1 | null {
  const n = segments.length;
  const piece = segments[k] as OffsetSegment;
  const end = at <= SAME_POINT ? 0 : 1;
  if (end === 1 && at < segmentLength(piece.segment) - SAME_POINT) return null;
  const other = segments[(k + (end === 1 ? 1 : n - 1)) % n] as OffsetSegment;
  const [a, b] = end === 1 ? [piece, other] : [other, piece];
  const turn = turnBetween(a.segment, b.segment);
  return other.corner || Math.abs(turn) > SAME_DIRECTION ? null : end;
}

/** The spot at a fraction of a piece. */
export function spotOn({ index, from, to }: OffsetSegment, u: number): Spot {
  return { index, t: from + (to - from) * u };
}

/** The fraction of a piece nearest to `u` that leaves no stub at either end, on the path or on the outline. */
export function offEnds(track: Track, piece: OffsetSegment, u: number): number {
  const own = track.contour.segments[piece.index] as Segment;
  const shorter = Math.min(
    segmentLength(piece.segment),
    segmentLength(own) * (piece.to - piece.from),
  );
  const margin = Math.min(STUB / shorter, 0.5);
  return Math.min(1 - margin, Math.max(margin, u));
}

/** mm along a loop from its start to a spot that is on it. */
export function placeOn(loop: OffsetLoop, spot: Spot): number {
  const at = locate(loop, spot);
  if (!at) throw new RangeError("the spot must lie on the loop");
  const { segment } = loop.segments[at.k] as OffsetSegment;
  return (
    (loopIndex(loop).starts[at.k] as number) + at.u * segmentLength(segment)
  );
}

/** The pieces of a loop from one spot forward to another, each with the stretch of outline it belongs to. */
export function piecesBetween(
  loop: OffsetLoop,
  start: Spot,
  end: Spot,
): OffsetSegment[] {
  const a = locate(loop, start);
  const b = locate(loop, end);
  if (!a || !b) throw new RangeError("both spots must lie on the loop");
  const n = loop.segments.length;
  const cut = (k: number, u0: number, u1: number): OffsetSegment[] => {
    const p = loop.segments[k] as OffsetSegment;
    if (u1 <= u0) return [];
    const fraction = (u: number): number => p.from + (p.to - p.from) * u;
    return [
      {
        ...p,
        segment: subSegment(p.segment, u0, u1),
        from: fraction(u0),
        to: fraction(u1),
      },
    ];
  };
  if (a.k === b.k && a.u < b.u) return cut(a.k, a.u, b.u);
  const whole: OffsetSegment[] = [];
  for (let k = (a.k + 1) % n; k !== b.k; k = (k + 1) % n)
    whole.push(loop.segments[k] as OffsetSegment);
  return [...cut(a.k, a.u, 1), ...whole, ...cut(b.k, 0, b.u)];
}

/** The other way along. */
export function reversePath(path: readonly Segment[]): Segment[] {
  return path.map(reverseSegment).reverse();
}
