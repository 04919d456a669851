/** Two segments that share a stretch as one: lines on one line, arcs on one circle. */
import {
  SAME_COURSE,
  SAME_COURSE_SHARE,
  SAME_DRAWN,
} from "../../base/tolerance.js";
import {
  type Arc,
  arcFraction,
  type Line,
  pointAt,
  type Segment,
  segmentLength,
  subSegment,
} from "../segment.js";
import { cross, distance, dot, sub, unit, type Vec } from "../vec.js";

export interface Overlap {
  readonly kind: "double-dropped" | "overlap-merged";
  readonly at: Vec;
  /** Length of the stretch that was drawn twice. */
  readonly size: number;
}

/** How far (mm) a piece may lie off another that it runs along: one too short to have a direction, hardly at all. */
export function courseSlack(piece: Segment): number {
  const share = SAME_COURSE_SHARE * segmentLength(piece);
  return Math.max(SAME_DRAWN, Math.min(SAME_COURSE, share));
}

/** `stays` is the whole of both, but for a full circle, whose `rest` is an arc of its own. */
export interface Union {
  readonly stays: Segment;
  readonly rest: Segment | null;
  readonly overlap: Overlap;
}

/** `null` where they share no stretch. */
export function unionOf(a: Segment, b: Segment): Union | null {
  if (a.kind === "line" && b.kind === "line") return unionOfLines(a, b);
  if (a.kind === "arc" && b.kind === "arc") return unionOfArcs(a, b);
  return null;
}

function unionOfLines(a: Line, b: Line): Union | null {
  const aLonger = segmentLength(a) >= segmentLength(b);
  const [long, short] = aLonger ? [a, b] : [b, a];
  const direction = unit(sub(long.end, long.start));
  const off = (p: Vec): number =>
    Math.abs(cross(direction, sub(p, long.start)));
  const most = courseSlack(short);
  if (off(short.start) > most || off(short.end) > most) return null;
  const at = (p: Vec): number => dot(direction, sub(p, long.start));
  const length = distance(long.start, long.end);
  const s = at(short.start);
  const e = at(short.end);
  const low = Math.max(0, Math.min(s, e));
  const high = Math.min(length, Math.max(s, e));
  if (high - low <= SAME_DRAWN) return null;
  const before = Math.min(s, e) < -SAME_DRAWN;
  const after = Math.max(s, e) > length + SAME_DRAWN;
  const lowest = s < e ? short.start : short.end;
  const highest = s < e ? short.end : short.start;
  const segment: Line = {
    kind: "line",
    start: before ? lowest : long.start,
    end: after ? highest : long.end,
  };
  const overlap = told(a, b, long, low / length, high / length);
  if (before || after) return { stays: segment, rest: null, overlap };
  return { stays: whole(a, long, overlap), rest: null, overlap };
}

function unionOfArcs(a: Arc, b: Arc): Union | null {
  const [long, short] = segmentLength(a) >= segmentLength(b) ? [a, b] : [b, a];
  const most = courseSlack(short);
  const onCircle = (p: Vec): boolean =>
    Math.abs(distance(p, long.center) - long.radius) <= most;
  if (
    !onCircle(short.start) ||
    !onCircle(short.end) ||
    !onCircle(pointAt(short, 0.5))
  )
    return null;
  const slack = SAME_DRAWN / segmentLength(long);
  // In fractions of the long arc, with `turn` the whole circle: the short one begins at `first`, or a turn before.
  const turn = (2 * Math.PI) / Math.abs(long.sweep);
  const forward = sameWay(long, short);
  const first = arcFraction(long, forward ? short.start : short.end);
  const last = arcFraction(long, forward ? short.end : short.start);
  // By its ends, as its own radius may differ by a hair; the sweep only says whether it is next to nothing or a turn.
  const rough = Math.abs(short.sweep / long.sweep);
  const span = last - first + turn * Math.round((rough - last + first) / turn);
  const shares = (from: number): number =>
    Math.min(1, from + span) - Math.max(0, from);
  const from = shares(first) > shares(first - turn) ? first : first - turn;
  if (shares(from) <= slack) return null;
  const low = Math.max(0, from);
  const high = Math.min(1, from + span);
  const overlap = told(a, b, long, low, high);
  // Together once round: no arc makes a full turn.
  if (Math.max(1, from + span) - Math.min(0, from) >= turn - slack) {
    const rest = { ...subSegment(long, 1, turn), end: long.start };
    return { stays: long, rest, overlap };
  }
  if (from >= -slack && from + span <= 1 + slack)
    return { stays: whole(a, long, overlap), rest: null, overlap };
  const stays = subSegment(long, Math.min(0, from), Math.max(1, from + span));
  return { stays, rest: null, overlap };
}

function sameWay(a: Arc, b: Arc): boolean {
  return a.sweep > 0 === b.sweep > 0;
}

/** Of a double the first drawn stays as it was drawn. */
function whole(a: Segment, long: Segment, { kind }: Overlap): Segment {
  return kind === "double-dropped" ? a : long;
}

/** What was drawn twice; `low` and `high` are fractions along the longer one. */
function told(
  a: Segment,
  b: Segment,
  long: Segment,
  low: number,
  high: number,
): Overlap {
  const size = (high - low) * segmentLength(long);
  const shortest = Math.min(segmentLength(a), segmentLength(b));
  const longest = segmentLength(long);
  const double = Math.min(size, shortest) >= longest - 2 * SAME_DRAWN;
  return {
    kind: double ? "double-dropped" : "overlap-merged",
    at: pointAt(long, (low + high) / 2),
    size,
  };
}
