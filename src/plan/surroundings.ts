/** What stands around a feature while it is planned: every edge that must not be touched, and whose waste a point is in. */
import {
  type Contour,
  contourBox,
  windingNumber,
} from "../geometry/contour.js";
import {
  distanceBetween,
  indexSegments,
  type SegmentIndex,
} from "../geometry/distance.js";
import { type Box, type Segment, segmentBox } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import type { Feature, Layout } from "./feature.js";

/** mm; a mark, or a point given by hand, that is farther from an outline was not meant for it. */
export const ON_OUTLINE = 1;

export interface Surroundings {
  /** All edges, features in layout order, then the block's. */
  readonly edges: SegmentIndex;
  /** The same without the block's own. */
  readonly outlines: SegmentIndex;
  /** Of each edge, the index of its feature; -1 for the block's own. */
  readonly owner: readonly number[];
  /** Lines along the edges that may take neither tab nor lead-in. */
  readonly keepOff: SegmentIndex;
  /** Of each feature, the drawn marks for its tabs. */
  readonly tabMarks: readonly (readonly Vec[])[];
  readonly layout: Layout;
  readonly boxes: readonly Box[];
}

export function surroundingsOf(layout: Layout): Surroundings {
  const owner = layout.features.flatMap((f, i) =>
    f.contour.segments.map(() => i),
  );
  const stock = layout.stock?.segments ?? [];
  const outlines = indexSegments(
    layout.features.flatMap((f) => f.contour.segments),
  );
  const edges =
    stock.length > 0
      ? indexSegments([...outlines.segments, ...stock])
      : outlines;
  const tabMarks = layout.features.map((): Vec[] => []);
  for (const mark of layout.tabMarks) {
    const near = edges.nearest(mark, ON_OUTLINE);
    tabMarks[owner[near?.segment ?? -1] ?? -1]?.push(mark);
  }
  return {
    edges,
    outlines,
    owner: [...owner, ...stock.map(() => -1)],
    tabMarks,
    keepOff: indexSegments(layout.keepOff),
    layout,
    boxes: layout.features.map((f) => contourBox(f.contour)),
  };
}

/** Is `p` in the waste of feature `i`: in its opening or around its part, and in no other feature in between? */
export function inWasteOf(around: Surroundings, i: number, p: Vec): boolean {
  const { features, stock } = around.layout;
  const self = features[i] as Feature;
  if (holds(self.contour, p) !== (self.role === "opening")) return false;
  if (stock && !holds(stock, p)) return false;
  const somewhere = (self.contour.segments[0] as Segment).start;
  return features.every((other, k) => {
    if (k === i) return true;
    const b = around.boxes[k] as Box;
    if (p.x < b.minX || p.x > b.maxX || p.y < b.minY || p.y > b.maxY)
      return true;
    return !holds(other.contour, p) || holds(other.contour, somewhere);
  });
}

function holds(c: Contour, p: Vec): boolean {
  return windingNumber(c, p) !== 0;
}

/** Edges nearer to a straight or round move than `limit`. */
export function edgesNearer(
  edges: SegmentIndex,
  move: Segment,
  limit: number,
): number[] {
  const b = segmentBox(move);
  return edges
    .near(b.minX, b.minY, b.maxX, b.maxY, limit)
    .filter((e) => distanceBetween(move, edges.segments[e] as Segment) < limit);
}
