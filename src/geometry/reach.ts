/**
 * What a wire of a given offset cannot touch.
 *
 *      ______________    The wire ○ touches the wall last at a, then the next at b. What lies between was never
 *     a  ╲                touched: stock stays there, with a fillet of the wire's offset.
 *     ○   )               Each piece of an offset loop knows the stretch of outline it is parallel to, so a and b
 *     └ b │               are where one piece's stretch does not go on where the piece before it ended.
 *
 * O(n). The places are those of the offset itself; nothing is searched for.
 */
import { SAME_FRACTION, SHARP_TURN } from "../base/tolerance.js";
import { type Contour, turnBetween } from "./contour.js";
import type { OffsetLoop, OffsetSegment } from "./offset.js";
import { arcFraction, type Segment, subSegment, turnAlong } from "./segment.js";
import { along, distance, sub, type Vec } from "./vec.js";

export interface Unreached {
  /** Where the wire's centre stands when it touches both ends of the stretch. */
  readonly wireAt: Vec;
  /** Turn of the outline over the stretch, rad: under π the walls open towards the wire, a corner; from π on a slot. */
  readonly turn: number;
  /** Sharp inside corners in it. */
  readonly corners: number;
  /** Greatest distance of the stretch from the swept disc, mm, and where. */
  readonly left: number;
  readonly at: Vec;
  /** Radius (mm) that is left in place of what is drawn: the offset itself. */
  readonly radius: number;
}

/**
 * The stretches of a closed outline that the wire leaves out where it turns, loop by loop. `loops` are the offset of
 * the outline alone, to its left by `d` mm; where they are none, it touches nothing at all.
 */
export function unreachedStretches(
  contour: Contour,
  loops: readonly OffsetLoop[],
  d: number,
): Unreached[] {
  return loops.flatMap(({ segments }) =>
    segments.flatMap((a, k) => {
      const b = segments[(k + 1) % segments.length] as OffsetSegment;
      return follows(a, b, contour.segments.length)
        ? []
        : [describe(contour, a, b, d)];
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
  let corners = 0;
  let at = stretch[0]?.start ?? wireAt;
  let farthest = 0;
  stretch.forEach((s, k) => {
    turn += turnAlong(s);
    const next = stretch[k + 1];
    if (next) {
      const corner = turnBetween(s, next);
      turn += corner;
      if (corner > SHARP_TURN) corners++;
    }
    for (const p of farCandidates(s, wireAt)) {
      const far = distance(p, wireAt);
      if (far > farthest) {
        farthest = far;
        at = p;
      }
    }
  });
  return {
    wireAt,
    turn,
    corners,
    left: Math.max(0, farthest - d),
    at,
    radius: d,
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
    pieces.push(subSegment(s, from, to));
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
