/**
 * An outline in blocks that a control can follow by G41 and G42 though they are rounded to the program's grid. Rounding
 * turns a block of length l by up to r/l. Where that makes an inside corner of a smooth joint, the corner eats d·r/2l of the
 * block's parallel at offset d; with half of l = √(2dr) or less nothing might be left of it, or the parallels might not
 * meet at all, and a control alarms (NISTIR 6556).
 */
import { COARSE_STEPS, CURVE_FIT } from "../../base/tolerance.js";
import { betweenEnds } from "../../geometry/chain/joint.js";
import {
  type Arc,
  line,
  pointAt,
  reverseSegment,
  type Segment,
  segmentLength,
  subSegment,
} from "../../geometry/segment.js";
import { distance } from "../../geometry/vec.js";

/** `offset` is that of the pass, `resolution` the program's grid, mm; the wire is on the left. */
export function compensable(
  chain: readonly Segment[],
  offset: number,
  resolution: number,
): Segment[] {
  const least = Math.sqrt(2 * COARSE_STEPS * offset * resolution);
  const edged = chain.flatMap((s) =>
    s.kind === "arc" && s.sweep < 0 && s.radius < 2 * least
      ? inChords(s, Math.min(resolution, CURVE_FIT))
      : [s],
  );
  return withoutStubs(edged, least, resolution / 2);
}

/** A small rounded edge as chords: the corners between them are outside ones, which the wire rolls round, however they turn. */
function inChords(s: Arc, sagitta: number): Segment[] {
  const most = 2 * Math.acos(Math.max(0, 1 - sagitta / s.radius));
  const n = Math.ceil(Math.abs(s.sweep) / most);
  return Array.from({ length: n }, (_, k) =>
    line(pointAt(s, k / n), pointAt(s, (k + 1) / n)),
  );
}

/**
 * A stub goes where the neighbour that it hardly turns from can be run on over it, no more than `most` beside it; the first
 * and the last block stay.
 */
function withoutStubs(
  chain: readonly Segment[],
  least: number,
  most: number,
): Segment[] {
  const kept: Segment[] = [];
  /** How far the neighbour's end lies beside where it was, mm. */
  let beside = 0;
  for (let k = 0; k < chain.length; k++) {
    const stub = chain[k] as Segment;
    const before = kept.at(-1);
    const after = chain[k + 1];
    const long = segmentLength(stub);
    if (!before || !after || long >= least) {
      kept.push(stub);
      beside = 0;
      continue;
    }
    const past = runOn(before, long);
    const early = runOn(reverseSegment(after), long);
    const ahead = beside + distance(past.end, stub.end);
    const back = distance(early.end, stub.start);
    if (ahead <= back && ahead <= most) {
      kept.splice(-1, 1, betweenEnds(past, before.start, stub.end));
      beside = ahead;
    } else if (back <= most) {
      const longer = betweenEnds(early, early.start, stub.start);
      kept.push(reverseSegment(longer));
      beside = back;
      k++;
    } else {
      kept.push(stub);
      beside = 0;
    }
  }
  return kept;
}

function runOn(s: Segment, by: number): Segment {
  return subSegment(s, 0, 1 + by / segmentLength(s));
}
