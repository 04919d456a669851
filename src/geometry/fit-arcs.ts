/**
 * Smooth curves become arcs: pairs of arcs that share a tangent (biarcs), each as long as the tolerance allows. The
 * joints lie on the curve with its tangents there, so the chain is tangent-continuous wherever the curve is.
 */
import { SAME_DIRECTION } from "../base/tolerance.js";
import { biarc } from "./biarc.js";
import { distanceToSegment } from "./distance.js";
import { betweenEnds } from "./joint.js";
import { type Segment, segmentFromBulge, tangentAt } from "./segment.js";
import { angleBetween, distance, dot, sub, type Vec } from "./vec.js";

/** A curve by parameter: analytic between neighbouring `knots` (ascending, the first and last are its ends). */
export interface Curve {
  readonly knots: readonly number[];
  readonly at: (t: number) => Vec;
  /** Unit tangent just before (-1) or after (+1) `t`. */
  readonly tangent: (t: number, side: -1 | 1) => Vec;
}

/**
 * Lines and arcs from the curve's start to its end, nowhere further from it than `tolerance` (mm). Corners (at
 * knots) are kept. Empty for a curve without length.
 */
export function fitArcs(curve: Curve, tolerance: number): Segment[] {
  const runs: Segment[][] = [];
  const aim = tolerance * SAMPLED_SHARE;
  let start = 0;
  for (let k = 1; k < curve.knots.length; k++) {
    const t = curve.knots[k] as number;
    const last = k === curve.knots.length - 1;
    if (!last && !isCorner(curve, t)) continue;
    runs.push(fitSmooth(curve, start, k, aim));
    start = k;
  }
  return shareEnds(runs.flat());
}

function isCorner(curve: Curve, t: number): boolean {
  const turn = angleBetween(curve.tangent(t, -1), curve.tangent(t, 1));
  return Math.abs(turn) > SAME_DIRECTION;
}

interface Piece {
  readonly from: number;
  readonly to: number;
  readonly segments: readonly Segment[];
}

/** The smooth run between knots number `first` and `last`: greedy, always the longest pair that fits. */
function fitSmooth(
  curve: Curve,
  first: number,
  last: number,
  tolerance: number,
): Segment[] {
  const end = curve.knots[last] as number;
  const pieces: Piece[] = [];
  let t = curve.knots[first] as number;
  let step = (end - t) / 4;
  while (t < end) {
    const piece = longestPiece(curve, t, end, step, tolerance);
    pieces.push(piece);
    step = piece.to - piece.from;
    t = piece.to;
  }
  evenLastTwo(curve, pieces, tolerance);
  return pieces.flatMap((p) => p.segments);
}

/** Trials per piece: the step follows the cube law of the error, so two or three are usual. */
const TRIALS = 40;
/** A step is long enough when its error reaches this share of the tolerance. */
const WELL_USED = 0.6;

function longestPiece(
  curve: Curve,
  from: number,
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
    const tried = tryPiece(curve, from, to);
    // The error of a biarc grows with the cube of its length; four times as long is enough at once.
    const growth = Math.cbrt(tolerance / Math.max(tried.error, tolerance / 64));
    if (tried.error <= tolerance) {
      best = { from, to, segments: tried.segments };
      if (to === end || tried.error >= WELL_USED * tolerance) break;
      if (trial > 6) break;
      step = Math.min((to - from) * growth * 0.97, (tooLong + (to - from)) / 2);
    } else {
      if (best && trial > 6) break;
      if (!best && staysNear(curve, from, to, tolerance / 2)) break;
      tooLong = to - from;
      const shrunk = tooLong * Math.max(0.2, Math.min(growth * 0.95, 0.85));
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
  return { from, to, segments: chord ? [chord] : [] };
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
  const first = tryPiece(curve, a.from, middle);
  const second = tryPiece(curve, middle, b.to);
  if (first.error > tolerance || second.error > tolerance) return;
  pieces.splice(
    -2,
    2,
    { from: a.from, to: middle, segments: first.segments },
    { from: middle, to: b.to, segments: second.segments },
  );
}

function tryPiece(
  curve: Curve,
  from: number,
  to: number,
): { segments: Segment[]; error: number } {
  const segments = biarc(
    curve.at(from),
    curve.tangent(from, 1),
    curve.at(to),
    curve.tangent(to, -1),
    curve.at((from + to) / 2),
  );
  if (!segments) return { segments: [], error: Number.POSITIVE_INFINITY };
  return { segments, error: worstDistance(curve, from, to, segments) };
}

const SAMPLES_PER_PIECE = 12;
/** So many samples can miss the crest of the error, which goes like x²(h − x) on each arc, by 4 %. */
const SAMPLED_SHARE = 0.95;
const SAMPLES_PER_SPAN = 4;

/**
 * Greatest distance of the curve between `from` and `to` from the one or two segments of a piece; infinite when the
 * curve turns back on its way, as it does at a cusp, where samples tell too little.
 */
function worstDistance(
  curve: Curve,
  from: number,
  to: number,
  segments: readonly Segment[],
): number {
  const first = segments[0] as Segment;
  const second = segments[1] ?? first;
  const joint = first.end;
  const onward = tangentAt(first, 1);
  let worst = 0;
  let last = first.start;
  let way = tangentAt(first, 0);
  for (const t of sampleParameters(curve.knots, from, to)) {
    const p = curve.at(t);
    const step = sub(p, last);
    if (dot(step, way) < 0) return Number.POSITIVE_INFINITY;
    last = p;
    way = step;
    const side = dot(sub(p, joint), onward) > 0 ? second : first;
    worst = Math.max(worst, distanceToSegment(side, p.x, p.y));
  }
  const home = sub(second.end, last);
  const turnsBack = dot(home, way) < 0 || dot(home, tangentAt(second, 1)) < 0;
  return turnsBack ? Number.POSITIVE_INFINITY : worst;
}

/** Spread over the spans between, ends left out: the piece passes them by construction. */
function sampleParameters(
  knots: readonly number[],
  from: number,
  to: number,
): number[] {
  const spans = spansBetween(knots, from, to);
  const perSpan = Math.max(
    SAMPLES_PER_SPAN,
    Math.ceil(SAMPLES_PER_PIECE / (spans.length - 1)),
  );
  const samples: number[] = [];
  for (let k = 1; k < spans.length; k++) {
    const a = spans[k - 1] as number;
    const b = spans[k] as number;
    for (let i = 1; i <= perSpan; i++)
      samples.push(a + ((b - a) * i) / (perSpan + 1));
    if (k + 1 < spans.length) samples.push(b);
  }
  return samples;
}

/** `from`, the knots between, `to`. */
function spansBetween(
  knots: readonly number[],
  from: number,
  to: number,
): number[] {
  let low = 0;
  let high = knots.length;
  while (low < high) {
    const mid = (low + high) >> 1;
    if ((knots[mid] as number) <= from) low = mid + 1;
    else high = mid;
  }
  const spans = [from];
  for (let k = low; k < knots.length && (knots[k] as number) < to; k++)
    spans.push(knots[k] as number);
  spans.push(to);
  return spans;
}

/** The joints are computed once per piece on either side; neighbours must share them to the last bit. */
function shareEnds(segments: readonly Segment[]): Segment[] {
  return segments.map((s, i) => {
    const next = segments[i + 1];
    return next ? betweenEnds(s, s.start, next.start) : s;
  });
}
