/**
 * A feature's track: its outline turned so that the wire's side is on the left, and the loop the wire's centre
 * follows on each pass. A spot is a place on the outline; every pass has its own point square to it.
 */

import {
  type Contour,
  contourArea,
  reverseContour,
} from "../geometry/contour.js";
import {
  loopContour,
  type OffsetLoop,
  type OffsetSegment,
  offsetLeft,
} from "../geometry/offset.js";
import {
  pointAt,
  reverseSegment,
  type Segment,
  segmentLength,
  subSegment,
  tangentAt,
} from "../geometry/segment.js";
import { along, left, type Vec } from "../geometry/vec.js";
import type { Feature } from "./feature.js";
import type { Pass } from "./job.js";

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
  const k = loop.segments.findIndex(
    (s) =>
      s.index === spot.index &&
      !s.corner &&
      spot.t >= s.from - ON_PIECE &&
      spot.t <= s.to + ON_PIECE,
  );
  if (k < 0) return null;
  const { from, to } = loop.segments[k] as OffsetSegment;
  return { k, u: Math.min(1, Math.max(0, (spot.t - from) / (to - from))) };
}

/** Does the wire touch this spot on every pass? */
export function reachedByAll(track: Track, spot: Spot): boolean {
  return track.passes.every(({ loop }) => locate(loop, spot) !== null);
}

/**
 * The spot reached from `spot` by going `distance` mm (negative: backwards) along a pass's loop. On the arc round a
 * corner that is the corner itself, to which no one spot is square: `corner` says so. `null` off the loop.
 */
export function walk(
  loop: OffsetLoop,
  spot: Spot,
  distance: number,
): (Spot & { readonly corner: boolean }) | null {
  const start = locate(loop, spot);
  if (!start) return null;
  const n = loop.segments.length;
  let { k } = start;
  const piece = (): OffsetSegment => loop.segments[k] as OffsetSegment;
  let at = start.u * segmentLength(piece().segment) + distance;
  while (at < 0) {
    k = (k + n - 1) % n;
    at += segmentLength(piece().segment);
  }
  while (at > segmentLength(piece().segment)) {
    at -= segmentLength(piece().segment);
    k = (k + 1) % n;
  }
  const { index, corner, from, to, segment } = piece();
  return {
    index,
    corner,
    t: from + ((to - from) * at) / segmentLength(segment),
  };
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
