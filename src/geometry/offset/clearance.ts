/** How far the outlines are from a point of the offset, less d. Asked once for each run. */
import { distanceToCurve } from "./curves.js";
import { indexCurves } from "./cuts.js";
import type { Source } from "./source.js";

/** Gives a function that says by how much (x, y) is clear of d; once it is less than `enough`, it looks no further. */
export function clearance(
  { curves }: Source,
  d: number,
  enough: number,
): (x: number, y: number) => number {
  const { tree } = indexCurves(curves, 0);
  const reach = d + Math.abs(enough);
  return (x, y) => {
    let clear = Math.abs(enough);
    tree.collides(x - reach, y - reach, x + reach, y + reach, (i) => {
      clear = Math.min(clear, distanceToCurve(curves, i, x, y) - d);
      return clear < enough;
    });
    return clear;
  };
}
