/** What two figures have in common. */
import {
  areaMoments,
  type Contour,
  contourBox,
  windingNumber,
} from "./contour.js";
import { intersectSegments } from "./intersect.js";
import {
  boxesTouch,
  pointAt,
  type Segment,
  segmentBox,
  subSegment,
} from "./segment.js";
import type { Vec } from "./vec.js";

/**
 * Area (mm²) and its centre of what lies in both figures: by Green's theorem round its edge, which is what of each
 * figure's edge lies inside the other. Exact for lines and arcs. Each figure is given by its edges, counter-clockwise
 * outside and clockwise about its holes; the two may cross, but share no stretch of edge.
 */
export function commonArea(
  a: readonly Contour[],
  b: readonly Contour[],
): { readonly area: number; readonly centroid: Vec } {
  return areaMoments({
    closed: true,
    segments: [...edgeInside(a, b), ...edgeInside(b, a)],
  });
}

/** The pieces of one figure's edge that lie inside the other. */
function edgeInside(
  figure: readonly Contour[],
  other: readonly Contour[],
): Segment[] {
  const around = other.map(contourBox);
  const edges = other.flatMap((c) => c.segments);
  return figure
    .flatMap((c) => c.segments)
    .filter((s) => around.some((box) => boxesTouch(segmentBox(s), box)))
    .flatMap((s) => partedBy(s, edges))
    .filter((s) => isInside(other, pointAt(s, 0.5)));
}

function partedBy(s: Segment, edges: readonly Segment[]): Segment[] {
  const box = segmentBox(s);
  const cuts = edges
    .filter((e) => boxesTouch(segmentBox(e), box))
    .flatMap((e) => intersectSegments(s, e).map(({ ta }) => ta))
    .filter((t) => t > 0 && t < 1)
    .sort((p, q) => p - q);
  const ends = [0, ...cuts, 1];
  return ends.slice(1).map((to, i) => subSegment(s, ends[i] as number, to));
}

function isInside(figure: readonly Contour[], p: Vec): boolean {
  return figure.reduce((sum, c) => sum + windingNumber(c, p), 0) !== 0;
}
