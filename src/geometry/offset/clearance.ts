/** How far the outlines, and the kites of square corners, are from a point of the offset. Asked once for each run. */
import { at, distanceToCurve } from "./curves.js";
import { indexCurves } from "./cuts.js";
import type { Joints } from "./joints.js";
import type { Source } from "./source.js";
import { clearOfKite, SQUARE_LIMIT } from "./square.js";

/** Gives a function that says by how much (x, y) is clear of d; once it is less than `enough`, it looks no further. */
export function clearance(
  { curves }: Source,
  { next, square }: Joints,
  d: number,
  enough: number,
): (x: number, y: number) => number {
  const { tree } = indexCurves(curves, 0);
  const most = Math.abs(enough);
  const reach = (square.includes(1) ? SQUARE_LIMIT * d : d) + most;
  return (x, y) => {
    let clear = most;
    tree.collides(x - reach, y - reach, x + reach, y + reach, (i) => {
      clear = Math.min(clear, distanceToCurve(curves, i, x, y) - d);
      if (square[i])
        clear = Math.min(clear, clearOfKite(curves, i, at(next, i), x, y, d));
      return clear < enough;
    });
    return clear;
  };
}
