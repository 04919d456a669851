/**
 * Arc-exact parallel offset: the boundary of all points on the left of the outlines that are at least d from them.
 *
 *   source       the outlines as rings of curves, lines and arcs alike       offset/source.ts, curves.ts
 *   joints       what becomes of each curve and corner                       offset/joints.ts, straight-back.ts, square.ts
 *   candidates   every moved line, moved arc and corner arc                  offset/candidates.ts, nodes.ts
 *   slices       cut where they meet                                         offset/slices.ts, cuts.ts, meet.ts
 *   runs         keep what leads somewhere and is nowhere nearer than d      offset/graph.ts, runs.ts, clearance.ts
 *   even         as many ways to each node as from it, whatever the rounding offset/even.ts
 *   missed       has a loop been lost, or does one cross itself?             offset/missed.ts
 *   stitch       join the kept slices into loops by node number              offset/stitch.ts, pieces.ts
 *
 * Lines stay lines, arcs stay arcs; several loops or none may come out. All outlines are handled together, so islands
 * trim what lies around them. O((n + k) log n) for k meetings. Testing slices by distance is the idea of Liu, Yong,
 * Zheng and Sun, "An offset algorithm for polyline curves", Computers in Industry 58 (2007); curves of constant
 * bend, joining by nodes and testing by runs are our own.
 *
 * Exactly 2d: a slot, a neck or a gap between islands of just the width 2d is not entered, a hole of radius d has no
 * loop; where two loops touch in a point they stay two.
 */
import type { Contour } from "./contour.js";
import { candidatesOf } from "./offset/candidates.js";
import { clearance } from "./offset/clearance.js";
import { evenOut } from "./offset/even.js";
import { graphOf, pruneLooseEnds, settleDoubles } from "./offset/graph.js";
import { jointsOf } from "./offset/joints.js";
import { askLooseEnds, askTurning } from "./offset/missed.js";
import { loopOf } from "./offset/pieces.js";
import { keepClearRuns } from "./offset/runs.js";
import { cutAtMeetings, sliceLength } from "./offset/slices.js";
import { sourceOf } from "./offset/source.js";
import type { Corners } from "./offset/square.js";
import { stitch } from "./offset/stitch.js";
import { offsetTolerance } from "./offset/tolerance.js";
import type { Box, Segment } from "./segment.js";

/** A piece of an offset and the stretch of the outline that it is parallel to. */
export interface OffsetSegment {
  readonly segment: Segment;
  /** Which outline and which of its segments; at a corner, the corner that ends segment `index`. */
  readonly contour: number;
  readonly index: number;
  readonly corner: boolean;
  /** Fractions along the source segment; at a corner, and past an end on a square corner, both are that end's. */
  readonly from: number;
  readonly to: number;
}

export interface OffsetLoop {
  readonly segments: readonly OffsetSegment[];
}

export interface OffsetOptions {
  /**
   * What becomes of corners that turn away. "rolled" (unless said): an arc about the corner. "square": two lines run
   * on to their meeting point, if that is within 2.5·d of the corner (turns up to 132°); sharper corners, and those
   * beside an arc, are rolled. Either way nothing of the result is nearer than d to any outline, and rolled corners
   * are at d everywhere; a square corner is up to 2.5·d away, and other parts are trimmed against it.
   */
  readonly corners?: Corners;
}

/**
 * Offsets closed outlines to their left by `d` > 0 mm. Interior on the left (counter-clockwise) goes inward,
 * clockwise goes outward. Loops run the same way as their outlines.
 *
 * Outlines must close and must not cross themselves or each other, by what `findConflicts` says. That forgives
 * crossings within 40 nm along the outline of a joint, as coordinates with few digits make them: what lies between may
 * count as either side. Of outlines that cross anywhere else there is no right result: it may be any, or an error.
 *
 * @throws {RangeError} when `d` is not above 0
 * @throws {InternalError} when a loop is lost or crosses itself: a fault of ours, or outlines that cross
 */
export function offsetLeft(
  contours: readonly Contour[],
  d: number,
  { corners = "rolled" }: OffsetOptions = {},
): OffsetLoop[] {
  if (!(d > 0)) throw new RangeError(`offset must be positive, got ${d}`);
  const box = roughBox(contours);
  const tol = offsetTolerance(box, d);
  const origin = {
    x: (box.minX + box.maxX) / 2,
    y: (box.minY + box.maxY) / 2,
  };
  const source = sourceOf(contours, origin, tol.node);
  const joints = jointsOf(source, d, corners, tol);
  const all = candidatesOf(source, joints, d);
  if (all.curves.count === 0) return [];
  const slices = cutAtMeetings(all, tol);
  const graph = graphOf(slices, all.nodes.count);
  pruneLooseEnds(graph);
  const clearOf = clearance(source, joints, d, tol.crumb);
  keepClearRuns(graph, all.curves, clearOf, -tol.clear);
  settleDoubles(graph, all.curves, 2 * tol.node);
  evenOut(graph, all.curves, clearOf, -tol.touch);
  askLooseEnds(graph, all, source, joints, clearOf, d, tol);
  const parts = { slices, all, source, joints, origin };
  const loops = stitch(graph, all.curves).filter((loop) =>
    loop.some((s) => sliceLength(slices, all.curves, s) > tol.crumb),
  );
  for (const loop of loops) askTurning(loop, slices, all.curves);
  return loops.map((loop) => loopOf(loop, parts));
}

/** Round all ends, and round whole circles of arcs over half a turn: enough to tell how large the drawing is. */
function roughBox(contours: readonly Contour[]): Box {
  let minX = Number.POSITIVE_INFINITY;
  let minY = Number.POSITIVE_INFINITY;
  let maxX = Number.NEGATIVE_INFINITY;
  let maxY = Number.NEGATIVE_INFINITY;
  for (const { segments } of contours)
    for (const s of segments) {
      const wide = s.kind === "arc" && Math.abs(s.sweep) > Math.PI;
      const { x, y } = wide ? s.center : s.end;
      const r = wide ? s.radius : 0;
      minX = Math.min(minX, x - r);
      minY = Math.min(minY, y - r);
      maxX = Math.max(maxX, x + r);
      maxY = Math.max(maxY, y + r);
    }
  return { minX, minY, maxX, maxY };
}

/** The loop as a contour. */
export function loopContour(loop: OffsetLoop): Contour {
  return { closed: true, segments: loop.segments.map((s) => s.segment) };
}
