/** The offset's own tolerances, in proportion to the size of the drawing: they answer for double rounding only. */

import type { MeetingTolerance } from "../intersect.js";
import type { Box } from "../segment.js";

export interface OffsetTolerance {
  readonly meeting: MeetingTolerance;
  /** Places nearer than this are one node. */
  readonly node: number;
  /** A slice is kept when its middle is no nearer than d − clear. */
  readonly clear: number;
}

/**
 * Doubles at size S carry about 1e-16·S; closed forms lose three or four digits of that, crossings under small
 * angles some more. Hence 1e-12·S across a curve and 1e-10·S along it: 0.1 nm and 10 nm at 100 mm. Distances
 * from an almost straight arc are differences of numbers as large as its radius R: at least 1e-15·R.
 */
export function offsetTolerance(
  box: Box,
  largestRadius: number,
  d: number,
): OffsetTolerance {
  const size = Math.max(
    Math.abs(box.minX),
    Math.abs(box.maxX),
    Math.abs(box.minY),
    Math.abs(box.maxY),
    d,
    largestRadius / 1000,
  );
  const across = 1e-12 * size;
  const node = 1e-10 * size;
  return { meeting: { touch: across, snap: node }, node, clear: 10 * across };
}
