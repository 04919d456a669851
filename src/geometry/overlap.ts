/** Segments drawn twice, or over each other along a stretch, become one: lines on one line, arcs on one circle. */
import Flatbush from "flatbush";
import { noStep, type OnStep } from "../base/pace.js";
import {
  SAME_COURSE,
  SAME_COURSE_SHARE,
  SAME_DRAWN,
} from "../base/tolerance.js";
import { distanceToSegment } from "./distance.js";
import {
  type Arc,
  arcFraction,
  type Box,
  type Line,
  pointAt,
  type Segment,
  segmentBox,
  segmentLength,
  subSegment,
} from "./segment.js";
import { thinBoxes } from "./thin-boxes.js";
import { cross, distance, dot, sub, unit, type Vec } from "./vec.js";

export interface Overlap {
  readonly kind: "double-dropped" | "overlap-merged";
  readonly at: Vec;
  /** Length of the stretch that was drawn twice. */
  readonly size: number;
}

/**
 * For each segment what remains of it: itself, the longer one that it and others merged into (at the first of their
 * places), or `null` when another stands for it.
 */
export function mergeOverlaps(
  segments: readonly Segment[],
  onStep: OnStep = noStep,
): {
  merged: (Segment | null)[];
  overlaps: Overlap[];
} {
  const merged: (Segment | null)[] = [...segments];
  const overlaps: Overlap[] = [];
  if (segments.length === 0) return { merged, overlaps };
  // Where two share a stretch, an end of one lies on the other: ends are looked for along each segment.
  const boxes = thinBoxes(segments);
  const endsOn = endFinder(segments, boxes, onStep);
  const standIn = Int32Array.from(segments, (_, i) => i);
  const find = (i: number): number => {
    let at = i;
    while (standIn[at] !== at) at = standIn[at] as number;
    return at;
  };

  const mergeOne = (at: number): number | null => {
    const s = merged[at] as Segment;
    const along = s === segments[at] ? (boxes[at] as Box[]) : [segmentBox(s)];
    for (const owner of endsOn(at, s, along)) {
      const other = find(owner);
      if (other === at) continue;
      const first = Math.min(at, other);
      const second = Math.max(at, other);
      const union = unionOf(
        merged[first] as Segment,
        merged[second] as Segment,
      );
      if (union === null) continue;
      overlaps.push(union.overlap);
      const before = merged[at];
      merged[first] = union.stays;
      merged[second] = union.rest;
      if (union.rest === null) standIn[second] = first;
      // Reaching no further than it did, it meets nothing but what was found already.
      if (union.stays !== before || first !== at) return first;
    }
    return null;
  };

  for (let i = 0; i < segments.length; i++) {
    // A merged segment reaches further than it did: look again until it meets nothing new.
    let at: number | null = find(i) === i ? i : null;
    while (at !== null) {
      onStep();
      at = mergeOne(at);
    }
  }
  return { merged, overlaps };
}

/**
 * Finds the others that have an end on the segment with index `at` and may run along it, ascending, so that the answer
 * does not hang on the order of the index.
 */
function endFinder(
  segments: readonly Segment[],
  boxes: readonly (readonly Box[])[],
  onStep: OnStep,
): (at: number, s: Segment, along: readonly Box[]) => readonly number[] {
  const index = new Flatbush(2 * segments.length);
  for (const { start, end } of segments) {
    index.add(start.x, start.y, start.x, start.y);
    index.add(end.x, end.y, end.x, end.y);
  }
  index.finish();
  const r = SAME_COURSE;
  const search = (along: readonly Box[], ask: Ask): void => {
    for (const { minX, minY, maxX, maxY } of along)
      index.search(minX - r, minY - r, maxX + r, maxY + r, ask);
  };
  let told = foreseen(segments, boxes, search);
  onStep(told / CHEAP);
  return (at, s, along) => {
    const owners: number[] = [];
    let asked = 0;
    const ask = (e: number, x: number, y: number): boolean => {
      asked++;
      const owner = e >> 1;
      if (
        owner !== at &&
        mayShare(s, segments[owner] as Segment) &&
        distanceToSegment(s, x, y) <= r
      )
        owners.push(owner);
      return false;
    };
    search(along, ask);
    const more = Math.max(0, asked - told);
    told -= asked - more;
    onStep(more / CHEAP);
    return owners.length < 2 ? owners : ascending(owners);
  };
}

type Ask = (end: number, x: number, y: number) => boolean;

/** So many segments, evenly taken, tell what all ask. */
const SAMPLE = 100;

/**
 * Ends that will be asked at least, by a sample without its upper quarter: a few long segments may have fallen into
 * it. Where everything lies on everything, that is too much to begin with. Ends at its own ends do not count: what is
 * drawn twice is gone when the first of it has asked.
 */
function foreseen(
  segments: readonly Segment[],
  boxes: readonly (readonly Box[])[],
  search: (along: readonly Box[], ask: Ask) => void,
): number {
  if (boxes.length <= SAMPLE) return 0;
  const counts = Array.from({ length: SAMPLE }, (_, i) => {
    let asked = 0;
    const k = Math.floor((i * boxes.length) / SAMPLE);
    const { start, end } = segments[k] as Segment;
    const isAt = (p: Vec, x: number, y: number): boolean =>
      Math.abs(x - p.x) <= SAME_DRAWN && Math.abs(y - p.y) <= SAME_DRAWN;
    search(boxes[k] as readonly Box[], (_, x, y) => {
      if (!isAt(start, x, y) && !isAt(end, x, y)) asked++;
      return false;
    });
    return asked;
  }).sort((a, b) => a - b);
  const usual = counts.slice(0, (3 * SAMPLE) / 4);
  return (usual.reduce((a, b) => a + b) * boxes.length) / SAMPLE;
}

/** How far (mm) a piece may lie off another that it runs along: one too short to have a direction, hardly at all. */
export function courseSlack(piece: Segment): number {
  const share = SAME_COURSE_SHARE * segmentLength(piece);
  return Math.max(SAME_DRAWN, Math.min(SAME_COURSE, share));
}

/** So many ends asked cost about as much as one piece of other work. */
const CHEAP = 4;

function ascending(owners: readonly number[]): readonly number[] {
  return [...new Set(owners)].sort((a, b) => a - b);
}

/** Lines only where the shorter one runs along the longer to within what `unionOfLines` allows at both its ends. */
function mayShare(a: Segment, b: Segment): boolean {
  if (a.kind !== b.kind) return false;
  if (a.kind === "arc") return true;
  const ux = a.end.x - a.start.x;
  const uy = a.end.y - a.start.y;
  const vx = b.end.x - b.start.x;
  const vy = b.end.y - b.start.y;
  const longer = Math.max(ux * ux + uy * uy, vx * vx + vy * vy);
  const across = ux * vy - uy * vx;
  return across * across <= 9 * SAME_COURSE * SAME_COURSE * longer;
}

/** `stays` is the whole of both, but for a full circle, whose `rest` is an arc of its own. */
interface Union {
  readonly stays: Segment;
  readonly rest: Segment | null;
  readonly overlap: Overlap;
}

function unionOf(a: Segment, b: Segment): Union | null {
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
