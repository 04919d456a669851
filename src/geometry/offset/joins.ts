/**
 * Step 1b of the offset: joins where the outline is tangent, or so nearly that no formula can say where the two
 * moved pieces cross (rounding noise divided by the angle). Such a join is settled on the spot instead.
 *
 *      end of i   ____X=====  overrun of i          X: on the bisector of the corner; the overrun, half of
 *                ====X_____   start of j            what the two pieces overlap, is trimmed off both.
 *
 * For arcs X is off along the curve by a share of the overrun, across it by turn²: under 1e-10·d here. Their
 * circles' second crossing lies on one of the two arcs only, so nothing else need be asked of such a pair.
 */
import { type Segment, segmentLength, tangentAt } from "../segment.js";
import {
  along,
  angleBetween,
  dot,
  left,
  length,
  lerp,
  sub,
  type Vec,
} from "../vec.js";
import type { Candidate } from "./candidates.js";

/** Turns under this (rad) are settled on the spot. */
const NEARLY_TANGENT = 1e-5;

export interface Join {
  readonly i: number;
  readonly j: number;
  readonly at: Vec;
  /** Fractions where i ends and j begins. */
  readonly ti: number;
  readonly tj: number;
}

export function smoothJoins(
  candidates: readonly Candidate[],
  node: number,
): Join[] {
  const joins: Join[] = [];
  let first = 0;
  candidates.forEach((c, i) => {
    const following = candidates[i + 1];
    const sameContour = following?.source.contour === c.source.contour;
    const j = sameContour ? i + 1 : first;
    if (!sameContour) first = i + 1;
    const join =
      i === j
        ? null
        : settle(c.segment, (candidates[j] as Candidate).segment, node);
    if (join) joins.push({ i, j, ...join });
  });
  return joins;
}

function settle(
  a: Segment,
  b: Segment,
  node: number,
): { at: Vec; ti: number; tj: number } | null {
  const out = tangentAt(a, 1);
  const turn = angleBetween(out, tangentAt(b, 0));
  if (Math.abs(turn) > NEARLY_TANGENT) return null;
  const gap = sub(b.start, a.end);
  const overrun = -dot(gap, out) / 2;
  if (length(gap) > 2 * Math.abs(overrun) + node) return null;
  if (overrun <= node / 2) {
    return length(gap) <= node ? { at: a.end, ti: 1, tj: 0 } : null;
  }
  const ti = 1 - overrun / segmentLength(a);
  const tj = overrun / segmentLength(b);
  if (ti < 0.75 || tj > 0.25) return null;
  const middle = lerp(a.end, b.start, 0.5);
  return { at: along(middle, left(out), (overrun * turn) / 2), ti, tj };
}
