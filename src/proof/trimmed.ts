/**
 * Polygons cut off near a tile before they are clipped: polygon clipping would work out every crossing of long bands far
 * outside it.
 */
import type { Box } from "../geometry/segment.js";
import type { GridPath, GridPoint } from "./bands.js";

/** Grid steps around a tile: the rounding of a cut stays outside. */
const MARGIN = 10;

/** Sides of a box as: which coordinate, which sense, and where. */
type Side = readonly [axis: "X" | "Y", sense: 1 | -1, at: number];

/**
 * The polygon as far as it lies near the tile, half-plane by half-plane (Sutherland and Hodgman, CACM 17 (1974) 32).
 * Where it falls apart, its parts hang together by edges along the cut, which enclose nothing.
 */
export function trimmedTo(tile: Box, path: GridPath): GridPath {
  const sides: readonly Side[] = [
    ["X", 1, tile.minX - MARGIN],
    ["X", -1, -tile.maxX - MARGIN],
    ["Y", 1, tile.minY - MARGIN],
    ["Y", -1, -tile.maxY - MARGIN],
  ];
  return sides.reduce(cutOff, path);
}

function cutOff(path: GridPath, [axis, sense, at]: Side): GridPath {
  if (path.every((p) => sense * p[axis] >= at)) return path;
  const kept: GridPath = [];
  path.forEach((p, k) => {
    const before = path[k === 0 ? path.length - 1 : k - 1] as GridPoint;
    const [from, to] = [sense * before[axis] - at, sense * p[axis] - at];
    if (from < 0 !== to < 0) {
      const share = from / (from - to);
      const other = axis === "X" ? "Y" : "X";
      const cut = {
        X: 0,
        Y: 0,
        [other]: Math.round(before[other] + share * (p[other] - before[other])),
        [axis]: sense * at,
      };
      kept.push(cut);
    }
    if (to >= 0) kept.push(p);
  });
  return kept;
}
