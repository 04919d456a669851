/** How far the outlines, and the kites of square corners, are from a point of the offset. Asked once for each run. */
import { distanceToCurve } from "./beside.js";
import { at } from "./curves.js";
import { indexCurves } from "./cuts.js";
import type { Joints } from "./joints.js";
import type { Source } from "./source.js";
import { clearOfKite, SQUARE_LIMIT } from "./square.js";

/**
 * By how much (x, y) is farther than d from all kites and all of the outlines but curves `a` and `b`; once that is less
 * than `enough`, it looks no further.
 */
export type ClearOf = (
  x: number,
  y: number,
  enough: number,
  a?: number,
  b?: number,
) => number;

/** `most`: what is clear by more than this, mm, is said to be clear by this. */
export function clearance(
  { curves }: Source,
  { next, square }: Joints,
  d: number,
  most: number,
): ClearOf {
  const { tree } = indexCurves(curves, 0);
  const reach = (square.includes(1) ? SQUARE_LIMIT * d : d) + most;
  return (x, y, enough, a = -1, b = -1) => {
    let clear = most;
    tree.collides(x - reach, y - reach, x + reach, y + reach, (i) => {
      if (i !== a && i !== b)
        clear = Math.min(clear, distanceToCurve(curves, i, x, y) - d);
      if (square[i])
        clear = Math.min(clear, clearOfKite(curves, i, at(next, i), x, y, d));
      return clear < enough;
    });
    return clear;
  };
}
