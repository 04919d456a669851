/**
 * Smooth curves become arcs: pairs of arcs that share a tangent (biarcs), each as long as the tolerance allows. The
 * joints lie on the curve, and the chain is tangent-continuous wherever the curve is.
 */

import { noStep, type OnStep } from "../../base/pace.js";
import { SAME_DIRECTION } from "../../base/tolerance.js";
import { shareEnds } from "../chain/joint.js";
import { reverseSegment, type Segment, segmentFromBulge } from "../segment.js";
import {
  angleBetween,
  byPlace,
  distance,
  negate,
  rotate,
  type Vec,
} from "../vec.js";
import { biarc } from "./biarc.js";
import { type Curve, SAMPLED_SHARE, worstDistance } from "./fit-error.js";

/** How curves are to become arcs. */
export interface Fit {
  /** Greatest distance from the curve, mm. */
  readonly tolerance: number;
  /** Called for each pair of arcs. */
  readonly onStep?: OnStep;
}

/**
 * Lines and arcs from the curve's start to its end, nowhere further from it than the tolerance, along it at both ends
 * and at its corners (at knots), which are kept. Empty for a curve without length. The same curve run the other way
 * gives the same lines and arcs the other way, so that what is drawn twice is seen to be.
 */
export function fitArcs(
  curve: Curve,
  { tolerance, onStep = noStep }: Fit,
): Segment[] {
  const runs: Segment[][] = [];
  const aim = tolerance * SAMPLED_SHARE;
  let start = 0;
  for (let k = 1; k < curve.knots.length; k++) {
    const t = curve.knots[k] as number;
    const last = k === curve.knots.length - 1;
    if (!last && !isCorner(curve, t)) continue;
    runs.push(fitEitherWay(curve, start, k, { tolerance: aim, onStep }));
    start = k;
  }
  return shareEnds(runs.flat());
}

function isCorner(curve: Curve, t: number): boolean {
  const turn = angleBetween(curve.tangent(t, -1), curve.tangent(t, 1));
  return Math.abs(turn) > SAME_DIRECTION;
}

/** Joints depend on the end that fitting begins from, so it is always the same end, whichever way the curve runs. */
function fitEitherWay(
  curve: Curve,
  first: number,
  last: number,
  fit: Fit,
): Segment[] {
  const { knots } = curve;
  const begin = knots[first] as number;
  const length = (knots[last] as number) - begin;
  if (!beginsAtLaterEnd(curve, begin, length))
    return fitSmooth(curve, first, last, fit);
  const end = knots.length - 1;
  return fitSmooth(reversed(curve), end - last, end - first, fit)
    .map(reverseSegment)
    .reverse();
}

/** Shares of the way from either end: where a closed curve's ends are one place, places on the way tell them apart. */
const TELLING_SHARES = [0, 1 / 4, 1 / 8, 3 / 8];

function beginsAtLaterEnd(
  { at }: Curve,
  begin: number,
  length: number,
): boolean {
  for (const share of TELLING_SHARES) {
    const order = byPlace(
      at(begin + share * length),
      at(begin + (1 - share) * length),
    );
    if (order !== 0) return order > 0;
  }
  return false;
}

function reversed({ knots, at, tangent }: Curve): Curve {
  return {
    knots: knots.map((t) => -t).reverse(),
    at: (t) => at(-t),
    tangent: (t, side) => negate(tangent(-t, side === 1 ? -1 : 1)),
  };
}

interface Piece {
  readonly from: number;
  readonly to: number;
  /** Unit directions at its ends, which may be a little askew of the curve's. */
  readonly set: Vec;
  readonly arrive: Vec;
  readonly segments: readonly Segment[];
}

interface Tried extends Piece {
  readonly error: number;
}

/** The smooth run between knots number `first` and `last`: greedy, always the longest pair that fits. */
function fitSmooth(
  curve: Curve,
  first: number,
  last: number,
  { tolerance, onStep = noStep }: Fit,
): Segment[] {
  const end = curve.knots[last] as number;
  const pieces: Piece[] = [];
  let t = curve.knots[first] as number;
  let along = curve.tangent(t, 1);
  let step = (end - t) / 4;
  while (t < end) {
    onStep();
    const piece = longestPiece(curve, t, along, end, step, tolerance);
    pieces.push(piece);
    step = piece.to - piece.from;
    t = piece.to;
    along = piece.arrive;
  }
  evenLastTwo(curve, pieces, tolerance);
  return pieces.flatMap((p) => p.segments);
}

/** Trials per piece: the step follows the cube law of the error, so two or three are usual. */
const TRIALS = 40;
/** A step is long enough when its error reaches this share of the tolerance. */
const WELL_USED = 0.9;

