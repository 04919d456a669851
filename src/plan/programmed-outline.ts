/**
 * The outline as it is programmed for a control that offsets by itself (G41/G42): the stretches of outline that
 * the pass touches. Where the wire is too thick for a corner, the neighbours are run on to their meeting point:
 * the control then turns in the corner exactly where our own path does.
 */
import { SAME_POINT } from "../base/tolerance.js";
import type { Contour } from "../geometry/contour.js";
import type { OffsetSegment } from "../geometry/offset.js";
import { pointAt, type Segment, subSegment } from "../geometry/segment.js";
import { cross, distance, sub, type Vec } from "../geometry/vec.js";

export type ProgrammedOutline =
  | { readonly ok: true; readonly outline: Segment[] }
  /** Between the two neighbours at `at` there is no corner that a control could find by itself. */
  | { readonly ok: false; readonly at: Vec };

/** A stretch of one segment of the outline; a line may run beyond its ends. */
interface Stretch {
  readonly index: number;
  readonly from: number;
  readonly to: number;
}

export function programmedOutline(
  contour: Contour,
  pieces: readonly OffsetSegment[],
): ProgrammedOutline {
  const stretches: Stretch[] = [];
  for (const piece of pieces) {
    if (piece.corner) continue;
    const before = stretches.at(-1);
    const met = before ? meet(contour, before, piece) : piece;
    if (!met) return { ok: false, at: endOf(contour, before as Stretch) };
    if (before && met !== piece) {
      stretches.splice(
        -1,
        1,
        { ...before, to: met.to },
        { ...piece, from: met.from },
      );
    } else stretches.push(piece);
  }
  const outline = stretches.map((s) =>
    subSegment(contour.segments[s.index] as Segment, s.from, s.to),
  );
  return { ok: true, outline };
}

function endOf(contour: Contour, s: Stretch): Vec {
  return pointAt(contour.segments[s.index] as Segment, s.to);
}

/** Where `a` shall end and `b` begin so that they meet: `b` itself where they do already, `null` where they cannot. */
function meet(
  contour: Contour,
  a: Stretch,
  b: Stretch,
): Stretch | { readonly to: number; readonly from: number } | null {
  const u = contour.segments[a.index] as Segment;
  const v = contour.segments[b.index] as Segment;
  if (distance(endOf(contour, a), pointAt(v, b.from)) <= SAME_POINT) return b;
  if (b.index === (a.index + 1) % contour.segments.length)
    return { to: 1, from: 0 };
  if (u.kind !== "line" || v.kind !== "line") return null;
  const du = sub(u.end, u.start);
  const dv = sub(v.end, v.start);
  const area = cross(du, dv);
  if (area === 0) return null;
  const between = sub(v.start, u.start);
  return { to: cross(between, dv) / area, from: cross(between, du) / area };
}
