/**
 * Step 1 of the offset: every curve on which a point of the result can lie.
 *
 * A point of the result is at distance d from all outlines and at exactly d from some piece of them, on its
 * left. So it lies on a line moved left by d, on an arc with its radius changed by d about the same centre, or
 * on an arc of radius d about a corner that turns away from the wire. An arc that turns towards the wire with a
 * radius of d or less has no such points: the wire cannot touch it, and it is left out.
 */
import type { Contour } from "../contour.js";
import { type Arc, arcFromTo, type Segment, tangentAt } from "../segment.js";
import { along, angleBetween, distance, left } from "../vec.js";

/** Where on the source outlines a piece of the offset comes from. A corner is the end of segment `index`. */
export interface Source {
  readonly contour: number;
  readonly index: number;
  readonly corner: boolean;
}

export interface Candidate {
  readonly segment: Segment;
  readonly source: Source;
}

/** `touch`: lengths under this are nothing (mm). Segments must be longer than it. */
export function candidatesOf(
  contours: readonly Contour[],
  d: number,
  touch: number,
): Candidate[] {
  const candidates: Candidate[] = [];
  contours.forEach((c, contour) => {
    const n = c.segments.length;
    c.segments.forEach((s, index) => {
      const moved = moveLeft(s, d, touch);
      if (moved)
        candidates.push({
          segment: moved,
          source: { contour, index, corner: false },
        });
      if (!c.closed && index === n - 1) return;
      const next = c.segments[(index + 1) % n] as Segment;
      const rolled = rollRound(s, next, d, touch);
      if (rolled)
        candidates.push({
          segment: rolled,
          source: { contour, index, corner: true },
        });
    });
  });
  return candidates;
}

function moveLeft(s: Segment, d: number, touch: number): Segment | null {
  const start = along(s.start, left(tangentAt(s, 0)), d);
  const end = along(s.end, left(tangentAt(s, 1)), d);
  if (s.kind === "line") return { kind: "line", start, end };
  const radius = s.radius - Math.sign(s.sweep) * d;
  if (radius <= touch) return null;
  return { kind: "arc", start, end, center: s.center, radius, sweep: s.sweep };
}

/** The arc about the corner from the end of one moved segment to the start of the next, where it turns right. */
function rollRound(
  s: Segment,
  next: Segment,
  d: number,
  touch: number,
): Arc | null {
  const corner = s.end;
  const out = tangentAt(s, 1);
  const into = tangentAt(next, 0);
  const from = along(corner, left(out), d);
  const to = along(corner, left(into), d);
  const turn = angleBetween(out, into);
  // A turn straight back (a spike's tip) may come out as +π or −π: the wire goes round it either way.
  const back = Math.PI - Math.abs(turn) < 1e-12;
  if ((turn >= 0 && !back) || distance(from, to) <= touch) return null;
  return arcFromTo(corner, from, to, false);
}

/** Fraction on the source segment (or its end, at a corner) that point `t` of a candidate is offset from. */
export function sourceFraction(source: Source, t: number): number {
  return source.corner ? 1 : t;
}
