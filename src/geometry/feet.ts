/** Points of walls that can be the end of a gap. A wall is a segment seen from one side, with the vertex it starts at. */
import { SAME_POINT } from "../base/tolerance.js";
import {
  type Arc,
  arcFraction,
  type Line,
  type Segment,
  tangentAt,
} from "./segment.js";
import {
  along,
  distance,
  dot,
  lerp,
  negate,
  sub,
  unit,
  type Vec,
} from "./vec.js";

export interface Wall {
  readonly segment: Segment;
  /** The segment that ends where this one starts. */
  readonly before: Segment;
  /** +1 when seen from its left, −1 from its right. */
  readonly side: 1 | -1;
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

export function innerFoot(wall: Wall, at: Vec, t: number): Foot {
  const travel = tangentAt(wall.segment, t);
  const center = wall.segment.kind === "arc" ? wall.segment.center : null;
  return {
    at,
    side: wall.side,
    ways: [
      { out: travel, travel, center },
      { out: negate(travel), travel, center },
    ],
  };
}

export function vertexFoot({ segment, before, side }: Wall): Foot {
  const onward = tangentAt(segment, 0);
  const backward = tangentAt(before, 1);
  return {
    at: segment.start,
    side,
    ways: [
      {
        out: onward,
        travel: onward,
        center: segment.kind === "arc" ? segment.center : null,
      },
      {
        out: negate(backward),
        travel: backward,
        center: before.kind === "arc" ? before.center : null,
      },
    ],
  };
}

/** Points of a wall whose normal goes through `p`. */
export function feetOn(wall: Wall, p: Vec): Foot[] {
  const s = wall.segment;
  if (s.kind === "line") {
    const u = sub(s.end, s.start);
    const t = dot(sub(p, s.start), u) / dot(u, u);
    return t >= 0 && t <= 1
      ? [innerFoot(wall, lerp(s.start, s.end, t), t)]
      : [];
  }
  const fromCenter = sub(p, s.center);
  if (Math.hypot(fromCenter.x, fromCenter.y) <= SAME_POINT) return [];
  return arcFeet(wall, s, unit(fromCenter));
}

/** The two points of the arc's circle on the line through its centre, where they lie on the arc. */
export function arcFeet(wall: Wall, s: Arc, direction: Vec): Foot[] {
  return [direction, negate(direction)].flatMap((e): Foot[] => {
    const at = along(s.center, e, s.radius);
    const t = arcFraction(s, at);
    return t <= 1 ? [innerFoot(wall, at, t)] : [];
  });
}

/** The stretch of `s` that lies square across from `r`, as its two ends. */
export function sharedStretch(s: Line, r: Line): readonly [Vec, Vec] | null {
  const u = unit(sub(s.end, s.start));
  const at = (p: Vec): number => dot(u, sub(p, s.start));
  const low = Math.max(0, Math.min(at(r.start), at(r.end)));
  const high = Math.min(
    distance(s.start, s.end),
    Math.max(at(r.start), at(r.end)),
  );
  if (high - low <= SAME_POINT) return null;
  return [along(s.start, u, low), along(s.start, u, high)];
}
