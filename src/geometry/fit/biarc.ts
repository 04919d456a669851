/** Two arcs that share a tangent, between two given places and directions. */
import { SAME_DIRECTION, SAME_POINT } from "../../base/tolerance.js";
import { type Segment, segmentFromBulge } from "../segment.js";
import {
  along,
  angleBetween,
  cross,
  distance,
  dot,
  left,
  lerp,
  sub,
  unit,
  type Vec,
} from "../vec.js";

/**
 * Two arcs from `start` to `end` with the given unit tangents, meeting tangentially near `middle`. All points where
 * the two can meet lie on one circle through both ends, the one whose rotation takes start and tangent to end and
 * tangent (Bolton 1975); the joint is the point of it nearest to `middle`. `null` when an arc would turn over 90°.
 */
export function biarc(
  start: Vec,
  startTangent: Vec,
  end: Vec,
  endTangent: Vec,
  middle: Vec,
): Segment[] | null {
  if (distance(start, end) <= SAME_POINT) return null;
  const joint = biarcJoint(start, startTangent, end, endTangent, middle);
  const first = arcFromTangent(start, startTangent, joint);
  const second = arcFromTangent(
    end,
    { x: -endTangent.x, y: -endTangent.y },
    joint,
  );
  if (first === null || second === null) return null;
  const one = segmentFromBulge(start, joint, first);
  const two = segmentFromBulge(joint, end, -second);
  // Met right at an end, one of the tangents would be lost.
  return one && two ? [one, two] : null;
}

function biarcJoint(
  start: Vec,
  startTangent: Vec,
  end: Vec,
  endTangent: Vec,
  middle: Vec,
): Vec {
  const chord = sub(end, start);
  const turn = angleBetween(startTangent, endTangent);
  const half = Math.tan(turn / 2);
  if (Math.abs(half) < SAME_DIRECTION) {
    // The circle is a straight line through both ends.
    const k = dot(sub(middle, start), chord) / dot(chord, chord);
    return lerp(start, end, k);
  }
  // Centre of the rotation by `turn` that takes start to end.
  const center = along(lerp(start, end, 0.5), left(chord), 1 / (2 * half));
  return along(center, unit(sub(middle, center)), distance(center, start));
}

/** Bulge of the arc that leaves `start` along `tangent` and reaches `to`; `null` past a quarter turn. */
function arcFromTangent(start: Vec, tangent: Vec, to: Vec): number | null {
  const chord = sub(to, start);
  const angle = Math.atan2(cross(tangent, chord), dot(tangent, chord));
  if (Math.abs(angle) > Math.PI / 4) return null;
  const bulge = Math.tan(angle / 2);
  // Flatter than any point can be told from a line, and no corner that could be told either.
  const sagitta = (Math.abs(bulge) * Math.hypot(chord.x, chord.y)) / 2;
  return sagitta < SAME_POINT / 100 && Math.abs(angle) < SAME_DIRECTION
    ? 0
    : bulge;
}
