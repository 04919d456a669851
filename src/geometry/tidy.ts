/** One chain brought to its plainest form: no slivers, straight runs as one line, runs on one circle as one arc. */
import { SAME_DRAWN, SAME_POINT } from "../base/tolerance.js";
import { betweenEnds } from "./chain/joint.js";
import { type Contour, circleContour, counterClockwise } from "./contour.js";
import {
  type Arc,
  line,
  type Segment,
  segmentFromBulge,
  segmentLength,
} from "./segment.js";
import { cross, distance, dot, length, sub, type Vec } from "./vec.js";

/**
 * Without segments shorter than `SAME_DRAWN`; the next one starts where the last kept one ended, so that a run of
 * slivers cannot drift. `dropped` holds the middle of each.
 */
export function dropSlivers(
  segments: readonly Segment[],
  closed: boolean,
): {
  segments: readonly Segment[];
  dropped: readonly { at: Vec; size: number }[];
} {
  if (isSound(segments, closed)) return { segments, dropped: NONE };
  const kept: Segment[] = [];
  const dropped: { at: Vec; size: number }[] = [];
  for (const s of segments) {
    const last = kept.at(-1);
    // A gap within the strand is the caller's to close.
    const start =
      last && distance(last.end, s.start) <= SAME_DRAWN ? last.end : s.start;
    const size = s.kind === "arc" ? segmentLength(s) : distance(start, s.end);
    if (size <= SAME_DRAWN)
      dropped.push({ at: s.start, size: segmentLength(s) });
    else kept.push(betweenEnds(s, start, s.end));
  }
  const first = kept[0];
  const last = kept.at(-1);
  if (closed && first && last && distance(last.end, first.start) <= SAME_DRAWN)
    kept[kept.length - 1] = betweenEnds(last, last.start, first.start);
  return { segments: kept, dropped };
}

const NONE: readonly never[] = [];

/** As nearly all are: no slivers, and each begins to the last bit where the one before ends, or far from there. */
function isSound(segments: readonly Segment[], closed: boolean): boolean {
  let before = closed ? segments.at(-1) : undefined;
  for (const s of segments) {
    if (segmentLength(s) <= SAME_DRAWN) return false;
    if (before) {
      const off = distance(before.end, s.start);
      if (off > 0 && off <= SAME_DRAWN) return false;
    }
    before = s;
  }
  return true;
}

/** A closed contour, counter-clockwise, with runs merged where that moves nothing by more than `SAME_POINT`. */
export function tidyOutline(c: Contour): Contour {
  const turned = counterClockwise(c);
  const circle = asCircle(turned.segments);
  if (circle) return circle;
  return { closed: true, segments: mergeRuns(startAtBreak(turned.segments)) };
}

/** An open chain with its runs merged. */
export function tidyOpen(c: Contour): Contour {
  return { closed: false, segments: mergeRuns(c.segments) };
}

/** All one circle, whatever the pieces: two halves that start at angle 0. */
function asCircle(segments: readonly Segment[]): Contour | null {
  const first = segments[0];
  if (first?.kind !== "arc") return null;
  const arcs = segments.filter(
    (s): s is Arc => s.kind === "arc" && onOneCircle(first, s),
  );
  if (arcs.length < segments.length) return null;
  const turn = arcs.reduce((sum, s) => sum + s.sweep, 0);
  if (Math.abs(turn - 2 * Math.PI) > 1) return null;
  return circleContour(first.center, first.radius);
}

function onOneCircle(a: Arc, b: Arc): boolean {
  return (
    a.sweep > 0 === b.sweep > 0 &&
    Math.abs(a.radius - b.radius) <= SAME_POINT &&
    distance(a.center, b.center) <= SAME_POINT
  );
}

/** Starts the ring at a joint that is no part of a run, so that no run lies across its ends. */
function startAtBreak(segments: readonly Segment[]): readonly Segment[] {
  const n = segments.length;
  for (let i = 0; i < n; i++) {
    const before = segments[(i + n - 1) % n] as Segment;
    if (!mayMerge(before, segments[i] as Segment))
      return i === 0
        ? segments
        : [...segments.slice(i), ...segments.slice(0, i)];
  }
  return segments;
}

function mayMerge(a: Segment, b: Segment): boolean {
  if (a.kind === "line" && b.kind === "line") {
    const u = sub(a.end, a.start);
    const v = sub(b.end, b.start);
    // The joint's distance from the straight line over both.
    return (
      dot(u, v) > 0 &&
      Math.abs(cross(u, v)) <= SAME_POINT * length(sub(b.end, a.start))
    );
  }
  return a.kind === "arc" && b.kind === "arc" && onOneCircle(a, b);
}

function mergeRuns(segments: readonly Segment[]): Segment[] {
  const out: Segment[] = [];
  for (let i = 0; i < segments.length; ) {
    const s = segments[i] as Segment;
    const run = s.kind === "line" ? lineRun(segments, i) : arcRun(segments, i);
    out.push(run.merged);
    i += run.count;
  }
  return out;
}

interface Run {
  readonly merged: Segment;
  readonly count: number;
}

/**
 * The longest straight run from `from`. Each joint passed narrows the wedge of directions that go by it within
 * `SAME_POINT`, so that long runs cannot bend by and by.
 */
function lineRun(segments: readonly Segment[], from: number): Run {
  const first = segments[from] as Segment;
  let low = Number.NEGATIVE_INFINITY;
  let high = Number.POSITIVE_INFINITY;
  let end = first.end;
  let count = 1;
  const axis = sub(first.end, first.start);
  for (let i = from + 1; i < segments.length; i++) {
    const next = segments[i] as Segment;
    const last = segments[i - 1] as Segment;
    if (
      next.kind !== "line" ||
      dot(sub(last.end, last.start), sub(next.end, next.start)) <= 0
    )
      break;
    const joint = offAxis(axis, sub(next.start, first.start));
    const slack = SAME_POINT / joint.reach;
    low = Math.max(low, joint.slope - slack);
    high = Math.min(high, joint.slope + slack);
    const { slope } = offAxis(axis, sub(next.end, first.start));
    if (slope < low || slope > high) break;
    end = next.end;
    count++;
  }
  return { merged: count === 1 ? first : line(first.start, end), count };
}

function offAxis(axis: Vec, d: Vec): { slope: number; reach: number } {
  return { slope: Math.atan2(cross(axis, d), dot(axis, d)), reach: length(d) };
}

/** Above this (rad) an arc's chord is too short for its size to rebuild it from its ends. */
const WIDEST_MERGED_ARC = 1.7 * Math.PI;

function arcRun(segments: readonly Segment[], from: number): Run {
  const first = segments[from] as Arc;
  let merged: Segment = first;
  let sweep = first.sweep;
  let count = 1;
  for (let i = from + 1; i < segments.length; i++) {
    const next = segments[i] as Segment;
    if (next.kind !== "arc" || !onOneCircle(first, next)) break;
    if (Math.abs(sweep + next.sweep) > WIDEST_MERGED_ARC) break;
    const wider = segmentFromBulge(
      first.start,
      next.end,
      Math.tan((sweep + next.sweep) / 4),
    );
    if (wider?.kind !== "arc" || !onOneCircle(first, wider)) break;
    merged = wider;
    sweep += next.sweep;
    count++;
  }
  return { merged, count };
}
