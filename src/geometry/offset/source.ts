/**
 * Step 1 of the offset: the outlines as rings of curves about a local origin. What is too short to have a direction
 * is left out, arcs over half a turn become two; each curve remembers which stretch of which segment it is.
 */
import type { Contour } from "../contour.js";
import { pointAt, segmentLength } from "../segment.js";
import type { Vec } from "../vec.js";
import { addChord, type Curves, newCurves } from "./curves.js";
import { NO_ANGLE } from "./tolerance.js";

export interface Source {
  readonly curves: Curves;
  /** Ring r is the curves from ringStart[r] up to ringStart[r + 1]. */
  readonly ringStart: readonly number[];
  /** For each curve its contour and segment, and where on it (fractions) the curve begins and ends. */
  readonly contour: Int32Array;
  readonly segment: Int32Array;
  readonly from: Float64Array;
  readonly to: Float64Array;
}

/** `short`: segments that do not get farther than this from where the last one ended are left out, mm. */
export function sourceOf(
  contours: readonly Contour[],
  origin: Vec,
  short: number,
): Source {
  const most = 2 * contours.reduce((n, c) => n + c.segments.length, 0);
  const source = {
    curves: newCurves(most),
    ringStart: [0],
    contour: new Int32Array(most),
    segment: new Int32Array(most),
    from: new Float64Array(most),
    to: new Float64Array(most),
  };
  contours.forEach((c, contour) => {
    if (c.closed) addRing(source, c, contour, origin, short);
  });
  return source;
}

function addRing(
  source: Source & { ringStart: number[] },
  c: Contour,
  contour: number,
  origin: Vec,
  short: number,
): void {
  const { curves } = source;
  const first = curves.count;
  const add = (
    start: Vec,
    end: Vec,
    sweep: number,
    segment: number,
    from: number,
    to: number,
  ): void => {
    const i = curves.count;
    source.contour[i] = contour;
    source.segment[i] = segment;
    source.from[i] = from;
    source.to[i] = to;
    addChord(
      curves,
      start.x - origin.x,
      start.y - origin.y,
      end.x - origin.x,
      end.y - origin.y,
      sweep,
    );
  };
  // Where the last curve ended, when something was left out after it.
  let end: Vec | null = null;
  c.segments.forEach((s, segment) => {
    const start: Vec = end ?? s.start;
    const near =
      Math.abs(s.end.x - start.x) <= short &&
      Math.abs(s.end.y - start.y) <= short;
    if (near && segmentLength(s) <= 4 * short) {
      end = start;
      return;
    }
    end = null;
    if (s.kind === "line") add(start, s.end, 0, segment, 0, 1);
    else if (Math.abs(s.sweep) <= Math.PI + NO_ANGLE)
      add(start, s.end, s.sweep, segment, 0, 1);
    else {
      const middle = pointAt(s, 0.5);
      add(start, middle, s.sweep / 2, segment, 0, 0.5);
      add(middle, s.end, s.sweep / 2, segment, 0.5, 1);
    }
  });
  // A ring of one curve does not close.
  if (curves.count - first < 2) curves.count = first;
  source.ringStart.push(curves.count);
}
