/** Where an open chain runs across something else: an outline, another open chain, or itself. */
import Flatbush from "flatbush";
import type { OnStep } from "../base/pace.js";
import { SAME_DRAWN } from "../base/tolerance.js";
import type { Contour } from "../geometry/contour.js";
import { intersectSegments } from "../geometry/intersect.js";
import { type Segment, segmentBox } from "../geometry/segment.js";
import { distance, type Vec } from "../geometry/vec.js";

export interface RunAcross {
  readonly at: Vec;
  /** Index among all chains of what is met there. */
  readonly other: number;
}

interface Piece {
  readonly chain: number;
  readonly segment: Segment;
}

/** So many pairs of segments are tried in all: long lines over a field of small ones are told of without it. */
const MOST_TRIED = 1_000_000;

/**
 * Finds the first place, along a chain of `chains`, where it runs across one of them. Where an end of either lies is no
 * such place: chains that end there meet at a fork, they do not cross.
 */
export function acrossFinder(
  chains: readonly Contour[],
  onStep: OnStep,
): (chain: number) => RunAcross | null {
  const pieces = chains.flatMap(({ segments }, chain) => {
    onStep(segments.length);
    return segments.map((segment): Piece => ({ chain, segment }));
  });
  if (pieces.length === 0) return () => null;
  const index = new Flatbush(pieces.length);
  for (const { segment } of pieces) {
    const { minX, minY, maxX, maxY } = segmentBox(segment);
    index.add(minX, minY, maxX, maxY);
  }
  index.finish();

  let tried = 0;
  return (chain) => {
    if (tried > MOST_TRIED) return null;
    const own = (chains[chain] as Contour).segments;
    for (const [i, s] of own.entries()) {
      const { minX, minY, maxX, maxY } = segmentBox(s);
      const near = index.search(minX, minY, maxX, maxY).sort(ascending);
      tried += near.length;
      onStep();
      for (const k of near) {
        const { chain: other, segment } = pieces[k] as Piece;
        if (other === chain && isNeighbour(own, i, segment)) continue;
        const met = intersectSegments(s, segment).find(
          ({ at }) =>
            !isEnd(chains[chain] as Contour, at) &&
            !isEnd(chains[other] as Contour, at),
        );
        if (met) return { at: met.at, other };
      }
    }
    return null;
  };
}

const ascending = (a: number, b: number): number => a - b;

/** The segment itself, and those that it shares a joint with. */
function isNeighbour(
  own: readonly Segment[],
  i: number,
  segment: Segment,
): boolean {
  return [own[i - 1], own[i], own[i + 1]].includes(segment);
}

function isEnd({ closed, segments }: Contour, p: Vec): boolean {
  const first = segments[0];
  const last = segments.at(-1);
  if (closed || !first || !last) return false;
  return (
    distance(first.start, p) <= SAME_DRAWN ||
    distance(last.end, p) <= SAME_DRAWN
  );
}