function longestPiece(
  curve: Curve,
  from: number,
  set: Vec,
  end: number,
  firstStep: number,
  tolerance: number,
): Piece {
  let step = Math.min(firstStep, end - from);
  let best: Piece | null = null;
  let tooLong = Number.POSITIVE_INFINITY;
  for (let trial = 0; trial < TRIALS; trial++) {
    // Within a hair of the end the rest would be a sliver.
    const to = step > (end - from) * 0.999 ? end : from + step;
    const tried = tryPiece(curve, from, set, to, end);
    // The error of a biarc grows with the cube of its length; four times as long is enough at once.
    const growth = Math.cbrt(tolerance / Math.max(tried.error, tolerance / 64));
    if (tried.error <= tolerance) {
      best = tried;
      if (to === end || tried.error >= WELL_USED * tolerance) break;
      if (trial > 6) break;
      step = Math.min((to - from) * growth * 0.99, (tooLong + (to - from)) / 2);
    } else {
      if (best && trial > 6) break;
      if (!best && staysNear(curve, from, to, tolerance / 2)) break;
      tooLong = to - from;
      const shrunk = tooLong * Math.max(0.2, Math.min(growth * 0.99, 0.95));
      step = best ? Math.max(shrunk, (best.to - from + tooLong) / 2) : shrunk;
    }
  }
  if (best) return best;
  const past = Math.min(end, from + step);
  // Where the parameter is too coarse to step at all, the rest is one step.
  return overCusp(curve, from, past > from ? past : end);
}

/** At a cusp inside a span there is no tangent to keep, and the little way past it is straight within the tolerance. */
function overCusp(curve: Curve, from: number, to: number): Piece {
  const chord = segmentFromBulge(curve.at(from), curve.at(to), 0);
  return {
    from,
    to,
    set: curve.tangent(from, 1),
    arrive: curve.tangent(to, 1),
    segments: chord ? [chord] : [],
  };
}

function staysNear(
  curve: Curve,
  from: number,
  to: number,
  reach: number,
): boolean {
  const start = curve.at(from);
  return [0.25, 0.5, 0.75, 1].every(
    (k) => distance(curve.at(from + (to - from) * k), start) <= reach,
  );
}

/** Greedy leaves a remainder at the end: share the last two pieces evenly when that fits too. */
function evenLastTwo(curve: Curve, pieces: Piece[], tolerance: number): void {
  const a = pieces.at(-2);
  const b = pieces.at(-1);
  if (!a || !b || b.to - b.from > 0.5 * (a.to - a.from)) return;
  const middle = (a.from + b.to) / 2;
  const first = tryPiece(curve, a.from, a.set, middle, b.to);
  const second = tryPiece(curve, middle, first.arrive, b.to, b.to);
  if (first.error <= tolerance && second.error <= tolerance)
    pieces.splice(-2, 2, first, second);
}

/** The pair from `from`, where it sets out along `set`, to `to`; at the run's `end` it arrives along the curve. */
function tryPiece(
  curve: Curve,
  from: number,
  set: Vec,
  to: number,
  end: number,
): Tried {
  const middle = (from + to) / 2;
  const along = curve.tangent(to, -1);
  const arrive =
    to === end ? along : rotate(along, -askew(curve, from, middle, to));
  const segments = biarc(
    curve.at(from),
    set,
    curve.at(to),
    arrive,
    curve.at(middle),
  );
  const error = segments
    ? worstDistance(curve, from, to, segments)
    : Number.POSITIVE_INFINITY;
  return { from, to, set, arrive, segments: segments ?? [], error };
}

/**
 * How much (rad) the curve should cross the arcs at a joint. Where its curvature changes at the rate κ′, a pair of
 * arcs of length h that is along the curve at both ends is off by κ′h³/324 (Meek & Walton 1995). When the arcs lie
 * askew of it by κ′h²/48 at all joints, in the middle of the pair too, the error of each is shared by its two sides
 * and only κ′h³/998: the pair may be 1.45 times as long (integrate κ′s − const twice over one arc).
 */
function askew(curve: Curve, from: number, middle: number, to: number): number {
  const one = bend(curve, from, middle);
  const two = bend(curve, middle, to);
  const h = one.length + two.length;
  if (one.length === 0 || two.length === 0) return 0;
  const change = two.turn / two.length - one.turn / one.length;
  return (change * h) / 24;
}

/** Turn of the tangent and length of the chord between two parameters. */
function bend(
  curve: Curve,
  from: number,
  to: number,
): { turn: number; length: number } {
  return {
    turn: angleBetween(curve.tangent(from, 1), curve.tangent(to, -1)),
    length: distance(curve.at(from), curve.at(to)),
  };
}
