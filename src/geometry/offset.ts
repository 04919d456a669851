/**
 * Arc-exact parallel offset: the boundary of all points on the left of the outlines that are at least d from them.
 *
 *   candidates   every moved line, moved arc and corner arc            offset/candidates.ts
 *   slices       cut where they meet; keep what is nowhere nearer than d   offset/slices.ts
 *   stitch       join the kept slices into loops by node number            offset/stitch.ts
 *
 * Lines stay lines, arcs stay arcs; corners that turn away are rolled round by an arc, tight ones are trimmed;
 * several loops or none may come out. All outlines are handled together, so islands trim what lies around them.
 * O((n + k) log n) for k meetings. The idea of testing slices by distance is that of Liu, Yong, Zheng and Sun,
 * "An offset algorithm for polyline curves", Computers in Industry 58 (2007); the joining by nodes is our own.
 */
import { type Contour, contourBox } from "./contour.js";
import { indexSegments } from "./distance.js";
import { candidatesOf, sourceFraction } from "./offset/candidates.js";
import { type Slice, validSlices } from "./offset/slices.js";
import { stitch } from "./offset/stitch.js";
import { offsetTolerance } from "./offset/tolerance.js";
import { EMPTY_BOX, type Segment, segmentLength, unionBox } from "./segment.js";

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
 * clockwise goes outward. Loops run the same way as their outlines. Outlines must not cross themselves.
 */
export function offsetLeft(
  contours: readonly Contour[],
  d: number,
): OffsetLoop[] {
  if (!(d > 0)) throw new RangeError(`offset must be positive, got ${d}`);
  const box = contours.map(contourBox).reduce(unionBox, EMPTY_BOX);
  const segments = contours.flatMap((c) => c.segments);
  const radius = segments.reduce(
    (r, s) => (s.kind === "arc" ? Math.max(r, s.radius) : r),
    0,
  );
  const tol = offsetTolerance(box, radius, d);
  const outlines = indexSegments(segments);
  const candidates = candidatesOf(contours, d, tol.node);
  const loops = stitch(
    validSlices(candidates, outlines, d, tol),
    10 * tol.node,
  );
  return loops
    .map((loop) => ({ segments: joinSlices(loop) }))
    .filter((loop) =>
      loop.segments.some((s) => segmentLength(s.segment) > 10 * tol.node),
    );
}

/** Slices of one candidate that follow each other become one piece again. */
function joinSlices(loop: readonly Slice[]): OffsetSegment[] {
  const runs: Slice[][] = [];
  for (const s of loop) {
    const run = runs.at(-1);
    if (run && continues(run.at(-1) as Slice, s)) run.push(s);
    else runs.push([s]);
  }
  const first = runs[0];
  const last = runs.at(-1);
  if (
    first &&
    last &&
    first !== last &&
    continues(last.at(-1) as Slice, first[0] as Slice)
  ) {
    runs[0] = [...last, ...first];
    runs.pop();
  }
  return runs.map((run) => {
    const a = run[0] as Slice;
    const b = run.at(-1) as Slice;
    return {
      segment: run.length === 1 ? a.segment : spanning(run),
      contour: a.source.contour,
      index: a.source.index,
      corner: a.source.corner,
      from: sourceFraction(a.source, a.t0),
      to: sourceFraction(b.source, b.t1),
    };
  });
}

function continues(a: Slice, b: Slice): boolean {
  return a.source === b.source && a.t1 === b.t0;
}

function spanning(run: readonly Slice[]): Segment {
  const first = (run[0] as Slice).segment;
  const end = (run.at(-1) as Slice).segment.end;
  if (first.kind === "line") return { ...first, end };
  const sweep = run.reduce(
    (sum, s) => sum + (s.segment.kind === "arc" ? s.segment.sweep : 0),
    0,
  );
  return { ...first, end, sweep };
}

/** The loop as a contour. */
export function loopContour(loop: OffsetLoop): Contour {
  return { closed: true, segments: loop.segments.map((s) => s.segment) };
}
