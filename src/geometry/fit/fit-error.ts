/** How far a curve runs from the one or two arcs that are to stand in for a piece of it. */
import { distanceToSegment } from "../distance.js";
import type { Segment } from "../segment.js";
import { tangentAt } from "../segment.js";
import { dot, sub, type Vec } from "../vec.js";

/** A curve by parameter: analytic between neighbouring `knots` (ascending, the first and last are its ends). */
export interface Curve {
  readonly knots: readonly number[];
  readonly at: (t: number) => Vec;
  /** Unit tangent just before (-1) or after (+1) `t`. */
  readonly tangent: (t: number, side: -1 | 1) => Vec;
}

const SAMPLES_PER_PIECE = 20;
/** So many samples can miss the crest of the error, which goes like x²(h − x) on each arc, by 4 %. */
export const SAMPLED_SHARE = 0.95;
const SAMPLES_PER_SPAN = 4;

/**
 * Greatest distance of the curve between `from` and `to` from the one or two segments of a piece; infinite when the
 * curve turns back on its way, as it does at a cusp, where samples tell too little.
 */
export function worstDistance(
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
