/** Places on an outline by the way along it. Pure. */
import {
  type Contour,
  contourLength,
  pointAt,
  type Segment,
  segmentLength,
  type Vec,
} from "../../src/index.js";
import { nearestOf } from "../picture/probe.js";

/** The point `share` (0 to 1) of the way round, from the outline's first point. */
export function pointAlong({ segments }: Contour, share: number): Vec {
  let rest = share * contourLength({ segments, closed: true });
  for (const s of segments) {
    const length = segmentLength(s);
    if (rest <= length) return pointAt(s, length > 0 ? rest / length : 0);
    rest -= length;
  }
  return (segments[0] as Segment).start;
}

/** How far round the point of the outline nearest to `p` lies, 0 to 1. */
export function shareAlong(contour: Contour, p: Vec): number {
  const near = nearestOf(contour.segments, p);
  const before = contour.segments
    .slice(0, near.index)
    .reduce((sum, s) => sum + segmentLength(s), 0);
  const on = near.t * segmentLength(contour.segments[near.index] as Segment);
  return (before + on) / contourLength(contour);
}
