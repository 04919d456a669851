/**
 * Which ends belong together. At a place where two ends lie they are mates. Where more lie, what was drawn as one
 * strand goes on, a stretch that comes back to the same place closes on itself, and the rest pair off by the smallest
 * turn. Ends still alone then look for another lone end within the gap.
 */
import type { OnStep } from "../../base/pace.js";
import { SAME_POINT } from "../../base/tolerance.js";
import { type Segment, segmentLength, tangentAt } from "../segment.js";
import { angleBetween, negate, type Vec } from "../vec.js";
import { samePlaces } from "./places.js";

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
  const ends = endsOf(segments);
  const stretches = looseStretches(segments);
  const crowds: number[][] = [];
  eachPlace(samePlaces(ends.xs, ends.ys, SAME_POINT, onStep), {
    pair: stretches.join,
    crowd: (place) => {
      if (place.length <= LARGEST_CROWD) crowds.push(place);
    },
  });
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
    joinCheapest(stretches, freePairs(stretches, crowd, onStep), (e, f) =>
      stretches.farEnd(e) === f ? 0 : null,
    );
  for (const crowd of crowds)
    joinCheapest(stretches, freePairs(stretches, crowd, onStep), (e, f) =>
      turnCost(segments, stretches, e, f),
    );
  joinAcrossGaps(segments, ends, stretches, gap, onStep);
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

/** Coordinates of all ends: of 2i the start, of 2i + 1 the end of segment i. */
interface Ends {
  readonly xs: Float64Array;
  readonly ys: Float64Array;
}

function endsOf(segments: readonly Segment[]): Ends {
  const xs = new Float64Array(2 * segments.length);
  const ys = new Float64Array(2 * segments.length);
  for (let i = 0; i < segments.length; i++) {
    const { start, end } = segments[i] as Segment;
    xs[2 * i] = start.x;
    ys[2 * i] = start.y;
    xs[2 * i + 1] = end.x;
    ys[2 * i + 1] = end.y;
  }
  return { xs, ys };
}

/** Tells two ends that are alone at their place, or all ends of a larger place, ascending; `first` names it for each. */
function eachPlace(
  first: Int32Array,
  {
    pair,
    crowd,
  }: {
    readonly pair: (e: number, f: number) => void;
    readonly crowd: (ends: number[]) => void;
  },
): void {
  const counts = new Int32Array(first.length);
  for (const root of first) counts[root] = (counts[root] as number) + 1;
  const crowds = new Map<number, number[]>();
  for (let e = 0; e < first.length; e++) {
    const root = first[e] as number;
    if (root === e || (counts[root] as number) < 2) continue;
    if (counts[root] === 2) pair(root, e);
    else {
      const ends = crowds.get(root);
      if (ends) ends.push(e);
      else crowds.set(root, [root, e]);
    }
  }
  for (const root of [...crowds.keys()].sort((a, b) => a - b))
    crowd(crowds.get(root) as number[]);
}

type Pair = readonly [e: number, f: number];

function freePairs(
  { isFree }: Stretches,
  ends: readonly number[],
  onStep: OnStep,
): Pair[] {
  const free = ends.filter(isFree);
  onStep((free.length * free.length) / 2);
  return free.flatMap((e, i) => free.slice(i + 1).map((f): Pair => [e, f]));
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
  { xs, ys }: Ends,
  stretches: Stretches,
  gap: number,
  onStep: OnStep,
): void {
  const lone: number[] = [];
  for (let e = 0; e < xs.length; e++) if (stretches.isFree(e)) lone.push(e);
  if (lone.length < 2) return;
  const first = samePlaces(
    Float64Array.from(lone, (e) => xs[e] as number),
    Float64Array.from(lone, (e) => ys[e] as number),
    gap,
    onStep,
  );
  const between = (e: number, f: number): number =>
    Math.hypot(
      (xs[e] as number) - (xs[f] as number),
      (ys[e] as number) - (ys[f] as number),
    );
  const joinGroup = (group: readonly number[]): void => {
    const ends = group.map((i) => lone[i] as number);
    const onPurpose = ends.every(
      (e) => stretches.lengthFrom(e) > LONG_FOR_GAP * gap,
    );
    if (onPurpose && ends.length > LARGEST_CROWD) return;
    const pairs = nearPairs(ends, xs, gap, between, onStep);
    if (pairs === null) return;
    joinCheapest(stretches, pairs, (e, f) => {
      if (onPurpose && ends.length > 2)
        return turnCost(segments, stretches, e, f);
      // A short piece must not bite its own tail while its neighbours are as near.
      const itself = stretches.farEnd(e) === f;
      const short = stretches.lengthFrom(e) <= LONG_FOR_GAP * gap;
      return itself && short ? null : between(e, f);
    });
  };
  const groups: number[][] = [];
  eachPlace(first, {
    pair: (i, j) => groups.push([i, j]),
    crowd: (group) => groups.push(group),
  });
  groups.sort((a, b) => (a[0] as number) - (b[0] as number));
  for (const group of groups) joinGroup(group);
}

/** The pairs of ends within `gap`; `null` for dust: so many ends all within the gap of each other tell no order. */
function nearPairs(
  ends: readonly number[],
  xs: Float64Array,
  gap: number,
  between: (e: number, f: number) => number,
  onStep: OnStep,
): Pair[] | null {
  const byX = [...ends].sort(
    (e, f) => (xs[e] as number) - (xs[f] as number) || e - f,
  );
  const pairs: Pair[] = [];
  for (const [i, e] of byX.entries()) {
    for (let k = i + 1; k < byX.length; k++) {
      const f = byX[k] as number;
      if ((xs[f] as number) - (xs[e] as number) > gap) break;
      if (between(e, f) <= gap) pairs.push(e < f ? [e, f] : [f, e]);
      if (pairs.length > LARGEST_CROWD * ends.length) return null;
    }
    onStep(pairs.length / ends.length);
  }
  return pairs.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
}
