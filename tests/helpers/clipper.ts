/** clipper-lib's answer to an offset: flattened outlines, integer grid, round joins. The second opinion. */
import ClipperLib from "clipper-lib";
import {
  type Contour,
  contourArea,
  polygonContour,
} from "../../src/geometry/contour.js";
import { pointAt } from "../../src/geometry/segment.js";
import type { Vec } from "../../src/geometry/vec.js";

/** Grid of clipper-lib, units per mm: 1 nm. */
export const GRID = 1e6;

/** Points along a contour; chords leave arcs by no more than `chord` mm. */
export function flatten(c: Contour, chord: number): Vec[] {
  return c.segments.flatMap((s) => {
    if (s.kind === "line") return [s.start];
    const step = 2 * Math.acos(Math.max(0.5, 1 - chord / s.radius));
    const n = Math.max(1, Math.ceil(Math.abs(s.sweep) / step));
    return Array.from({ length: n }, (_, i) => pointAt(s, i / n));
  });
}

/**
 * The loops of the offset of filled outlines; delta < 0 is inward. Off by up to twice `chord` and half a step of the
 * grid.
 */
export function clipperOffset(
  contours: readonly Contour[],
  delta: number,
  chord: number,
): Vec[][] {
  const engine = new ClipperLib.ClipperOffset(2, chord * GRID);
  for (const c of contours) {
    const path = flatten(c, chord).map((p) => ({
      X: Math.round(p.x * GRID),
      Y: Math.round(p.y * GRID),
    }));
    engine.AddPath(
      path,
      ClipperLib.JoinType.jtRound,
      ClipperLib.EndType.etClosedPolygon,
    );
  }
  const out: { X: number; Y: number }[][] = [];
  engine.Execute(out, delta * GRID);
  return out.map((path) =>
    path.map(({ X, Y }) => ({ x: X / GRID, y: Y / GRID })),
  );
}

/** Their areas (mm²): loops round metal positive, loops round holes negative. */
export function clipperOffsetAreas(
  contours: readonly Contour[],
  delta: number,
  chord = 1e-5,
): number[] {
  return clipperOffset(contours, delta, chord).map((loop) =>
    contourArea(polygonContour(loop)),
  );
}
