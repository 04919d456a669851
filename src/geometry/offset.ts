/**
 * Arc-exact parallel offset: the boundary of all points on the left of the outlines that are at least d from them.
 *
 *   source       the outlines as rings of curves, lines and arcs alike          offset/source.ts, curves.ts
 *   candidates   every moved line, moved arc and corner arc, and their joints   offset/candidates.ts, joints.ts
 *   slices       cut where they meet                                            offset/slices.ts, meet.ts, nodes.ts
 *   runs         keep what leads somewhere and is nowhere nearer than d         offset/runs.ts
 *   stitch       join the kept slices into loops by node number                 offset/stitch.ts, pieces.ts
 *
 * Lines stay lines, arcs stay arcs; several loops or none may come out. All outlines are handled together, so islands
 * trim what lies around them. O((n + k) log n) for k meetings. Testing slices by distance is the idea of Liu, Yong,
 * Zheng and Sun, "An offset algorithm for polyline curves", Computers in Industry 58 (2007); curves of constant
 * bend, joining by nodes and testing by runs are our own.
 *
 * Exactly 2d: a slot, a neck or a gap between islands of just the width 2d is not entered, a hole of radius d has no
 * loop; where two loops touch in a point they stay two.
 */
import { type Contour, contourBox } from "./contour.js";
import { candidatesOf } from "./offset/candidates.js";
import { clearance } from "./offset/clearance.js";
import { at } from "./offset/curves.js";
import { loopOf } from "./offset/pieces.js";
import { keepClearRuns, pruneLooseEnds, waysOf } from "./offset/runs.js";
import { cutAtMeetings, settleDoubles } from "./offset/slices.js";
import { sourceOf } from "./offset/source.js";
import { stitch } from "./offset/stitch.js";
import { offsetTolerance } from "./offset/tolerance.js";
import { EMPTY_BOX, type Segment, unionBox } from "./segment.js";

/** A piece of an offset and the stretch of the outline that it is parallel to. */
export interface OffsetSegment {
  readonly segment: Segment;
  /** Which outline and which of its segments; at a corner, the corner that ends segment `index`. */
  readonly contour: number;
  readonly index: number;
  readonly corner: boolean;
  /** Fractions along the source segment (both 1 at a corner). */
  readonly from: number;
  readonly to: number;
}

export interface OffsetLoop {
  readonly segments: readonly OffsetSegment[];
}

/**
 * Offsets closed outlines to their left by `d` > 0 mm. Interior on the left (counter-clockwise) goes inward,
 * clockwise goes outward. Loops run the same way as their outlines. Outlines must not cross themselves or each other.
 */
export function offsetLeft(
  contours: readonly Contour[],
  d: number,
): OffsetLoop[] {
  if (!(d > 0)) throw new RangeError(`offset must be positive, got ${d}`);
  const box = contours.map(contourBox).reduce(unionBox, EMPTY_BOX);
  const tol = offsetTolerance(box, d);
  const origin = {
    x: (box.minX + box.maxX) / 2,
    y: (box.minY + box.maxY) / 2,
  };
  const source = sourceOf(contours, origin, tol.node);
  if (source.curves.count === 0) return [];
  const all = candidatesOf(source, d, false, tol);
  const slices = cutAtMeetings(all, tol);
  const alive = settleDoubles(slices, all, tol);
  const ways = waysOf(slices, alive, all.nodes.parent.length);
  pruneLooseEnds(slices, alive, ways);
  keepClearRuns(slices, all, alive, ways, clearance(source, d - tol.clear));
  const kept = waysOf(slices, alive, all.nodes.parent.length);
  pruneLooseEnds(slices, alive, kept);
  return stitch(slices, all, alive, kept)
    .filter((loop) =>
      loop.some((s) => {
        const length = at(all.curves.length, slices.candidate[s] as number);
        return (
          length * ((slices.t1[s] as number) - (slices.t0[s] as number)) >
          10 * tol.node
        );
      }),
    )
    .map((loop) => loopOf(loop, slices, all, source, origin));
}

/** The loop as a contour. */
export function loopContour(loop: OffsetLoop): Contour {
  return { closed: true, segments: loop.segments.map((s) => s.segment) };
}
