/** Closed contours that were drawn twice. */
import Flatbush from "flatbush";
import { noStep, type OnStep } from "../base/pace.js";
import { SAME_DRAWN } from "../base/tolerance.js";
import { type Contour, contourBox, contourLength } from "./contour.js";
import { pointAt, type Segment } from "./segment.js";
import { distance, type Vec } from "./vec.js";

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
  if (contours.length === 0) return { kept, dropped };
  const boxes = contours.map(contourBox);
  // Boxes as places: equal contours have equal lower left corners.
  const index = new Flatbush(contours.length);
  for (const { minX, minY } of boxes) index.add(minX, minY, minX, minY);
  index.finish();
  const gone = new Uint8Array(contours.length);
  contours.forEach((c, i) => {
    onStep(c.segments.length);
    if (gone[i]) return;
    kept.push(i);
    const { minX, minY } = boxes[i] as (typeof boxes)[number];
    const r = SAME_DRAWN;
    for (const j of index.search(
      minX - r,
      minY - r,
      minX + r,
      minY + r,
      (k) => k > i,
    )) {
      const other = contours[j] as Contour;
      if (gone[j] || !sameContour(c, other)) continue;
      gone[j] = 1;
      const first = other.segments[0] as Segment;
      dropped.push({ index: j, at: first.start, size: contourLength(other) });
    }
  });
  dropped.sort((a, b) => a.index - b.index);
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
