/**
 * Points of walls that can be the end of a gap. A wall is a segment seen from one side, with the vertex it starts at.
 * They are asked for millions of times: what belongs to a wall alone is worked out once, and nothing here takes angles.
 */
import { SAME_POINT } from "../../base/tolerance.js";
import {
  type Arc,
  isWithinSweep,
  type Line,
  type Segment,
  tangentAt,
} from "../segment.js";
import { along, dot, lerp, negate, sub, unit, type Vec } from "../vec.js";

export interface Wall {
  readonly segment: Segment;
  /** +1 when seen from its left, −1 from its right. */
  readonly side: 1 | -1;
  /** Unit direction of travel at its start: of a line, all along it. */
  readonly travel: Vec;
  /** The vertex it starts at. */
  readonly vertex: Foot;
}

/** A point of a wall and the two ways on from it. */
export interface Foot {
  readonly at: Vec;
  readonly side: 1 | -1;
  readonly ways: readonly Way[];
}

export interface Way {
  /** Unit direction away from the foot. */
  readonly out: Vec;
  /** Unit direction of travel there. */
  readonly travel: Vec;
  /** Centre of the bend, `null` on a line. */
  readonly center: Vec | null;
}

/** `before`: the segment that ends where this one starts. */
export function wallOf(segment: Segment, before: Segment, side: 1 | -1): Wall {
  const travel = tangentAt(segment, 0);
  const arriving = tangentAt(before, 1);
  const vertex = {
    at: segment.start,
    side,
    ways: [
      { out: travel, travel, center: centerOf(segment) },
      { out: negate(arriving), travel: arriving, center: centerOf(before) },
    ],
  };
  return { segment, side, travel, vertex };
}

function centerOf(s: Segment): Vec | null {
  return s.kind === "arc" ? s.center : null;
}

function innerFoot({ segment, side }: Wall, at: Vec, travel: Vec): Foot {
  const center = centerOf(segment);
  return {
    at,
    side,
    ways: [
      { out: travel, travel, center },
      { out: negate(travel), travel, center },
    ],
  };
}

/** Points of a wall whose normal goes through `p`. */
export function feetOn(wall: Wall, p: Vec): readonly Foot[] {
  const s = wall.segment;
  if (s.kind === "line") {
    const u = sub(s.end, s.start);
    const t = dot(sub(p, s.start), u) / dot(u, u);
    return t >= 0 && t <= 1
      ? [innerFoot(wall, lerp(s.start, s.end, t), wall.travel)]
      : NONE;
  }
  const fromCenter = sub(p, s.center);
  const l = Math.sqrt(dot(fromCenter, fromCenter));
  if (l <= SAME_POINT) return NONE;
  return arcFeet(wall, s, { x: fromCenter.x / l, y: fromCenter.y / l });
}

const NONE: readonly Foot[] = [];

/** The two points of the arc's circle on the line through its centre along a unit vector, where they lie on the arc. */
export function arcFeet(wall: Wall, s: Arc, direction: Vec): readonly Foot[] {
  const feet: Foot[] = [];
  for (const way of [1, -1]) {
    const x = way * direction.x;
    const y = way * direction.y;
    if (!isWithinSweep(s, x, y)) continue;
    const turn = Math.sign(s.sweep);
    const at = { x: s.center.x + s.radius * x, y: s.center.y + s.radius * y };
    feet.push(innerFoot(wall, at, { x: -turn * y, y: turn * x }));
  }
  return feet;
}

/** The stretch of `s` that lies square across from `r`, as its two ends. */
export function sharedStretch(s: Line, r: Line): readonly [Vec, Vec] | null {
  const u = unit(sub(s.end, s.start));
  const at = (p: Vec): number => dot(u, sub(p, s.start));
  const low = Math.max(0, Math.min(at(r.start), at(r.end)));
  const high = Math.min(at(s.end), Math.max(at(r.start), at(r.end)));
  if (high - low <= SAME_POINT) return null;
  return [along(s.start, u, low), along(s.start, u, high)];
}
