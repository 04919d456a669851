/**
 * The parallels of compensated segments, joined as a control joins them: rolled round outside corners, cut where they
 * meet at inside ones.
 */
import { fixed, placeText } from "../base/numbers.js";
import {
  ARC_RADIUS_AGREEMENT,
  FLAT_CORNER,
  SAME_DIRECTION,
  SAME_POINT,
  SHARP_TURN,
  TURNED_BACK,
} from "../base/tolerance.js";
import {
  arcFromTo,
  type Segment,
  segmentLength,
  line as straight,
  tangentAt,
} from "../geometry/segment.js";
import {
  along,
  angleBetween,
  distance,
  dot,
  left,
  lerp,
  pair,
  sub,
  type Vec,
} from "../geometry/vec.js";
import { type Feed, moveOf, type WireMove } from "./feed.js";
import { crossings, pointTo } from "./measure.js";

/** A sharp corner of a compensated outline, where controls differ. */
export interface Corner {
  readonly line: number;
  readonly at: Vec;
  /** Outside: the wire goes round the corner. Inside: it turns where the two offsets meet. */
  readonly side: "outside" | "inside";
  /** rad, above 0 */
  readonly turn: number;
  /** mm */
  readonly offset: number;
}

/** Tells what a control would refuse of a feed; a warning where only a strict one would. */
export type Tell = (
  feed: Feed,
  message: string,
  severity?: "error" | "warning",
) => void;

/** Point `d` left of a segment's end of the given fraction. */
function beside(s: Segment, t: 0 | 1, d: number): Vec {
  return along(t === 0 ? s.start : s.end, left(tangentAt(s, t)), d);
}

/** A segment's parallel, `d` to the left (negative: right). */
export function shifted(feed: Feed, d: number, tell: Tell): Segment {
  const s = feed.segment;
  const a = beside(s, 0, d);
  const b = beside(s, 1, d);
  if (s.kind === "line") return straight(a, b);
  const radius = s.radius - Math.sign(s.sweep) * d;
  if (radius > SAME_POINT) return { ...s, start: a, end: b, radius };
  tell(
    feed,
    `the arc of radius ${fixed(s.radius, 4)} mm is tighter than the offset ${fixed(Math.abs(d), 4)} mm: no control can follow it`,
  );
  return straight(a, b);
}

export function joinAll(
  body: readonly Feed[],
  paths: readonly Segment[],
  d: number,
  tell: Tell,
  corners: Corner[],
): WireMove[] {
  const moves: WireMove[] = [];
  let current = paths[0] as Segment;
  for (let k = 0; k < body.length; k++) {
    const feed = body[k] as Feed;
    const next = body[k + 1];
    const after = paths[k + 1];
    const whole = paths[k] as Segment;
    if (!next || !after) {
      tellSwallowed(feed, whole, current, tell);
      push(moves, feed, current);
      break;
    }
    const corner = feed.segment.end;
    const turn = angleBetween(
      tangentAt(feed.segment, 1),
      tangentAt(next.segment, 0),
    );
    if (Math.abs(turn) > TURNED_BACK)
      tell(
        next,
        `the outline turns back on itself at ${placeText(pair(corner))}: is a G02 a G03, or a coordinate wrong? No control can tell on which side to go on`,
      );
    if (Math.abs(turn) > SHARP_TURN)
      corners.push({
        line: feed.line,
        at: corner,
        side: turn * d <= 0 ? "outside" : "inside",
        turn: Math.abs(turn),
        offset: Math.abs(d),
      });
    if (turn * d <= 0) {
      tellSwallowed(feed, whole, current, tell);
      push(moves, feed, current);
      if (Math.abs(turn) > SAME_DIRECTION)
        push(moves, next, {
          ...arcFromTo(corner, current.end, after.start, turn > 0),
          radius: Math.abs(d),
        });
      current = after;
    } else {
      const meeting = insideCorner(
        current,
        after,
        corner,
        (Math.abs(d) * turn * turn) / 2,
      );
      if (!meeting) {
        tell(
          next,
          `at the inside corner ${placeText(pair(corner))} the two offsets do not meet: the segments are too short for the wire`,
        );
        push(moves, feed, current);
        push(moves, next, straight(current.end, after.start));
        current = after;
        continue;
      }
      const left = trimmedTo(current, current.start, meeting);
      tellSwallowed(feed, whole, left, tell);
      push(moves, feed, left);
      current = trimmedTo(after, meeting, after.end);
    }
  }
  return moves;
}

/**
 * Of a parallel that the inside corners at its ends use up nothing is left to travel: the wire would go backwards on it.
 * A control that asks of every corner that the wire fit into it refuses such a block (NISTIR 6556).
 */
function tellSwallowed(
  feed: Feed,
  whole: Segment,
  left: Segment,
  tell: Tell,
): void {
  const remains = lengthAlong(whole, left);
  if (remains > FLAT_CORNER) return;
  const long = segmentLength(whole);
  tell(
    feed,
    `beside this block at ${placeText(pair(feed.segment.start))} the wire's path is ${fixed(long, 4)} mm long, and the inside corners at its ends eat ${fixed(long - remains, 4)} mm: a strict control stops here with an alarm; leave out the short block, or program the wire's path`,
    "warning",
  );
}

/** mm of a trimmed parallel in the parallel's own direction: below 0 when it runs backwards. */
function lengthAlong(whole: Segment, trimmed: Segment): number {
  const chord = sub(trimmed.end, trimmed.start);
  return trimmed.kind === "arc"
    ? segmentLength(trimmed)
    : dot(chord, tangentAt(whole, 0));
}

function push(moves: WireMove[], feed: Feed, segment: Segment): void {
  if (segmentLength(segment) > SAME_POINT || moves.length === 0)
    moves.push(moveOf(feed, segment));
}

/**
 * Where the parallels of two segments that meet in `corner` cross: on both of them and nearest to the corner. Where the
 * corner is so flat that half-way between their ends is as good (`rise`, dθ²/2, is how far that is off), there: nearly
 * tangent circles cross somewhere along them, wherever rounding puts it.
 */
function insideCorner(
  a: Segment,
  b: Segment,
  corner: Vec,
  rise: number,
): Vec | null {
  if (rise <= FLAT_CORNER) return lerp(a.end, b.start, 0.5);
  const found = crossings(a, b)
    .filter(
      (p) =>
        pointTo(a, p.x, p.y) <= ARC_RADIUS_AGREEMENT &&
        pointTo(b, p.x, p.y) <= ARC_RADIUS_AGREEMENT,
    )
    .sort((p, q) => distance(p, corner) - distance(q, corner));
  return found[0] ?? null;
}

/** A parallel whose ends move to two other points of its line or circle, by little against a turn. */
function trimmedTo(s: Segment, start: Vec, end: Vec): Segment {
  if (s.kind === "line") return straight(start, end);
  const about = (p: Vec): Vec => sub(p, s.center);
  const sweep =
    s.sweep -
    angleBetween(about(s.start), about(start)) +
    angleBetween(about(s.end), about(end));
  return sweep * s.sweep > 0
    ? { ...s, start, end, sweep }
    : straight(start, end);
}
