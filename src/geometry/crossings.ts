/** Where closed contours meet themselves or each other: a cut needs outlines that do neither. */
import Flatbush from "flatbush";
import { noStep, type OnStep } from "../base/pace.js";
import { SAME_DIRECTION, SAME_DRAWN } from "../base/tolerance.js";
import { type Contour, windingNumber } from "./contour.js";
import { distanceToSegment } from "./distance.js";
import { thinBoxes } from "./gaps/thin-boxes.js";
import { intersectSegments, type Meeting } from "./intersect.js";
import {
  type Box,
  boxesTouch,
  EMPTY_BOX,
  pointAt,
  type Segment,
  segmentBox,
  segmentLength,
  unionBox,
} from "./segment.js";
import { cross, distance, dot, sub, type Vec } from "./vec.js";

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
 * that is a crossing. A contour meets itself at its joints: whatever meets within `JOINT` along it is one. After `most`
 * the search stops.
 */
export function findConflicts(
  contours: readonly Contour[],
  most = Number.POSITIVE_INFINITY,
  onStep: OnStep = noStep,
): Conflict[] {
  if (contours.length === 0) return [];
  const all = contours.map((c) => {
    onStep(c.segments.length);
    return indexed(c);
  });
  const index = new Flatbush(all.length);
  for (const { box } of all) index.add(box.minX, box.minY, box.maxX, box.maxY);
  index.finish();
  const found: Conflict[] = [];
  for (const [a, one] of all.entries()) {
    const { minX, minY, maxX, maxY } = one.box;
    let passed = 0;
    const others = index.search(minX, minY, maxX, maxY, (b) => {
      if (b <= a) return b === a;
      passed++;
      return !areApart(one, all[b] as Indexed);
    });
    onStep(passed / CHEAP_BOXES);
    for (const b of others.sort((x, y) => x - y)) {
      onStep();
      const other = all[b] as Indexed;
      const few = one.segments.length <= other.segments.length;
      const met = few
        ? meet(one, other, a === b, onStep)
        : meet(other, one, false, onStep);
      if (met) found.push({ ...met, a, b });
      if (found.length >= most) return found;
    }
  }
  return found;
}

/** A contour whose segments are found by place. */
interface Indexed {
  readonly contour: Contour;
  readonly segments: readonly Segment[];
  readonly boxes: readonly Box[];
  readonly box: Box;
  /** mm along it to the start of each segment, and all round. */
  readonly ways: () => readonly number[];
  /** The segments whose boxes meet one, ascending. */
  readonly near: (box: Box) => readonly number[];
  /** Middle of its box, and distances (mm) from there between which the whole contour lies. */
  readonly center: Vec;
  readonly inner: number;
  readonly outer: number;
  /** Its box shrunk about the middle until no box of a segment reaches into it. */
  readonly core: Box;
}

/** So many boxes of contours compared cost about as much as one piece of other work. */
const CHEAP_BOXES = 8;

/**
 * Whether one contour lies in the empty middle of the other, as told at once: of many in one another, each has all the
 * others in its box.
 */
function areApart(a: Indexed, b: Indexed): boolean {
  const [big, small] = a.inner >= b.inner ? [a, b] : [b, a];
  return (
    isWithin(small.box, big.core) ||
    distance(big.center, small.center) + small.outer + SAME_DRAWN < big.inner
  );
}

function isWithin(a: Box, b: Box): boolean {
  return (
    a.minX > b.minX + SAME_DRAWN &&
    a.minY > b.minY + SAME_DRAWN &&
    a.maxX < b.maxX - SAME_DRAWN &&
    a.maxY < b.maxY - SAME_DRAWN
  );
}

/** mm along a contour: rounded coordinates let tangent neighbours cross just behind their joint. */
const JOINT = 4 * SAME_DRAWN;

/** Below this a look at every box is faster than an index. */
const FEW_SEGMENTS = 32;

