/**
 * Square corners: where two lines turn away from the wire, the moved lines run on to their meeting point M instead of
 * being joined by an arc.
 *
 *        E______M       What lies within the kite corner–E–M–F is kept clear as if it were nearer than d: other parts
 *        |      |       of the offset are trimmed against it. M is d / cos(turn / 2) from the corner; above
 *     ___|c     |       `SQUARE_LIMIT` times d the corner is rolled.
 *         \_____F
 */
import { at, type Curves } from "./curves.js";

/** Farthest meeting point, in d from the corner: 2 is a turn of 120°, beyond which the point is sharper than 60°. */
const SQUARE_LIMIT = 2;

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
