/** Where closed contours meet themselves or each other: a cut needs outlines that do neither. */
import Flatbush from "flatbush";
import { SAME_DRAWN } from "../base/tolerance.js";
import { type Contour, windingNumber } from "./contour.js";
import { distanceToSegment } from "./distance.js";
import { intersectSegments, type Meeting } from "./intersect.js";
import { type Box, pointAt, type Segment, segmentLength } from "./segment.js";
import { thinBoxes } from "./thin-boxes.js";
import type { Vec } from "./vec.js";

/** `a` ≤ `b` are indices of contours; equal when a contour meets itself. */
export interface Conflict {
  readonly kind: "crosses" | "touches";
  readonly a: number;
  readonly b: number;
  readonly at: Vec;
}

/**
 * At most one conflict for each contour with itself and for each pair, ordered by `a`, then `b`. A pair that only
 * touches is told from one that crosses; a contour that touches itself encloses its parts in more than one way, so
 * that is a crossing. After `most` the search stops.
 */
export function findConflicts(
  contours: readonly Contour[],
  most = Number.POSITIVE_INFINITY,
): Conflict[] {
  const located = contours.flatMap((c, contour) => segmentsOf(c, contour));
  if (located.length === 0) return [];
  const neighbours = laterNeighbours(located.map((l) => l.segment));
  const found = new Map<number, Conflict>();
  for (const [i, one] of located.entries()) {
    if (found.size >= most) break;
    for (const j of neighbours(i)) {
      const other = located[j] as Located;
      const key = one.contour * contours.length + other.contour;
      if (found.get(key)?.kind === "crosses") continue;
      for (const meeting of intersectSegments(one.segment, other.segment)) {
        const kind =
          one.contour === other.contour
            ? meetsItself(one, other, meeting)
            : meetsOther(contours, one, other, meeting);
        if (kind === null) continue;
        found.set(key, {
          kind,
          a: one.contour,
          b: other.contour,
          at: meeting.at,
        });
        if (kind === "crosses") break;
      }
      if (found.size >= most) break;
    }
  }
  return [...found.values()].sort((x, y) => x.a - y.a || x.b - y.b);
}

/** Of each segment the later ones whose boxes meet its own, ascending. */
function laterNeighbours(
  segments: readonly Segment[],
): (i: number) => number[] {
  const boxes = thinBoxes(segments);
  const owners = boxes.flatMap((row, i) => row.map(() => i));
  const index = new Flatbush(owners.length);
  for (const row of boxes)
    for (const { minX, minY, maxX, maxY } of row)
      index.add(minX, minY, maxX, maxY);
  index.finish();
  return (i) => {
    const later = (boxes[i] as Box[])
      .flatMap(({ minX, minY, maxX, maxY }) =>
        index.search(minX, minY, maxX, maxY, (k) => (owners[k] as number) > i),
      )
      .map((k) => owners[k] as number)
      .sort((a, b) => a - b);
    return later.filter((j, k) => j !== later[k - 1]);
  };
}

/** A segment, its contour, and where it begins along it (mm). */
interface Located {
  readonly segment: Segment;
  readonly contour: number;
  readonly from: number;
  readonly length: number;
  /** Length of the whole contour. */
  readonly round: number;
}

function segmentsOf(c: Contour, contour: number): Located[] {
  const lengths = c.segments.map(segmentLength);
  const round = lengths.reduce((sum, l) => sum + l, 0);
  let from = 0;
  return c.segments.map((segment, k) => {
    const length = lengths[k] as number;
    const located = { segment, contour, from, length, round };
    from += length;
    return located;
  });
}

/** At the joint of neighbours the contour has only just come from there: no conflict. */
function meetsItself(
  a: Located,
  b: Located,
  { ta, tb }: Meeting,
): "crosses" | null {
  const way = b.from + tb * b.length - (a.from + ta * a.length);
  return Math.min(way, a.round - way) <= 4 * SAME_DRAWN ? null : "crosses";
}

/** Ways (mm) along the second contour at which its side of the first is asked; the first that is off it decides. */
const STEPS = [0.001, 0.01, 0.1, 1];

/** They cross when the second lies on different sides of the first before and after, or runs along it. */
function meetsOther(
  contours: readonly Contour[],
  a: Located,
  b: Located,
  { ta, tb }: Meeting,
): "crosses" | "touches" {
  const inside = ta > 0 && ta < 1 && tb > 0 && tb < 1;
  const first = contours[a.contour] as Contour;
  const second = contours[b.contour] as Contour;
  if (inside && a.segment.kind === "line" && b.segment.kind === "line")
    return "crosses";
  const at = b.from + tb * b.length;
  const before = sideOf(first, second, at, -1);
  const after = sideOf(first, second, at, 1);
  return before !== null && before === after ? "touches" : "crosses";
}

/** Whether `second` is inside `first` a little before or after `at`; `null` when it runs along it. */
function sideOf(
  first: Contour,
  second: Contour,
  at: number,
  way: -1 | 1,
): boolean | null {
  for (const step of STEPS) {
    const p = pointAlong(second, at + way * step);
    const off = first.segments.every(
      (s) => distanceToSegment(s, p.x, p.y) > SAME_DRAWN,
    );
    if (off) return windingNumber(first, p) !== 0;
  }
  return null;
}

/** The point `way` mm along a closed contour, round and round. */
function pointAlong(c: Contour, way: number): Vec {
  const lengths = c.segments.map(segmentLength);
  const round = lengths.reduce((sum, l) => sum + l, 0);
  let left = ((way % round) + round) % round;
  for (const [k, s] of c.segments.entries()) {
    const l = lengths[k] as number;
    if (left <= l) return pointAt(s, left / l);
    left -= l;
  }
  return (c.segments[0] as Segment).start;
}
