/** Boxes that hug long slanted segments: one box round a diagonal holds everything beside it, many small ones do not. */
import {
  type Box,
  EMPTY_BOX,
  type Segment,
  segmentBox,
  subSegment,
  unionBox,
} from "../segment.js";

/** Boxes per segment at most, on average over all; and of all, as far as one each allows. */
const MOST_BOXES = 16;
const MOST_IN_ALL = 400_000;

/**
 * For each segment its boxes in a row: one where it is short or lies square to the axes, several where it is long and
 * slanted compared with how densely the segments lie.
 */
export function thinBoxes(segments: readonly Segment[]): Box[][] {
  const boxes = segments.map(segmentBox);
  const slants = boxes.map((b) => Math.min(b.maxX - b.minX, b.maxY - b.minY));
  const all = boxes.reduce(unionBox, EMPTY_BOX);
  const spacing =
    Math.max(all.maxX - all.minX, all.maxY - all.minY) /
    Math.sqrt(segments.length);
  const mean = slants.reduce((sum, w) => sum + w, 0) / segments.length;
  const most = Math.min(MOST_BOXES, Math.max(1, MOST_IN_ALL / segments.length));
  const cell = Math.max(spacing, mean / most);
  return segments.map((s, i) => {
    const pieces = Math.ceil((slants[i] as number) / cell);
    if (pieces <= 1) return [boxes[i] as Box];
    return Array.from({ length: pieces }, (_, k) =>
      segmentBox(subSegment(s, k / pieces, (k + 1) / pieces)),
    );
  });
}
