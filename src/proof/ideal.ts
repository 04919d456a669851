/**
 * Where the wire of one pass should run: every segment's parallel on the waste side and an arc round every outside
 * corner, and of these the stretches where a wire of that offset fits. Told by distance alone: no offset curve is
 * trimmed or joined here, so a fault of the planner's cannot be repeated.
 */
import { REACHABLE, SAME_DIRECTION, SAME_POINT } from "../base/tolerance.js";
import { turnBetween } from "../geometry/contour.js";
import {
  arcFromTo,
  reverseSegment,
  type Segment,
  segmentBox,
  line as straight,
  tangentAt,
} from "../geometry/segment.js";
import { along, left, type Vec } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Edge, Ground } from "./ground.js";
import {
  type Stretch,
  stretchesWithin,
  union,
  WHOLE,
  without,
} from "./stretches.js";

/** One piece of the ideal path, and the piece of outline it belongs to (a corner: its point). */
export interface Ideal {
  /** Where the edge is an inside arc tighter than the offset: the edge itself, and nothing of it reachable. */
  readonly path: Segment;
  /** What `path` finishes at the same fraction: a segment of outline, or a corner. */
  readonly edge: Segment | Vec;
  /** Same number for the same piece on every pass of a feature. */
  readonly key: number;
  /** Where a wire of that offset fits. */
  readonly reachable: readonly Stretch[];
}

/** The ideal path at `offset` mm on the waste side of a feature, in order round the outline, waste on the left. */
export function idealPath(
  ground: Ground,
  feature: number,
  offset: number,
): Ideal[] {
  const f = ground.layout.features[feature] as Feature;
  const outline = wasteOnTheLeft(f);
  const pieces: Ideal[] = [];
  outline.forEach((edge, i) => {
    const path = parallel(edge, offset);
    pieces.push({
      path: path ?? edge,
      edge,
      key: 2 * i,
      reachable: path ? reachable(ground, path, offset, edge) : [],
    });
    const next = outline[(i + 1) % outline.length] as Segment;
    const turn = turnBetween(edge, next);
    if (turn >= -SAME_DIRECTION) return;
    const corner = edge.end;
    const a = along(corner, left(tangentAt(edge, 1)), offset);
    const b = along(corner, left(tangentAt(next, 0)), offset);
    const rolled = arcFromTo(corner, a, b, false);
    pieces.push({
      path: rolled,
      edge: corner,
      key: 2 * i + 1,
      reachable: reachable(ground, rolled, offset, null),
    });
  });
  return pieces;
}

function wasteOnTheLeft(f: Feature): readonly Segment[] {
  return f.role === "opening"
    ? f.contour.segments
    : f.contour.segments.map(reverseSegment).reverse();
}

/** The parallel `d` to the left; null for an arc that would vanish or turn inside out. */
function parallel(s: Segment, d: number): Segment | null {
  const shift = (t: 0 | 1): Vec =>
    along(t === 0 ? s.start : s.end, left(tangentAt(s, t)), d);
  if (s.kind === "line") return straight(shift(0), shift(1));
  const radius = s.radius - Math.sign(s.sweep) * d;
  return radius <= SAME_POINT
    ? null
    : { ...s, start: shift(0), end: shift(1), radius };
}

/** `own` is the edge the path runs along: at its offset from that by making. */
function reachable(
  ground: Ground,
  path: Segment,
  offset: number,
  own: Segment | null,
): Stretch[] {
  const blocked: Stretch[] = [];
  for (const k of ground.index.near(segmentBox(path), offset)) {
    const { segment } = ground.edges[k] as Edge;
    if (own && sameEdge(segment, own)) continue;
    for (const s of stretchesWithin(path, segment, offset - REACHABLE))
      blocked.push(s);
  }
  return blocked.length === 0 ? [WHOLE] : without([WHOLE], union(blocked));
}

/** The same edge, whichever way it is run; or the rest of its circle, from which the path is as far. */
function sameEdge(a: Segment, b: Segment): boolean {
  const ends =
    (a.start === b.start && a.end === b.end) ||
    (a.start === b.end && a.end === b.start);
  if (!ends || a.kind === "line" || b.kind === "line")
    return ends && a.kind === b.kind;
  return a.center === b.center && a.radius === b.radius;
}
