/**
 * Inside or outside closed contours, asked of many points: a ray to +x counts the segments it meets, which a tree of
 * their boxes finds (Flatbush, a packed Hilbert R-tree). Built in O(n log n), asked in O(log n + k) for k segments
 * beside the point. Exact for lines and arcs.
 */
import Flatbush from "flatbush";
import { type Contour, windingNumber } from "./contour.js";
import { indexSegments } from "./distance.js";
import { segmentBox } from "./segment.js";
import type { Vec } from "./vec.js";

/** Below this a plain walk round the contours is faster than a tree. */
const FEW_SEGMENTS = 64;

/** How often the contours go counter-clockwise round a point; on a contour itself the answer is either side's. */
export function windingIndex(contours: readonly Contour[]): (p: Vec) => number {
  const segments = contours.flatMap((c) => c.segments);
  if (segments.length <= FEW_SEGMENTS)
    return (p) => windingNumber({ closed: true, segments }, p);
  const tree = new Flatbush(segments.length);
  for (const s of segments) {
    const { minX, minY, maxX, maxY } = segmentBox(s);
    tree.add(minX, minY, maxX, maxY);
  }
  tree.finish();
  return (p) => {
    const beside = tree.search(p.x, p.y, Number.POSITIVE_INFINITY, p.y);
    const met = beside.flatMap((k) => segments[k] ?? []);
    return windingNumber({ closed: true, segments: met }, p);
  };
}

/**
 * Distance (mm) of a point to closed contours, above 0 inside them and below 0 outside: outlines counter-clockwise,
 * the holes in them clockwise, so that a hole is outside. `-Infinity` where there are no contours.
 */
export function signedDistance(
  contours: readonly Contour[],
): (p: Vec) => number {
  const index = indexSegments(contours.flatMap((c) => c.segments));
  const winding = windingIndex(contours);
  return (p) => {
    const far = index.nearest(p)?.distance ?? Number.POSITIVE_INFINITY;
    return winding(p) === 0 ? -far : far;
  };
}
