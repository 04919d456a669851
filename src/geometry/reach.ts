/**
 * What a wire of a given offset cannot touch. Each piece of an offset loop knows the stretch of outline it is
 * parallel to; where one piece's stretch does not continue the stretch of the piece before it, the outline in
 * between was never touched: the wire turned in the corner and left stock there.
 */
import { type Contour, turnBetween } from "./contour.js";
import type { OffsetLoop, OffsetSegment } from "./offset.js";
import {
  arcFraction,
  pointAt,
  type Segment,
  subSegment,
  turnAlong,
} from "./segment.js";
import { along, distance, sub, type Vec } from "./vec.js";

export interface Unreached {
  readonly contour: number;
  /** Where the wire's centre stands when it touches both ends of the stretch. */
  readonly wireAt: Vec;
  /** Turn of the outline over the stretch, rad: under π the walls open towards the wire, a corner; from π on a slot. */
  readonly turn: number;
  /** Greatest distance of the stretch from the swept disc, mm, and where. */
  readonly left: number;
  readonly at: Vec;
}

/** Fractions that differ by less are the same place on a segment. */
const SAME_FRACTION = 1e-9;

/** The stretches that none of the loops (all the offset of `contours` by `d`) touches. */
export function unreachedStretches(
  contours: readonly Contour[],
  loops: readonly OffsetLoop[],
  d: number,
): Unreached[] {
  return loops.flatMap(({ segments }) =>
    segments.flatMap((a, k) => {
      const b = segments[(k + 1) % segments.length] as OffsetSegment;
      const c = contours[a.contour] as Contour;
      if (a.contour !== b.contour || follows(a, b, c.segments.length))
        return [];
      return [describe(c, a, b, d)];
    }),
  );
}

function follows(a: OffsetSegment, b: OffsetSegment, n: number): boolean {
  if (a.index === b.index && !(a.corner && !b.corner))
    return Math.abs(b.from - a.to) < SAME_FRACTION;
  const next = (a.index + 1) % n;
  return (
    a.to > 1 - SAME_FRACTION &&
    b.index === next &&
    !b.corner &&
    b.from < SAME_FRACTION
  );
}

function describe(
  c: Contour,
  a: OffsetSegment,
  b: OffsetSegment,
  d: number,
): Unreached {
  const wireAt = a.segment.end;
  const stretch = stretchBetween(c, a, b);
  let turn = 0;
  let at = stretch[0]?.start ?? wireAt;
  let farthest = 0;
  stretch.forEach((s, k) => {
    turn += turnAlong(s);
    const next = stretch[k + 1];
    if (next) turn += turnBetween(s, next);
    for (const p of farCandidates(s, wireAt)) {
      const far = distance(p, wireAt);
      if (far > farthest) {
        farthest = far;
        at = p;
      }
    }
  });
  return {
    contour: a.contour,
    wireAt,
    turn,
    left: Math.max(0, farthest - d),
    at,
  };
}

/** The pieces of outline from where `a` leaves it to where `b` meets it again. */
function stretchBetween(
  c: Contour,
  a: OffsetSegment,
  b: OffsetSegment,
): Segment[] {
  const n = c.segments.length;
  const pieces: Segment[] = [];
  const piece = (i: number, from: number, to: number): void => {
    const s = c.segments[i % n] as Segment;
    pieces.push(
      to - from < SAME_FRACTION
        ? { kind: "line", start: pointAt(s, from), end: pointAt(s, to) }
        : subSegment(s, from, to),
    );
  };
  const steps = (b.index - a.index + n) % n;
  if (steps === 0 && b.from >= a.to) {
    piece(a.index, a.to, b.from);
    return pieces;
  }
  const whole = steps === 0 ? n : steps;
  if (a.to < 1 - SAME_FRACTION) piece(a.index, a.to, 1);
  for (let k = 1; k < whole; k++) piece(a.index + k, 0, 1);
  if (b.corner) piece(b.index, 0, 1);
  else if (b.from > SAME_FRACTION) piece(b.index, 0, b.from);
  return pieces;
}

/** Points of a segment among which the one farthest from `p` is found. */
function farCandidates(s: Segment, p: Vec): Vec[] {
  const points = [s.start, s.end];
  if (s.kind === "arc") {
    const out = sub(s.center, p);
    const l = Math.hypot(out.x, out.y);
    if (l > 0) {
      const far = along(s.center, out, s.radius / l);
      if (arcFraction(s, far) <= 1) points.push(far);
    }
  }
  return points;
}