function indexed(contour: Contour): Indexed {
  const { segments } = contour;
  const boxes = segments.map(segmentBox);
  const near =
    segments.length <= FEW_SEGMENTS
      ? (box: Box): number[] => {
          const found: number[] = [];
          for (let k = 0; k < boxes.length; k++)
            if (boxesTouch(boxes[k] as Box, box)) found.push(k);
          return found;
        }
      : byIndex(segments);
  const box = boxes.reduce(unionBox, EMPTY_BOX);
  let known: readonly number[] | null = null;
  // Few contours meet any other, themselves included.
  const ways = () => {
    known ??= waysAlong(segments);
    return known;
  };
  const middle = emptyMiddle(segments, boxes, box);
  return { contour, segments, boxes, box, ways, near, ...middle };
}

function emptyMiddle(
  segments: readonly Segment[],
  boxes: readonly Box[],
  { minX, minY, maxX, maxY }: Box,
): Pick<Indexed, "center" | "inner" | "outer" | "core"> {
  const center = { x: (minX + maxX) / 2, y: (minY + maxY) / 2 };
  const [width, height] = [(maxX - minX) / 2, (maxY - minY) / 2];
  let inner = Number.POSITIVE_INFINITY;
  let outer = 0;
  /** Of the box's width and height. */
  let share = 1;
  for (const [i, s] of segments.entries()) {
    const b = boxes[i] as Box;
    inner = Math.min(inner, distanceToSegment(s, center.x, center.y));
    outer = Math.max(outer, farthest(s, b, center));
    const besideX = Math.max(b.minX - center.x, center.x - b.maxX, 0);
    const besideY = Math.max(b.minY - center.y, center.y - b.maxY, 0);
    share = Math.min(share, Math.max(besideX / width, besideY / height));
  }
  const core = {
    minX: center.x - share * width,
    minY: center.y - share * height,
    maxX: center.x + share * width,
    maxY: center.y + share * height,
  };
  return { center, inner, outer, core };
}

/** At least as far (mm) as any point of the segment is from `p`. */
function farthest(s: Segment, b: Box, p: Vec): number {
  const corner = Math.hypot(
    Math.max(p.x - b.minX, b.maxX - p.x),
    Math.max(p.y - b.minY, b.maxY - p.y),
  );
  return s.kind === "line"
    ? Math.max(distance(s.start, p), distance(s.end, p))
    : Math.min(corner, distance(s.center, p) + s.radius);
}

function byIndex(segments: readonly Segment[]): (box: Box) => number[] {
  const rows = thinBoxes(segments);
  const owners = rows.flatMap((row, k) => row.map(() => k));
  const index = new Flatbush(owners.length);
  for (const row of rows)
    for (const { minX, minY, maxX, maxY } of row)
      index.add(minX, minY, maxX, maxY);
  index.finish();
  const seen = new Int32Array(segments.length);
  let asked = 0;
  return ({ minX, minY, maxX, maxY }) => {
    asked++;
    const found: number[] = [];
    index.search(minX, minY, maxX, maxY, (k) => {
      const owner = owners[k] as number;
      if (seen[owner] !== asked) found.push(owner);
      seen[owner] = asked;
      return false;
    });
    return found.sort((x, y) => x - y);
  };
}

/** So many pairs of segments tried cost about as much as one piece of other work. */
const CHEAP = 4;

/** How two contours meet, or one itself: where the first, which should have fewer segments, crosses or touches first. */
function meet(
  a: Indexed,
  b: Indexed,
  itself: boolean,
  onStep: OnStep,
): Pick<Conflict, "kind" | "at"> | null {
  let touch: Pick<Conflict, "kind" | "at"> | null = null;
  onStep(a.segments.length / CHEAP_BOXES);
  for (const i of a.segments.keys()) {
    if (!boxesTouch(a.boxes[i] as Box, b.box)) continue;
    const near = b.near(a.boxes[i] as Box);
    onStep(1 + near.length / CHEAP);
    for (const j of near) {
      if (itself && (j <= i || isPlainJoint(a.segments, i, j))) continue;
      const one = a.segments[i] as Segment;
      const other = b.segments[j] as Segment;
      for (const meeting of intersectSegments(one, other)) {
        const kind = itself
          ? meetsItself(a, i, j, meeting)
          : meetsOther(a, b, i, j, meeting);
        if (kind === "crosses") return { kind, at: meeting.at };
        if (kind === "touches") touch ??= { kind, at: meeting.at };
      }
    }
  }
  return touch;
}

