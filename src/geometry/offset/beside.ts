/**
 * Where a point lies beside a curve.
 *
 *            n  t            With w = p − start, n the left normal at the start and q = 2 w·n − k w·w, the height
 *            | /             of p over the curve (left positive) is  q / (1 + |n − k w|),
 *      start |/______ k      which is w·n for a line and radius − distance from the centre for an arc.
 *
 * Since no curve turns by more than half a turn, p stands square to it when it is past the line across its start and
 * before the line across its end. O(1) each, no angles but for fractions.
 */
import { at, type Curves } from "./curves.js";

/** Height of (x, y) over the circle or straight line that curve `i` is a piece of, left positive. */
export function heightOver(c: Curves, i: number, x: number, y: number): number {
  const wx = x - at(c.x0, i);
  const wy = y - at(c.y0, i);
  const nx = -at(c.ty0, i);
  const ny = at(c.tx0, i);
  const k = at(c.k, i);
  const q = 2 * (wx * nx + wy * ny) - k * (wx * wx + wy * wy);
  const vx = nx - k * wx;
  const vy = ny - k * wy;
  return q / (1 + Math.sqrt(vx * vx + vy * vy));
}

/** Does (x, y) stand square to curve `i`, or past its ends by no more than `slack`? */
export function squareTo(
  c: Curves,
  i: number,
  x: number,
  y: number,
  slack: number,
): boolean {
  const past =
    (x - at(c.x0, i)) * at(c.tx0, i) + (y - at(c.y0, i)) * at(c.ty0, i) >=
    -slack;
  const before =
    (x - at(c.x1, i)) * at(c.tx1, i) + (y - at(c.y1, i)) * at(c.ty1, i) <=
    slack;
  // Lengthened at a joint, a half turn may be a hair more.
  const over = Math.abs(at(c.k, i)) * at(c.length, i) > Math.PI;
  return over ? past || before : past && before;
}

export function distanceToCurve(
  c: Curves,
  i: number,
  x: number,
  y: number,
): number {
  if (squareTo(c, i, x, y, 0)) return Math.abs(heightOver(c, i, x, y));
  const ax = x - at(c.x0, i);
  const ay = y - at(c.y0, i);
  const bx = x - at(c.x1, i);
  const by = y - at(c.y1, i);
  return Math.sqrt(Math.min(ax * ax + ay * ay, bx * bx + by * by));
}

/** Fraction along curve `i` of a point on it or square to it; a little under 0 or over 1 for one a little past its ends. */
export function fractionOf(c: Curves, i: number, x: number, y: number): number {
  const wx = x - at(c.x0, i);
  const wy = y - at(c.y0, i);
  const along = wx * at(c.tx0, i) + wy * at(c.ty0, i);
  const k = at(c.k, i);
  if (k === 0) return along / at(c.length, i);
  const over = wy * at(c.tx0, i) - wx * at(c.ty0, i);
  const turn = Math.atan2(k * along, 1 - k * over) / (k * at(c.length, i));
  // A little past the end of a half turn the angle comes out as nearly −π.
  const half = Math.PI / (2 * Math.abs(k) * at(c.length, i));
  return turn < -half ? turn + 4 * half : turn;
}
