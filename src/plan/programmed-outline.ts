/**
 * The outline as it is programmed for a control that offsets by itself (G41/G42): the stretches of outline that
 * the pass touches. Where the wire is too thick for a corner, the neighbours are run on to their meeting point:
 * the control then turns in the corner exactly where our own path does.
 */

import { SAME_POINT } from "../base/tolerance.js";
import type { Contour } from "../geometry/contour.js";
import type { OffsetSegment } from "../geometry/offset.js";
import { type Segment, subSegment } from "../geometry/segment.js";
import { cross, distance, sub, type Vec } from "../geometry/vec.js";

export type ProgrammedOutline =
  | { readonly ok: true; readonly outline: Segment[] }
  /** Between the two neighbours at `at` there is no corner that a control could find by itself. */
  | { readonly ok: false; readonly at: Vec };

export function programmedOutline(
  contour: Contour,
  pieces: readonly OffsetSegment[],
): ProgrammedOutline {
  const touched = pieces.filter((p) => !p.corner);
  const outline: Segment[] = [];
  for (const piece of touched) {
    const s = subSegment(
      contour.segments[piece.index] as Segment,
      piece.from,
      piece.to,
    );
    const before = outline.at(-1);
    if (!before || distance(before.end, s.start) <= SAME_POINT) {
      outline.push(s);
      continue;
    }
    const previous = touched[touched.indexOf(piece) - 1] as OffsetSegment;
    const joined = joinAtCorner(contour, before, previous, s, piece);
    if (!joined) return { ok: false, at: before.end };
    outline.splice(-1, 1, ...joined);
  }
  return { ok: true, outline };
}

function joinAtCorner(
  contour: Contour,
  a: Segment,
  pa: OffsetSegment,
  b: Segment,
  pb: OffsetSegment,
): [Segment, Segment] | null {
  const n = contour.segments.length;
  if (pb.index === (pa.index + 1) % n) {
    const wholeA = contour.segments[pa.index] as Segment;
    const wholeB = contour.segments[pb.index] as Segment;
    return [subSegment(wholeA, pa.from, 1), subSegment(wholeB, 0, pb.to)];
  }
  if (a.kind === "line" && b.kind === "line") {
    const u = sub(a.end, a.start);
    const v = sub(b.end, b.start);
    const area = cross(u, v);
    if (area === 0) return null;
    const t = cross(sub(b.start, a.start), v) / area;
    const meet = { x: a.start.x + u.x * t, y: a.start.y + u.y * t };
    return [
      { ...a, end: meet },
      { ...b, start: meet },
    ];
  }
  return null;
}
