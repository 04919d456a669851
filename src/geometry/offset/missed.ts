/**
 * Has a loop been lost? Curves that run through each other where no meeting was found have loose ends where there
 * should be none, and are pruned, with the whole loop that they are of; nobody would notice.
 *
 * So all slices that were taken away are asked. What is rightly gone has run past a crossing, into what is nearer than
 * d to some other piece of the outlines. A slice for which all other pieces are farther than d is on the result's edge
 * by all means: its loop is lost. Most slices lie beside a corner, so that the outline before or behind it answers.
 * O(1) for those, O(log n) for the rest. And a loop that turns more or less than once round crosses itself. O(n).
 *
 * Of meetings taken out at random, where that changes the result, this tells all but one in a hundred
 * (tests/geometry/offset-missed.test.ts); what goes unseen is a dent, in a loop that closes none the less.
 */
import { InternalError } from "../../base/finding.js";
import { angleBetween } from "../vec.js";
import { distanceToCurve } from "./beside.js";
import type { Candidates } from "./candidates.js";
import type { ClearOf } from "./clearance.js";
import { at, type Curves, type Place } from "./curves.js";
import type { Graph } from "./graph.js";
import type { Joints } from "./joints.js";
import { headingAt, placesToAsk, type Slices, sliceLength } from "./slices.js";
import type { Source } from "./source.js";
import { type OffsetTolerance, STRAIGHT_BACK } from "./tolerance.js";

/** Asks all slices that are not alive, but for those that are crumbs. */
export function askLooseEnds(
  { slices, alive }: Graph,
  all: Candidates,
  { curves: outline }: Source,
  { next, previous }: Joints,
  clearOf: ClearOf,
  d: number,
  { crumb }: OffsetTolerance,
): void {
  for (let s = 0; s < alive.length; s++) {
    if (alive[s] || sliceLength(slices, all.curves, s) < crumb) continue;
    const p = slices.candidate[s] as number;
    const own = at(all.source, p);
    const behind = at(next, own);
    const other = all.corner[p] ? behind : own;
    const isGone = ({ x, y }: Place): boolean => {
      const isNear = (i: number): boolean =>
        i !== other && distanceToCurve(outline, i, x, y) < d + crumb;
      return (
        isNear(behind) ||
        isNear(at(next, behind)) ||
        isNear(at(previous, own)) ||
        clearOf(x, y, crumb, own, other) < crumb
      );
    };
    if (!placesToAsk(slices, all.curves, s).some(isGone))
      throw new InternalError("offset: a loop is lost");
  }
}

/** A loop that does not cross itself turns once round; corners that turn straight back may do so either way. */
export function askTurning(
  loop: readonly number[],
  slices: Slices,
  c: Curves,
): void {
  let turn = 0;
  let straightBack = 0;
  let before = loop.at(-1) as number;
  for (const s of loop) {
    const i = slices.candidate[s] as number;
    turn +=
      at(c.k, i) *
      at(c.length, i) *
      ((slices.t1[s] as number) - (slices.t0[s] as number));
    if (slices.candidate[before] !== i || slices.t1[before] !== slices.t0[s]) {
      const corner = angleBetween(
        headingAt(slices, c, before, slices.t1),
        headingAt(slices, c, s, slices.t0),
      );
      turn += corner;
      if (Math.PI - Math.abs(corner) < STRAIGHT_BACK) straightBack++;
    }
    before = s;
  }
  const rounds = Math.abs(turn) / (2 * Math.PI);
  if (Math.abs(rounds - 1) > straightBack + 0.5)
    throw new InternalError("offset: a loop crosses itself");
}
