/** Closed contours that were drawn twice. */
import { noStep, type OnStep } from "../../base/pace.js";
import { SAME_DRAWN } from "../../base/tolerance.js";
import { type Contour, contourBox, contourLength } from "../contour.js";
import { pointAt, type Segment } from "../segment.js";
import { distance, type Vec } from "../vec.js";
import { samePlaces } from "./places.js";

export interface DroppedDouble {
  readonly index: number;
  readonly at: Vec;
  /** Length of the contour, mm. */
  readonly size: number;
}

/** Which contours stay (the first of those that are the same), and those that do not. All tidy and counter-clockwise. */
export function dropDoubles(
  contours: readonly Contour[],
  onStep: OnStep = noStep,
): {
  kept: number[];
  dropped: DroppedDouble[];
} {
  const kept: number[] = [];
  const dropped: DroppedDouble[] = [];
  const boxes = contours.map(contourBox);
  // Equal contours have equal lower left corners.
  const places = samePlaces(
    Float64Array.from(boxes, (b) => b.minX),
    Float64Array.from(boxes, (b) => b.minY),
    SAME_DRAWN,
    onStep,
  );
  const keptAt = new Map<number, number[]>();
  contours.forEach((c, i) => {
    onStep(c.segments.length);
    const place = places[i] as number;
    const others = keptAt.get(place) ?? [];
    if (others.some((k) => sameContour(contours[k] as Contour, c))) {
      const { start } = c.segments[0] as Segment;
      dropped.push({ index: i, at: start, size: contourLength(c) });
      return;
    }
    kept.push(i);
    others.push(i);
    keptAt.set(place, others);
  });
  return { kept, dropped };
}

/** Segment by segment, from wherever each begins. */
function sameContour(a: Contour, b: Contour): boolean {
  const n = a.segments.length;
  if (n !== b.segments.length) return false;
  const start = (a.segments[0] as Segment).start;
  const shift = b.segments.findIndex(
    (s) => distance(s.start, start) <= SAME_DRAWN,
  );
  if (shift < 0) return false;
  return a.segments.every((s, i) => {
    const r = b.segments[(i + shift) % n] as Segment;
    return (
      distance(s.end, r.end) <= SAME_DRAWN &&
      distance(pointAt(s, 0.5), pointAt(r, 0.5)) <= SAME_DRAWN
    );
  });
}
