/** Is anything of the outlines nearer than the offset? Asked once for each run, so it only looks until it knows. */
import { distanceToCurve } from "./curves.js";
import { indexCurves } from "./slices.js";
import type { Source } from "./source.js";

export function clearance(
  { curves }: Source,
  d: number,
): (x: number, y: number) => boolean {
  const { tree } = indexCurves(curves);
  return (x, y) =>
    !tree.collides(
      x - d,
      y - d,
      x + d,
      y + d,
      (i) => distanceToCurve(curves, i, x, y) < d,
    );
}
