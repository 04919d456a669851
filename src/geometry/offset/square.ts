/**
 * Square corners: where two lines turn away from the wire, the moved lines run on to their meeting point M instead of
 * being joined by an arc.
 *
 *        E______M       What lies within the kite corner–E–M–F is kept clear as if it were nearer than d: other parts
 *        |      |       of the offset are trimmed against it. M is d / cos(turn / 2) from the corner: where that is
 *     ___|c     |       over `SQUARE_LIMIT` times d, and beside arcs, the corner is rolled.
 *         \_____F
 */
import { heightOver } from "./beside.js";
import { at, type Curves } from "./curves.js";

export type Corners = "rolled" | "square";

/** Farthest meeting point, in d from the corner: turns of up to 132°, corners down to 48°. */
export const SQUARE_LIMIT = 2.5;

/** Does the corner between curves i and j, which turns by `turn`, get a square corner? Only lines run on. */
export function isSquare(
  c: Curves,
  i: number,
  j: number,
  turn: number,
): boolean {
  return (
    turn < 0 &&
    at(c.k, i) === 0 &&
    at(c.k, j) === 0 &&
    SQUARE_LIMIT * Math.cos(turn / 2) >= 1
  );
}

/**
 * By how much (x, y) is outside the kite at the square corner between lines i and j, below 0 inside; more than nothing
 * wherever it is not between the two lines square to i and j at the corner.
 */
export function clearOfKite(
  c: Curves,
  i: number,
  j: number,
  x: number,
  y: number,
  d: number,
): number {
  const wx = x - at(c.x1, i);
  const wy = y - at(c.y1, i);
  const pastI = wx * at(c.tx1, i) + wy * at(c.ty1, i);
  const beforeJ = wx * at(c.tx0, j) + wy * at(c.ty0, j);
  if (pastI <= 0 || beforeJ >= 0) return Number.POSITIVE_INFINITY;
  return Math.max(heightOver(c, i, x, y), heightOver(c, j, x, y)) - d;
}
