/**
 * The narrowest places of a flat piece of work. A gap is a double normal: two points of the outlines, on stretches
 * that face each other across the same metal or the same waste, whose distance grows whichever way either is moved.
 * Across waste it is a slot the wire has to pass, across kept metal a web that has to stand.
 */
import Flatbush from "flatbush";
import { SAME_DRAWN, SHARP_TURN } from "../../base/tolerance.js";
import { type Contour, turnBetween } from "../contour.js";
import { intersectSegments } from "../intersect.js";
import { type Nesting, nestContours } from "../nest.js";
import {
  line,
  pointAt,
  type Segment,
  segmentBox,
  segmentLength,
  tangentAt,
} from "../segment.js";
import { along, left, lerp, type Vec } from "../vec.js";
import { type Facing, facingPairs } from "./facing.js";
import { type Gap, gapBetween } from "./gap.js";

export type { Facing } from "./facing.js";
export type { Gap } from "./gap.js";

export type Material = "waste" | "kept";

/**
 * @param contours closed, counter-clockwise, neither crossing themselves nor each other
 * @param inMaterial what is at a point off the contours
 * @returns for each kind the narrowest gap, `null` when no two stretches face each other
 */
export function narrowestGaps(
  contours: readonly Contour[],
  inMaterial: (p: Vec) => Material,
): { slot: Gap | null; web: Gap | null } {
  const segments = contours.flatMap((c) => c.segments);
  if (segments.length === 0) return { slot: null, web: null };
  const isClear = clearView(segments);
  const regions = regionsOf(contours, inMaterial);
  const find = (material: Material): Gap | null => {
    let best: Gap | null = null;
    const reach = (): number => best?.width ?? Number.POSITIVE_INFINITY;
    for (const sides of regions) {
      const walls = sides.filter((side) => side.material === material);
      facingPairs(walls, reach, (a, b) => {
        for (const gap of gapBetween(a, b, reach()))
          if (
            gap.width < reach() &&
            isClear(gap) &&
            inMaterial(gap.at) === material
          )
            best = gap;
      });
    }
    return best;
  };
  return { slot: find("waste"), web: find("kept") };
}

/** The narrowest gap between two of the facings, by their places among them. */
export interface GapBetween {
  readonly gap: Gap;
  readonly between: readonly [number, number];
}

/** For each two contours that face each other, seen from the sides given, across less than `limit` (mm): where least. */
export function gapsUnder(
  facings: readonly Facing[],
  limit: number,
): GapBetween[] {
  if (facings.length < 2) return [];
  const isClear = clearView(facings.flatMap((f) => f.segments));
  const owner = new Map(
    facings.flatMap((f, i) => f.segments.map((s) => [s, i] as const)),
  );
  const found = new Map<string, GapBetween>();
  facingPairs(
    facings,
    () => limit,
    (a, b) => {
      const i = owner.get(a.segment) as number;
      const k = owner.get(b.segment) as number;
      if (i === k) return;
      const between = i < k ? ([i, k] as const) : ([k, i] as const);
      const key = between.join();
      for (const gap of gapBetween(a, b, limit))
        if (gap.width < (found.get(key)?.gap.width ?? limit) && isClear(gap))
          found.set(key, { gap, between });
    },
  );
  return [...found.values()];
}

interface Side extends Facing {
  readonly material: Material;
}

/** The sides that border on one area: what is inside a contour, and outside those right in it. Others cannot see each other. */
function regionsOf(
  contours: readonly Contour[],
  inMaterial: (p: Vec) => Material,
): (readonly Side[])[] {
  const nestings = nestContours(contours);
  const regions = new Map<number | null, Side[]>();
  contours.forEach((c, i) => {
    for (const side of sidesOf(c, inMaterial)) {
      const region = side.side > 0 ? i : (nestings[i] as Nesting).parent;
      const others = regions.get(region);
      if (others) others.push(side);
      else regions.set(region, [side]);
    }
  });
  return [...regions.values()];
}

/** The inside and the outside of a contour, each with what it borders on. */
function sidesOf(c: Contour, inMaterial: (p: Vec) => Material): Side[] {
  const longest = c.segments.reduce((a, b) =>
    segmentLength(b) > segmentLength(a) ? b : a,
  );
  const at = pointAt(longest, 0.5);
  const normal = left(tangentAt(longest, 0.5));
  return ([1, -1] as const).map((side) => ({
    segments: c.segments,
    side,
    material: inMaterial(along(at, normal, side * 2 * SAME_DRAWN)),
  }));
}

/** Whether nothing stands between the two ends of a gap. */
function clearView(segments: readonly Segment[]): (gap: Gap) => boolean {
  const index = new Flatbush(segments.length);
  for (const s of segments) {
    const { minX, minY, maxX, maxY } = segmentBox(s);
    index.add(minX, minY, maxX, maxY);
  }
  index.finish();
  return ({ width, ends: [a, b] }) => {
    // The ends themselves lie on outlines.
    const back = Math.min(SAME_DRAWN, width / 10) / width;
    const sight = line(lerp(a, b, back), lerp(a, b, 1 - back));
    const { minX, minY, maxX, maxY } = segmentBox(sight);
    return index
      .search(minX, minY, maxX, maxY)
      .every(
        (i) => intersectSegments(sight, segments[i] as Segment).length === 0,
      );
  };
}

/**
 * The tightest place that bends round the wire: an arc's radius, 0 at a sharp corner. `null` when nothing bends
 * round it. A corner that hardly turns (`SHARP_TURN`) is taken for smooth.
 */
export function smallestInsideRadius(
  contour: Contour,
  wireSide: "inside" | "outside",
): { value: number; at: Vec } | null {
  const round = wireSide === "inside" ? 1 : -1;
  let tightest: { value: number; at: Vec } | null = null;
  const offer = (value: number, at: Vec): void => {
    if (tightest === null || value < tightest.value) tightest = { value, at };
  };
  contour.segments.forEach((s, i) => {
    const before = contour.segments.at(i - 1) as Segment;
    if (round * turnBetween(before, s) > SHARP_TURN) offer(0, s.start);
    if (s.kind === "arc" && round * s.sweep > 0)
      offer(s.radius, pointAt(s, 0.5));
  });
  return tightest;
}
