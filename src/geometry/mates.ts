/**
 * Which ends belong together. At a place where two ends lie they are mates. Where more lie, what was drawn as one
 * strand goes on, a stretch that comes back to the same place closes on itself, and the rest pair off by the smallest
 * turn. Ends still alone then look for another lone end within the gap.
 */
import Flatbush from "flatbush";
import type { OnStep } from "../base/pace.js";
import { SAME_POINT } from "../base/tolerance.js";
import { type Segment, segmentLength, tangentAt } from "./segment.js";
import { angleBetween, distance, negate, type Vec } from "./vec.js";

export const NO_MATE = -1;

/** More ends than this at one place are a star, not a branching outline; they stay alone. */
const LARGEST_CROWD = 64;

/**
 * For each end (2i the start, 2i + 1 the end of segment i) the end it joins, or `NO_MATE`. `strands` names what was
 * drawn as one; neighbours of one strand follow each other in `segments`.
 */
export function findMates(
  segments: readonly Segment[],
  strands: readonly number[],
  gap: number,
  onStep: OnStep,
): Int32Array {
  const points = segments.flatMap((s) => [s.start, s.end]);
  const stretches = looseStretches(segments);
  const crowds: number[][] = [];
  for (const place of places(points, SAME_POINT, onStep)) {
    const [a, b] = place;
    if (place.length === 2 && a !== undefined && b !== undefined)
      stretches.join(a, b);
    else if (place.length > 2 && place.length <= LARGEST_CROWD)
      crowds.push(place);
  }
  for (const crowd of crowds)
    for (const e of crowd) {
      const next = e + 1;
      const goesOn =
        e % 2 === 1 &&
        crowd.includes(next) &&
        strands[e >> 1] === strands[next >> 1];
      if (goesOn) stretches.join(e, next);
    }
  for (const crowd of crowds)
    joinCheapest(stretches, allPairs(crowd), (e, f) =>
      stretches.farEnd(e) === f ? 0 : null,
    );
  for (const crowd of crowds)
    joinCheapest(stretches, allPairs(crowd), (e, f) =>
      turnCost(segments, stretches, e, f),
    );
  joinAcrossGaps(segments, points, stretches, gap, onStep);
  return stretches.mates;
}

/** Ends joined so far: stretches of segments, each known by its two far ends. */
interface Stretches {
  readonly mates: Int32Array;
  /** Joins two ends that are both still free; does nothing otherwise. */
  join(e: number, f: number): void;
  isFree(e: number): boolean;
  /** The other far end of the stretch that ends freely at `e`. */
  farEnd(e: number): number;
  /** Length of that stretch. */
  lengthFrom(e: number): number;
}

function looseStretches(segments: readonly Segment[]): Stretches {
  const mates = new Int32Array(2 * segments.length).fill(NO_MATE);
  const far = Int32Array.from(mates, (_, e) => e ^ 1);
  const lengths = Float64Array.from(mates, (_, e) =>
    segmentLength(segments[e >> 1] as Segment),
  );
  const isFree = (e: number): boolean => mates[e] === NO_MATE;
  return {
    mates,
    isFree,
    farEnd: (e) => far[e] as number,
    lengthFrom: (e) => lengths[e] as number,
    join(e, f) {
      // A segment cannot close on itself: arcs over a half turn come halved.
      if (!isFree(e) || !isFree(f) || e >> 1 === f >> 1) return;
      mates[e] = f;
      mates[f] = e;
      const a = far[e] as number;
      const b = far[f] as number;
      const whole = (lengths[e] as number) + (lengths[f] as number);
      far[a] = b;
      far[b] = a;
      lengths[a] = whole;
      lengths[b] = whole;
    },
  };
}

/** Groups of ends that lie within `reach` of each other, one to the next; in order of their first ends. */
function places(
  points: readonly Vec[],
  reach: number,
  onStep: OnStep,
): number[][] {
  if (points.length === 0) return [];
  const index = pointIndex(points);
  const seen = new Uint8Array(points.length);
  const groups: number[][] = [];
  for (let first = 0; first < points.length; first++) {
    if (seen[first]) continue;
    seen[first] = 1;
    const group = [first];
    for (let k = 0; k < group.length; k++) {
      onStep();
      const p = points[group[k] as number] as Vec;
      for (const e of around(index, points, p, reach))
        if (!seen[e]) {
          seen[e] = 1;
          group.push(e);
        }
    }
    groups.push(group.sort((a, b) => a - b));
  }
  return groups;
}

