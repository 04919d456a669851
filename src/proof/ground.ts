/** The finished outlines as the proof sees them: found by place, and which side of them is kept. */
import Flatbush from "flatbush";
import { contourBox, windingNumber } from "../geometry/contour.js";
import { type Box, type Segment, segmentBox } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import type { Feature, Layout } from "../plan/feature.js";
import { pointTo } from "./measure.js";

/** One segment of a finished outline. */
export interface Edge {
  readonly segment: Segment;
  /** Index of the feature, and of the segment in its contour. */
  readonly feature: number;
  readonly index: number;
  readonly box: Box;
}

export interface Ground {
  readonly layout: Layout;
  readonly edges: readonly Edge[];
  readonly index: BoxIndex;
  /** The features' outlines, found by place. */
  readonly outlines: BoxIndex;
  /** What lies in the block around all features. */
  readonly around: "kept" | "waste";
}

/** Boxes found by place. */
export interface BoxIndex {
  /** Indices, in no order but always the same, of the boxes that come within `margin` of the box. */
  near(box: Box, margin: number): number[];
  /** Indices of the `most` boxes nearest to a place, the nearest first. */
  nearest(p: Vec, most: number): number[];
}

/** Segments found by their boxes. */
export const indexOf = (segments: readonly Segment[]): BoxIndex =>
  boxIndex(segments.map(segmentBox));

export function boxIndex(boxes: readonly Box[]): BoxIndex {
  if (boxes.length === 0) return { near: () => [], nearest: () => [] };
  const tree = new Flatbush(boxes.length);
  for (const b of boxes) tree.add(b.minX, b.minY, b.maxX, b.maxY);
  tree.finish();
  return {
    near: (b, margin) =>
      tree.search(
        b.minX - margin,
        b.minY - margin,
        b.maxX + margin,
        b.maxY + margin,
      ),
    nearest: ({ x, y }, most) => tree.neighbors(x, y, most),
  };
}

export const pointBox = (p: Vec): Box => ({
  minX: p.x,
  minY: p.y,
  maxX: p.x,
  maxY: p.y,
});

export function groundOf(layout: Layout): Ground {
  const edges = layout.features.flatMap((f, feature) =>
    f.contour.segments.map((segment, index) => ({
      segment,
      feature,
      index,
      box: segmentBox(segment),
    })),
  );
  return {
    layout,
    edges,
    index: boxIndex(edges.map((e) => e.box)),
    outlines: boxIndex(layout.features.map((f) => contourBox(f.contour))),
    // Around parts lies the rest of the block, which is waste; a plate that only has openings is kept itself.
    around: layout.features.some((f) => f.depth === 0 && f.role === "part")
      ? "waste"
      : "kept",
  };
}

/** What is at a place when everything is finished: kept metal, waste, or the air around the block. */
export function regionAt(ground: Ground, p: Vec): "kept" | "waste" | "air" {
  const inner = innermostAt(ground, p);
  if (inner) return inner.role === "part" ? "kept" : "waste";
  const { stock } = ground.layout;
  return stock && windingNumber(stock, p) === 0 ? "air" : ground.around;
}

/** The deepest feature that encloses a place. */
export function innermostAt(ground: Ground, p: Vec): Feature | null {
  let inner: Feature | null = null;
  for (const k of ground.outlines.near(pointBox(p), 0)) {
    const f = ground.layout.features[k] as Feature;
    if (inner && inner.depth >= f.depth) continue;
    if (windingNumber(f.contour, p) !== 0) inner = f;
  }
  return inner;
}

/** mm from a place to the nearest finished outline, looking no farther than `reach`; Infinity beyond. */
export function clearanceAt(ground: Ground, p: Vec, reach: number): number {
  let best = Number.POSITIVE_INFINITY;
  for (const k of ground.index.near(pointBox(p), reach))
    best = Math.min(best, pointTo((ground.edges[k] as Edge).segment, p.x, p.y));
  return best;
}
