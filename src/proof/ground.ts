/** The finished outlines as the proof sees them: found by place, and which side of them is kept. */
import Flatbush from "flatbush";
import { windingNumber } from "../geometry/contour.js";
import {
  type Box,
  EMPTY_BOX,
  type Segment,
  segmentBox,
  unionBox,
} from "../geometry/segment.js";
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
  readonly boxes: readonly Box[];
  readonly index: SegmentIndex;
}

/** Boxes of segments, found by place. */
export interface SegmentIndex {
  /** Indices, in no order but always the same, of the segments whose boxes come within `margin` of the box. */
  near(box: Box, margin: number): number[];
}

export function indexOf(segments: readonly Segment[]): SegmentIndex {
  if (segments.length === 0) return { near: () => [] };
  const tree = new Flatbush(segments.length);
  for (const s of segments) {
    const b = segmentBox(s);
    tree.add(b.minX, b.minY, b.maxX, b.maxY);
  }
  tree.finish();
  return {
    near: (b, margin) =>
      tree.search(
        b.minX - margin,
        b.minY - margin,
        b.maxX + margin,
        b.maxY + margin,
      ),
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
    boxes: layout.features.map((f) =>
      f.contour.segments.reduce(
        (box, s) => unionBox(box, segmentBox(s)),
        EMPTY_BOX,
      ),
    ),
    index: indexOf(edges.map((e) => e.segment)),
  };
}

/** mm between two boxes; 0 where they overlap. */
export function boxGap(a: Box, b: Box): number {
  const x = Math.max(0, a.minX - b.maxX, b.minX - a.maxX);
  const y = Math.max(0, a.minY - b.maxY, b.minY - a.maxY);
  return Math.sqrt(x * x + y * y);
}

/** What is at a place when everything is finished: kept metal, waste, or the air around the block. */
export function regionAt(ground: Ground, p: Vec): "kept" | "waste" | "air" {
  const inner = innermostAt(ground, p);
  if (inner) return inner.role === "part" ? "kept" : "waste";
  const { stock, features } = ground.layout;
  if (stock && windingNumber(stock, p) === 0) return "air";
  // Around parts lies the rest of the block, which is waste; a plate that only has openings is kept itself.
  return features.some((f) => f.depth === 0 && f.role === "part")
    ? "waste"
    : "kept";
}

/** The deepest feature that encloses a place. */
export function innermostAt(ground: Ground, p: Vec): Feature | null {
  let inner: Feature | null = null;
  ground.layout.features.forEach((f, i) => {
    const b = ground.boxes[i] as Box;
    if (p.x < b.minX || p.x > b.maxX || p.y < b.minY || p.y > b.maxY) return;
    if (inner && inner.depth >= f.depth) return;
    if (windingNumber(f.contour, p) !== 0) inner = f;
  });
  return inner;
}

/** mm from a place to the nearest finished outline, looking no farther than `reach`; Infinity beyond. */
export function clearanceAt(ground: Ground, p: Vec, reach: number): number {
  let best = Number.POSITIVE_INFINITY;
  for (const k of ground.index.near(pointBox(p), reach))
    best = Math.min(best, pointTo((ground.edges[k] as Edge).segment, p.x, p.y));
  return best;
}