function pointIndex(points: readonly Vec[]): Flatbush {
  const index = new Flatbush(points.length);
  for (const p of points) index.add(p.x, p.y, p.x, p.y);
  index.finish();
  return index;
}

function around(
  index: Flatbush,
  points: readonly Vec[],
  p: Vec,
  reach: number,
): number[] {
  return index.search(
    p.x - reach,
    p.y - reach,
    p.x + reach,
    p.y + reach,
    (e) => distance(points[e] as Vec, p) <= reach,
  );
}

type Pair = readonly [e: number, f: number];

function allPairs(ends: readonly number[]): Pair[] {
  return ends.flatMap((e, i) => ends.slice(i + 1).map((f): Pair => [e, f]));
}

/** Joins the pairs that cost least first; a cost of `null` forbids. */
function joinCheapest(
  stretches: Stretches,
  pairs: readonly Pair[],
  cost: (e: number, f: number) => number | null,
): void {
  const priced: { e: number; f: number; price: number }[] = [];
  for (const [e, f] of pairs) {
    if (!stretches.isFree(e) || !stretches.isFree(f)) continue;
    const price = cost(e, f);
    if (price !== null) priced.push({ e, f, price });
  }
  priced.sort((a, b) => a.price - b.price || a.e - b.e || a.f - b.f);
  // What was joined a moment ago may forbid what was allowed before.
  for (const { e, f } of priced) if (cost(e, f) !== null) stretches.join(e, f);
}

/** A stretch that comes back to the place is closed before anything else; then the smallest turn. */
function turnCost(
  segments: readonly Segment[],
  stretches: Stretches,
  e: number,
  f: number,
): number {
  if (stretches.farEnd(e) === f) return -1;
  return Math.abs(
    angleBetween(outward(segments, e), negate(outward(segments, f))),
  );
}

/** Direction in which the segment would go on beyond the end. */
function outward(segments: readonly Segment[], e: number): Vec {
  const s = segments[e >> 1] as Segment;
  return e % 2 === 1 ? tangentAt(s, 1) : negate(tangentAt(s, 0));
}

/** A stretch this many times longer than the gap is drawn on purpose; shorter ones may all lie within the gap. */
const LONG_FOR_GAP = 4;

function joinAcrossGaps(
  segments: readonly Segment[],
  points: readonly Vec[],
  stretches: Stretches,
  gap: number,
  onStep: OnStep,
): void {
  const lone = points.flatMap((_, e) => (stretches.isFree(e) ? [e] : []));
  const lonePoints = lone.map((e) => points[e] as Vec);
  if (lone.length < 2) return;
  const index = pointIndex(lonePoints);
  for (const group of places(lonePoints, gap, onStep)) {
    if (group.length < 2) continue;
    const ends = group.map((i) => lone[i] as number);
    const onPurpose = ends.every(
      (e) => stretches.lengthFrom(e) > LONG_FOR_GAP * gap,
    );
    if (onPurpose && ends.length > LARGEST_CROWD) continue;
    const pairs: Pair[] = [];
    for (const i of group) {
      for (const j of around(index, lonePoints, lonePoints[i] as Vec, gap))
        if (j > i) pairs.push([lone[i] as number, lone[j] as number]);
      if (pairs.length > LARGEST_CROWD * ends.length) break;
    }
    // Dust: so many ends all within the gap of each other tell no order.
    if (pairs.length > LARGEST_CROWD * ends.length) continue;
    joinCheapest(stretches, pairs, (e, f) => {
      if (onPurpose && ends.length > 2)
        return turnCost(segments, stretches, e, f);
      // A short piece must not bite its own tail while its neighbours are as near.
      const itself = stretches.farEnd(e) === f;
      const short = stretches.lengthFrom(e) <= LONG_FOR_GAP * gap;
      return itself && short
        ? null
        : distance(points[e] as Vec, points[f] as Vec);
    });
  }
}
