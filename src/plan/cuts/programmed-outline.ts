/**
 * The outline as it is programmed for a control that offsets by itself (G41/G42): the stretches of outline that
 * the pass touches. Where the wire is too thick for a corner, the neighbours are run on to their meeting point:
 * the control then turns in the corner exactly where our own path does. An arc that the wire hardly turns in is left out
 * like one that it cannot turn in at all: rounded to the program's grid it may be tighter than the offset, and a control
 * alarms at a concave arc whose radius is no larger than that (NISTIR 6556).
 */
import {
  COARSE_STEPS,
  FLAT_CORNER,
  flatBulge,
  MAX_GOUGE,
  SAME_POINT,
} from "../../base/tolerance.js";
import type { Contour } from "../../geometry/contour.js";
import { intersectSegments } from "../../geometry/intersect.js";
import type { OffsetSegment } from "../../geometry/offset.js";
import {
  pointAt,
  type Segment,
  segmentLength,
  subSegment,
  tangentAt,
} from "../../geometry/segment.js";
import { angleBetween, distance, type Vec } from "../../geometry/vec.js";
import { compensable } from "./compensable.js";

export type ProgrammedOutline =
  | { readonly ok: true; readonly outline: Segment[] }
  /** Between the two neighbours at `at` there is no corner that a control could find by itself. */
  | { readonly ok: false; readonly at: Vec };

/** A stretch of one segment of the outline; its ends may lie beyond the segment's own. */
interface Stretch {
  readonly index: number;
  readonly from: number;
  readonly to: number;
}

/** Neighbours are run on by no more than so many offsets: farther off, under 1° between them, nobody looks for a corner. */
const FARTHEST_CORNER = 200;

/** mm that the wire may cut deeper where a corner stands for an arc: rounding may take as much again. */
const CORNER_FOR_ARC = MAX_GOUGE / 2;

/** `offset` is that of the pass whose `pieces` these are, `resolution` the program's grid, mm. */
export function programmedOutline(
  contour: Contour,
  pieces: readonly OffsetSegment[],
  offset: number,
  resolution: number,
): ProgrammedOutline {
  const own = ({ index }: Stretch): Segment =>
    contour.segments[index] as Segment;
  const stretches: Stretch[] = [];
  /** How much the arc just left out has more radius than the wire needs, mm. */
  let spare = 0;
  /** Has the wire turned about an outside corner since the last stretch? */
  let turned = false;
  for (const piece of pieces) {
    if (piece.corner) {
      turned ||= segmentLength(piece.segment) > FLAT_CORNER;
      continue;
    }
    const before = stretches.at(-1);
    const s = own(piece);
    if (isTight(s, offset, resolution)) {
      // A stroke that begins or ends on such an arc has no neighbour there to run on.
      if (!before || piece === pieces.at(-1)) return { ok: false, at: s.start };
      spare = Math.max(spare, s.radius - offset);
      continue;
    }
    const met = before
      ? meet(contour, before, piece, offset, spare, turned)
      : piece;
    if (!met)
      return {
        ok: false,
        at: pointAt(own(before as Stretch), before?.to ?? 0),
      };
    if (before && met !== piece) {
      stretches.splice(
        -1,
        1,
        { ...before, to: met.to },
        { ...piece, from: met.from },
      );
    } else stretches.push(piece);
    spare = 0;
    turned = false;
  }
  const outline = stretches.map((s) => subSegment(own(s), s.from, s.to));
  return { ok: true, outline: compensable(outline, offset, resolution) };
}

/**
 * Concave on the wire's side, which is the left, and on the program's grid perhaps no larger than the offset: rounding may
 * take a little off the chord c and put it on the sagitta h of the radius c²/8h + h/2, and the centre comes to the grid too.
 */
function isTight(
  s: Segment,
  offset: number,
  resolution: number,
): s is Segment & { kind: "arc" } {
  if (s.kind === "line" || s.sweep <= 0) return false;
  if (s.sweep > Math.PI) return s.radius <= offset + resolution;
  const rounding = COARSE_STEPS * resolution;
  const drawn = s.radius * (1 - Math.cos(s.sweep / 2));
  // One as flat as that is written as a line.
  if (drawn <= flatBulge(resolution)) return false;
  const chord = 2 * s.radius * Math.sin(s.sweep / 2) - rounding;
  const sagitta = drawn + rounding;
  const centre = resolution / 2;
  return chord ** 2 / (8 * sagitta) + sagitta / 2 - centre <= offset;
}

/**
 * Where `a` shall end and `b` begin so that they meet: `b` itself where they do already, `null` where they cannot. Run on
 * past an outside corner that our own path turns about, they would have a control pass by the notch behind it.
 */
function meet(
  { segments }: Contour,
  a: Stretch,
  b: Stretch,
  offset: number,
  spare: number,
  turned: boolean,
): Stretch | { readonly to: number; readonly from: number } | null {
  const u = segments[a.index] as Segment;
  const v = segments[b.index] as Segment;
  if (distance(pointAt(u, a.to), pointAt(v, b.from)) <= SAME_POINT) return b;
  if (b.index === (a.index + 1) % segments.length) return { to: 1, from: 0 };
  if (turned) return null;
  const turn = angleBetween(tangentAt(u, a.to), tangentAt(v, b.from));
  if (spare * (1 / Math.cos(turn / 2) - 1) > CORNER_FOR_ARC) return null;
  const far = FARTHEST_CORNER * offset;
  const [on, back] = [onwards(u, far), onwards(v, far)];
  const hits = intersectSegments(
    subSegment(u, a.to, a.to + on),
    subSegment(v, b.from - back, b.from),
  );
  const [first] = hits.sort((p, q) => p.ta - q.ta);
  return first
    ? { to: a.to + on * first.ta, from: b.from - back * (1 - first.tb) }
    : null;
}

/** Share of a segment by which it is run on: a line far, an arc by a quarter turn. */
function onwards(s: Segment, far: number): number {
  return s.kind === "line"
    ? far / segmentLength(s)
    : Math.PI / 2 / Math.abs(s.sweep);
}