/** Two lines that follow each other and do not fold back meet at their joint only. */
function isPlainJoint(
  segments: readonly Segment[],
  i: number,
  j: number,
): boolean {
  const n = segments.length;
  if (j !== i + 1 && !(i === 0 && j === n - 1)) return false;
  const one = segments[i] as Segment;
  const other = segments[j] as Segment;
  if (one.kind !== "line" || other.kind !== "line" || n < 3) return false;
  const u = sub(one.end, one.start);
  const v = sub(other.end, other.start);
  return (
    dot(u, v) > 0 ||
    Math.abs(cross(u, v)) >
      SAME_DIRECTION * Math.hypot(u.x, u.y) * Math.hypot(v.x, v.y)
  );
}

/** Ways (mm) along a contour to the start of each segment, and along the whole of it. */
function waysAlong(segments: readonly Segment[]): number[] {
  let way = 0;
  const ways = [0];
  for (const s of segments) {
    way += segmentLength(s);
    ways.push(way);
  }
  return ways;
}

/** Way (mm) along the contour to the fraction `t` of its segment `k`. */
function wayTo(c: Indexed, k: number, t: number): number {
  const ways = c.ways();
  const from = ways[k] as number;
  return from + t * ((ways[k + 1] as number) - from);
}

/** At the joint of neighbours the contour has only just come from there: no conflict. */
function meetsItself(
  c: Indexed,
  i: number,
  j: number,
  { ta, tb }: Meeting,
): "crosses" | null {
  const way = wayTo(c, j, tb) - wayTo(c, i, ta);
  const round = c.ways().at(-1) as number;
  return Math.min(way, round - way) <= JOINT ? null : "crosses";
}

/** Ways (mm) along the second contour at which its side of the first is asked; the first that is off it decides. */
const STEPS = [0.001, 0.01, 0.1, 1];

/** They cross when the second lies on different sides of the first before and after, or runs along it. */
function meetsOther(
  first: Indexed,
  second: Indexed,
  i: number,
  j: number,
  { ta, tb }: Meeting,
): "crosses" | "touches" {
  const inside = ta > 0 && ta < 1 && tb > 0 && tb < 1;
  const lines =
    first.segments[i]?.kind === "line" && second.segments[j]?.kind === "line";
  if (inside && lines) return "crosses";
  const at = wayTo(second, j, tb);
  const before = sideOf(first, second, at, -1);
  const after = sideOf(first, second, at, 1);
  return before !== null && before === after ? "touches" : "crosses";
}

/** Whether `second` is inside `first` a little before or after `at`; `null` when it runs along it. */
function sideOf(
  first: Indexed,
  second: Indexed,
  at: number,
  way: -1 | 1,
): boolean | null {
  for (const step of STEPS) {
    const p = pointAlong(second, at + way * step);
    const beside = first.near({
      minX: p.x - SAME_DRAWN,
      minY: p.y - SAME_DRAWN,
      maxX: p.x + SAME_DRAWN,
      maxY: p.y + SAME_DRAWN,
    });
    const off = beside.every(
      (k) =>
        distanceToSegment(first.segments[k] as Segment, p.x, p.y) > SAME_DRAWN,
    );
    if (off) return windingNumber(first.contour, p) !== 0;
  }
  return null;
}

/** The point `way` mm along a closed contour, round and round. */
function pointAlong(c: Indexed, way: number): Vec {
  const { segments } = c;
  const ways = c.ways();
  const round = ways.at(-1) as number;
  const left = ((way % round) + round) % round;
  let low = 0;
  let high = segments.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((ways[middle + 1] as number) < left) low = middle + 1;
    else high = middle;
  }
  const from = ways[low] as number;
  const length = (ways[low + 1] as number) - from;
  return pointAt(segments[low] as Segment, (left - from) / length);
}
