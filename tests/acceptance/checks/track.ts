/** Where the wire went, found by place, and where along an outline that is. */

import type { Who } from "../complaints.js";
import {
  type Field,
  fieldOf,
  grown,
  lengthOf,
  lengthTo,
  nearestOn,
  type Piece,
  type Pt,
  pointOn,
} from "../plane.js";
import type { Replay, Threading } from "../replay.js";
import type { Known, Truth } from "../truth.js";

export interface Track {
  readonly field: Field;
  /** Threading of each piece of the field. */
  readonly threading: readonly number[];
}

export function trackOf(r: Replay): Track {
  const pieces: Piece[] = [];
  const threading: number[] = [];
  r.threadings.forEach((t, i) => {
    for (const m of t.moves) {
      pieces.push(m.piece);
      threading.push(i);
    }
  });
  return { field: fieldOf(pieces, 1), threading };
}

/** Moves that pass within `tol` of `p`. */
export function hitsAt(
  track: Track,
  p: Pt,
  tol: number,
): { n: number; d: number; threading: number }[] {
  const box = grown({ x0: p.x, y0: p.y, x1: p.x, y1: p.y }, tol);
  return track.field
    .within(box)
    .map((n) => ({
      n,
      d: nearestOn(track.field.pieces[n] as Piece, p).d,
      threading: track.threading[n] as number,
    }))
    .filter((h) => h.d <= tol);
}

/** Arc length along the outline at which it is nearest to `p`. */
export function arcPosition(o: Known, p: Pt): number {
  let s = 0;
  let best = { d: Infinity, s: 0 };
  for (const piece of o.pieces) {
    const near = nearestOn(piece, p);
    if (near.d < best.d) best = { d: near.d, s: s + lengthTo(piece, near.at) };
    s += lengthOf(piece);
  }
  return best.s;
}

/** Arc length from `tab` to `s` the short way round. */
export const fromTab = (o: Known, tab: number, s: number): number =>
  ((s - tab + 1.5 * o.perimeter) % o.perimeter) - o.perimeter / 2;

export const attendedFor = (r: Replay, t: Threading, id: string): boolean =>
  r.stops
    .slice(0, t.lastStop + 1)
    .some((s) => !s.optional && names(s.comment, id));

/** Does a stop's comment name the feature, whole and not as the beginning of another name? */
export function names(comment: string, id: string): boolean {
  return comment
    .split(/[^A-Za-z0-9_.-]+/)
    .some((w) => w.replace(/\.$/, "") === id);
}

/** Which of the features threaded here the wire then follows: a hole may serve several. */
export function whoseCut(
  truth: Truth,
  t: Threading,
  here: readonly string[],
  who: Who,
): string | undefined {
  if (here.length < 2) return here[0];
  const followed = (id: string): number =>
    t.moves.reduce((sum, { piece }) => {
      const near = truth.edges.nearest(pointOn(piece, 0.5), 0.6);
      return truth.owner[near.index] === who.get(id)?.index
        ? sum + lengthOf(piece)
        : sum;
    }, 0);
  return here.reduce((a, b) => (followed(b) > followed(a) ? b : a));
}
