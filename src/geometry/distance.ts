/** Distance from a point to lines and arcs, in closed form, and an index for asking it of thousands at once. */
import Flatbush from "flatbush";
import { intersectSegments } from "./intersect.js";
import {
  arcFraction,
  isWithinSweep,
  type Segment,
  segmentBox,
} from "./segment.js";
import { along, distance, sub, type Vec } from "./vec.js";

export interface Nearest {
  readonly distance: number;
  /** Nearest point of the segment. */
  readonly at: Vec;
  /** Its fraction along the segment. */
  readonly t: number;
}

/** Nearest point of a segment. At an arc's centre every point is equally near: its start is given. */
export function nearestOnSegment(s: Segment, p: Vec): Nearest {
  if (s.kind === "line") {
    const ux = s.end.x - s.start.x;
    const uy = s.end.y - s.start.y;
    const along =
      ((p.x - s.start.x) * ux + (p.y - s.start.y) * uy) / (ux * ux + uy * uy);
    if (along >= 1) return { distance: distance(p, s.end), at: s.end, t: 1 };
    if (!(along > 0))
      return { distance: distance(p, s.start), at: s.start, t: 0 };
    const at = { x: s.start.x + ux * along, y: s.start.y + uy * along };
    return { distance: distance(p, at), at, t: along };
  }
  const fromCenter = distance(p, s.center);
  // Within rounding of the centre every point is equally near.
  if (fromCenter > Number.EPSILON * s.radius) {
    const t = arcFraction(s, p);
    if (t <= 1) {
      const k = s.radius / fromCenter;
      const at = {
        x: s.center.x + (p.x - s.center.x) * k,
        y: s.center.y + (p.y - s.center.y) * k,
      };
      return { distance: Math.abs(fromCenter - s.radius), at, t };
    }
  }
  const toStart = distance(p, s.start);
  const toEnd = distance(p, s.end);
  return toStart <= toEnd
    ? { distance: toStart, at: s.start, t: 0 }
    : { distance: toEnd, at: s.end, t: 1 };
}

/** The distance alone, without making a point: the inner loop of the offset. */
export function distanceToSegment(s: Segment, x: number, y: number): number {
  if (s.kind === "line") {
    const ax = x - s.start.x;
    const ay = y - s.start.y;
    const ux = s.end.x - s.start.x;
    const uy = s.end.y - s.start.y;
    const along = ax * ux + ay * uy;
    const whole = ux * ux + uy * uy;
    if (along <= 0) return Math.sqrt(ax * ax + ay * ay);
    if (along >= whole) return Math.hypot(x - s.end.x, y - s.end.y);
    return Math.abs(ax * uy - ay * ux) / Math.sqrt(whole);
  }
  const dx = x - s.center.x;
  const dy = y - s.center.y;
  if (isWithinSweep(s, dx, dy))
    return Math.abs(Math.sqrt(dx * dx + dy * dy) - s.radius);
  return Math.min(
    Math.hypot(x - s.start.x, y - s.start.y),
    Math.hypot(x - s.end.x, y - s.end.y),
  );
}

/** Many segments, asked for what lies near. Built once in O(n log n), asked in about O(log n). */
export interface SegmentIndex {
  readonly segments: readonly Segment[];
  /** Nearest of all, or `null` when nothing lies within `limit`. */
  nearest(
    p: Vec,
    limit?: number,
  ): (Nearest & { readonly segment: number }) | null;
  /** Is any segment nearer to (x, y) than `limit`? */
  anyNearer(x: number, y: number, limit: number): boolean;
  /** Indices of the segments whose boxes come within `margin` of the box. */
  near(
    minX: number,
    minY: number,
    maxX: number,
    maxY: number,
    margin: number,
  ): number[];
}

export function indexSegments(segments: readonly Segment[]): SegmentIndex {
  if (segments.length === 0) {
    return {
      segments,
      nearest: () => null,
      anyNearer: () => false,
      near: () => [],
    };
  }
  const tree = new Flatbush(segments.length);
  for (const s of segments) {
    const b = segmentBox(s);
    tree.add(b.minX, b.minY, b.maxX, b.maxY);
  }
  tree.finish();
  const near = (
    minX: number,
    minY: number,
    maxX: number,
    maxY: number,
    margin: number,
  ): number[] =>
    tree.search(minX - margin, minY - margin, maxX + margin, maxY + margin);

  return {
    segments,
    near,
    nearest(p, limit = Number.POSITIVE_INFINITY) {
      // The segment whose box is nearest bounds the answer; nothing outside that bound can win.
      const [first] = tree.neighbors(p.x, p.y, 1, limit);
      if (first === undefined) return null;
      let best = {
        segment: first,
        ...nearestOnSegment(segments[first] as Segment, p),
      };
      const bound = Math.min(best.distance, limit);
      for (const i of near(p.x, p.y, p.x, p.y, bound)) {
        const s = segments[i] as Segment;
        if (distanceToSegment(s, p.x, p.y) < best.distance) {
          best = { segment: i, ...nearestOnSegment(s, p) };
        }
      }
      return best.distance <= limit ? best : null;
    },
    anyNearer: (x, y, limit) =>
      tree.collides(
        x - limit,
        y - limit,
        x + limit,
        y + limit,
        (i) => distanceToSegment(segments[i] as Segment, x, y) < limit,
      ),
  };
}

/**
 * Least distance between two segments, 0 where they meet: the ends against the other segment, and the places
 * where both are square to the line between them (a line's foot from an arc's centre, two centres' line).
 */
export function distanceBetween(a: Segment, b: Segment): number {
  if (intersectSegments(a, b).length > 0) return 0;
  let best = Math.min(
    distanceToSegment(a, b.start.x, b.start.y),
    distanceToSegment(a, b.end.x, b.end.y),
    distanceToSegment(b, a.start.x, a.start.y),
    distanceToSegment(b, a.end.x, a.end.y),
  );
  for (const [s, other] of [
    [a, b],
    [b, a],
  ] as const) {
    if (s.kind !== "arc") continue;
    // Of all points of `other`, those square to the arc lie on rays from its centre.
    const middle = nearestOnSegment(other, s.center).at;
    best = Math.min(best, distanceToSegment(s, middle.x, middle.y));
    if (other.kind === "arc") {
      const far = sub(other.center, s.center);
      const l = Math.hypot(far.x, far.y);
      if (l === 0) continue;
      for (const k of [other.radius / l, -other.radius / l]) {
        const p = along(other.center, far, k);
        if (arcFraction(other, p) <= 1)
          best = Math.min(best, distanceToSegment(s, p.x, p.y));
      }
    }
  }
  return best;
}
