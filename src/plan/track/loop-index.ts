/** What is asked of a pass's loop for place after place, worked out once: else a gear would be walked round for each. */
import { indexSegments, type SegmentIndex } from "../../geometry/distance.js";
import type { OffsetLoop } from "../../geometry/offset.js";
import { segmentLength } from "../../geometry/segment.js";

export interface LoopIndex {
  /** Of each segment of the outline, the loop's pieces square to it, in their order; corners belong to none. */
  readonly piecesOf: ReadonlyMap<number, readonly number[]>;
  /** mm along the loop to the start of each piece, and once round. */
  readonly starts: readonly number[];
  readonly round: number;
  readonly pieces: SegmentIndex;
}

const indices = new WeakMap<OffsetLoop, LoopIndex>();

export function loopIndex(loop: OffsetLoop): LoopIndex {
  const known = indices.get(loop);
  if (known) return known;
  const piecesOf = new Map<number, number[]>();
  const starts: number[] = [];
  let round = 0;
  loop.segments.forEach(({ segment, index, corner }, k) => {
    starts.push(round);
    round += segmentLength(segment);
    if (corner) return;
    const pieces = piecesOf.get(index);
    if (pieces) pieces.push(k);
    else piecesOf.set(index, [k]);
  });
  const pieces = indexSegments(loop.segments.map((s) => s.segment));
  const made = { piecesOf, starts, round, pieces };
  indices.set(loop, made);
  return made;
}
