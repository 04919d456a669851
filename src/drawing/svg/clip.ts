/** What a drawing within a drawing shows: no more than lies in its own width and height (SVG 2, 14.3.1: overflow). */
import type { Contour } from "../../geometry/contour.js";
import { isWithinSweep, type Segment } from "../../geometry/segment.js";
import {
  along,
  cross,
  dot,
  left,
  negate,
  scale,
  sub,
  unit,
  type Vec,
} from "../../geometry/vec.js";
import { flattened, type Placement, turned } from "../placement.js";
import type { Viewport } from "./length.js";

/** Seen from above, mm: a corner, and the two sides that begin there. */
export interface Window {
  readonly corner: Vec;
  readonly sides: readonly [Vec, Vec];
}

export function windowOf(place: Placement, [w, h]: Viewport): Window {
  return {
    corner: flattened(place.origin),
    sides: [
      flattened(turned(place, { x: w, y: 0, z: 0 })),
      flattened(turned(place, { x: 0, y: h, z: 0 })),
    ],
  };
}

/** A place of the contour more than `slack` (mm) outside the window, or `null`. */
export function placeOutside(
  { corner, sides: [u, v] }: Window,
  { segments }: Contour,
  slack: number,
): Vec | null {
  const turn = cross(u, v) > 0 ? 1 : -1;
  const opposite = along(along(corner, u, 1), v, 1);
  // Across each side, away from the one that runs beside it.
  const across = unit(scale(left(u), -turn));
  const beside = unit(scale(left(v), turn));
  const walls = [
    { at: corner, out: across },
    { at: opposite, out: negate(across) },
    { at: corner, out: beside },
    { at: opposite, out: negate(beside) },
  ];
  for (const { at, out } of walls)
    for (const s of segments) {
      const far = farthest(s, out);
      if (dot(out, sub(far, at)) > slack) return far;
    }
  return null;
}

/** The place of the segment that lies farthest in the direction `n` (unit). */
function farthest(s: Segment, n: Vec): Vec {
  if (s.kind === "arc" && isWithinSweep(s, n.x, n.y))
    return along(s.center, n, s.radius);
  return dot(n, s.start) >= dot(n, s.end) ? s.start : s.end;
}
