/**
 * Corners that turn straight back: a spike of the outline, which the wire goes round (half a turn right), or a notch,
 * into which it cannot go (half a turn left)? The angle is rounding noise; the way back and the way there tell it.
 *
 *         tip          Seen from the tip, is the way back (b) to the left of the way there (a)? Then what is between
 *        a| |b         them is outline on both sides: a spike. The bends decide; where the two run on each other, the
 *      ___| |___       place at which they part.
 */
import { angleBetween } from "../vec.js";
import { at, type Curves } from "./curves.js";
import { NO_ANGLE, STRAIGHT_BACK } from "./tolerance.js";

/** Of a corner from curve i to j that turns by `turn`: that turn, or if it must be the other way, 2π off. */
export function signedTurn(
  c: Curves,
  next: Int32Array,
  previous: Int32Array,
  i: number,
  j: number,
  turn: number,
): number {
  const short = Math.PI - Math.abs(turn);
  if (short > STRAIGHT_BACK) return turn;
  const apart = at(c.k, i) + at(c.k, j);
  const length = Math.min(at(c.length, i), at(c.length, j));
  let spike: boolean;
  // By the bends, unless the curves are too short to make up for the angle.
  if (Math.abs(apart) * length > 2 * short) spike = apart > 0;
  else if (short > NO_ANGLE) return turn;
  else spike = partsToTheLeft(c, next, previous, i, j);
  return turn > 0 === spike ? turn - Math.sign(turn) * 2 * Math.PI : turn;
}

/** Runs from the tip along a (backwards) and b until they part: does b go to the left of a there? */
function partsToTheLeft(
  c: Curves,
  next: Int32Array,
  previous: Int32Array,
  i: number,
  j: number,
): boolean {
  let a = i;
  let b = j;
  let leftOfA = at(c.length, a);
  let leftOfB = at(c.length, b);
  for (let step = 0; step < next.length && a !== b; step++) {
    const way = Math.min(leftOfA, leftOfB);
    const short = STRAIGHT_BACK * way;
    leftOfA -= way;
    leftOfB -= way;
    let parting = 0;
    if (leftOfA <= short) {
      const p = at(previous, a);
      parting += angleOf(c, p, a);
      a = p;
      leftOfA = at(c.length, a);
    }
    if (leftOfB <= short) {
      const n = at(next, b);
      parting += angleOf(c, b, n);
      b = n;
      leftOfB = at(c.length, b);
    }
    if (Math.abs(parting) > STRAIGHT_BACK) return parting > 0;
    const apart = at(c.k, a) + at(c.k, b);
    if (Math.abs(apart) * Math.min(leftOfA, leftOfB) > STRAIGHT_BACK)
      return apart > 0;
  }
  // Nowhere apart: a wall without width.
  return true;
}

function angleOf(c: Curves, i: number, j: number): number {
  return angleBetween(
    { x: at(c.tx1, i), y: at(c.ty1, i) },
    { x: at(c.tx0, j), y: at(c.ty0, j) },
  );
}
