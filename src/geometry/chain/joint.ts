/** Ends that should meet are made to meet, to the last bit, and what an end moves with it stays a line or an arc. */
import { SAME_POINT } from "../../base/tolerance.js";
import {
  line,
  pointAt,
  type Segment,
  segmentFromBulge,
  subSegment,
} from "../segment.js";
import { along, cross, distance, lerp, sub, unit, type Vec } from "../vec.js";

/** The same segment between other ends: an arc keeps its sweep, and its centre and radius follow. */
export function betweenEnds(s: Segment, start: Vec, end: Vec): Segment {
  if (same(s.start, start) && same(s.end, end)) return s;
  if (s.kind === "line") return line(start, end);
  return (
    segmentFromBulge(start, end, Math.tan(s.sweep / 4)) ?? line(start, end)
  );
}

/** Segments whose ends differ from the next one's start by rounding at most, made to share them to the last bit. */
export function shareEnds(
  segments: readonly Segment[],
  closed = false,
): Segment[] {
  return segments.map((s, i) => {
    const next = segments[i + 1] ?? (closed ? segments[0] : undefined);
    return next ? betweenEnds(s, s.start, next.start) : s;
  });
}

function same(a: Vec, b: Vec): boolean {
  return a.x === b.x && a.y === b.y;
}

/**
 * Arcs over a half turn as two halves: their chord is short for their size, so that moving an end by a micrometre
 * could change the radius by many.
 */
export function halved(s: Segment): Segment[] {
  if (s.kind === "line" || Math.abs(s.sweep) <= Math.PI * 1.001) return [s];
  const middle = pointAt(s, 0.5);
  return [
    { ...subSegment(s, 0, 0.5), end: middle },
    { ...subSegment(s, 0.5, 1), start: middle },
  ];
}

/**
 * Where the end of `a` and the start of `b` are to meet: lines are lengthened or shortened to where they cross,
 * other ends meet half way. Noise is settled by the arc, which then stays exactly what it was.
 */
export function meetingPoint(a: Segment, b: Segment): Vec {
  const gap = distance(a.end, b.start);
  if (gap <= SAME_POINT)
    return b.kind === "arc" && a.kind === "line" ? b.start : a.end;
  if (a.kind === "line" && b.kind === "line") {
    const crossing = lineCrossing(a.start, a.end, b.start, b.end);
    // Lines that hardly turn cross far away.
    if (
      crossing &&
      distance(crossing, a.end) <= 2 * gap &&
      distance(crossing, b.start) <= 2 * gap
    )
      return crossing;
  }
  return lerp(a.end, b.start, 0.5);
}

function lineCrossing(a: Vec, b: Vec, c: Vec, d: Vec): Vec | null {
  const u = unit(sub(b, a));
  const v = unit(sub(d, c));
  const turn = cross(u, v);
  return turn === 0 ? null : along(a, u, cross(sub(c, a), v) / turn);
}
