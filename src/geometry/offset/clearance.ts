/** Is anything of the outlines nearer than d? Asked once for each run; the search stops as soon as it knows. */
import { distanceToCurve } from "./curves.js";
import { indexCurves } from "./cuts.js";
import type { Source } from "./source.js";

export function clearance(
  { curves }: Source,
  d: number,
): (x: number, y: number) => boolean {
  const { tree } = indexCurves(curves, 0);
  return (x, y) =>
    !tree.collides(
      x - d,
      y - d,
      x + d,
      y + d,
      (i) => distanceToCurve(curves, i, x, y) < d,
    );
}
