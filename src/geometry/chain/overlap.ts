/** Segments drawn twice, or over each other along a stretch, become one: lines on one line, arcs on one circle. */
import Flatbush from "flatbush";
import { noStep, type OnStep } from "../../base/pace.js";
import { SAME_COURSE, SAME_DRAWN } from "../../base/tolerance.js";
import { distanceToSegment } from "../distance.js";
import { thinBoxes } from "../gaps/thin-boxes.js";
import { type Box, pointAt, type Segment, segmentLength } from "../segment.js";
import type { Vec } from "../vec.js";
import { type Overlap, unionOf } from "./union.js";

/**
 * For each segment what remains of it: itself, the longer one that it and others merged into (at the first of their
 * places), or `null` when another stands for it.
 */
export function mergeOverlaps(
  segments: readonly Segment[],
  onStep: OnStep = noStep,
): {
  merged: (Segment | null)[];
  overlaps: Overlap[];
} {
  const merged: (Segment | null)[] = [...segments];
  const overlaps: Overlap[] = [];
  if (segments.length === 0) return { merged, overlaps };
  const standIn = Int32Array.from(segments, (_, i) => i);
  const find = (i: number): number => {
    let at = i;
    while (standIn[at] !== at) {
      standIn[at] = standIn[standIn[at] as number] as number;
      at = standIn[at] as number;
    }
    return at;
  };
  /** Of a circle drawn all round, which no arc can be, the place of its second arc. */
  const rests = new Map<number, number>();
  const drop = (i: number | undefined, circle: number): void => {
    if (i === undefined) return;
    const s = merged[i] as Segment;
    const size = segmentLength(s);
    overlaps.push({ kind: "overlap-merged", at: pointAt(s, 0.5), size });
    merged[i] = null;
    standIn[i] = circle;
  };
  /** Whether all of `other` lies on the circle that is drawn all round at `at`. */
  const isOnCircle = (other: number, at: number): boolean => {
    const rest = rests.get(at);
    if (rest === undefined) return false;
    const s = merged[other] as Segment;
    return [at, rest].some((i) => unionOf(merged[i] as Segment, s) !== null);
  };
  /** The place where the two are one from now on, or `null` where they are not one. */
  const join = (at: number, other: number): number | null => {
    for (const [circle, arc] of [
      [at, other],
      [other, at],
    ] as const)
      if (isOnCircle(arc, circle)) {
        drop(arc, circle);
        drop(rests.get(arc), circle);
        return circle;
      }
    const first = Math.min(at, other);
    const second = Math.max(at, other);
    const union = unionOf(merged[first] as Segment, merged[second] as Segment);
    if (union === null) return null;
    overlaps.push(union.overlap);
    merged[first] = union.stays;
    merged[second] = union.rest;
    standIn[second] = first;
    if (union.rest !== null) rests.set(first, second);
    return first;
  };

  // Where two share a stretch, an end of one lies on the other: each asks once what ends lie along it.
  const endsOn = endFinder(segments, onStep);
  /** What lies along a segment without being one with it, and may be once it has grown. */
  const apart = new Map<number, readonly number[]>();
  for (let i = 0; i < segments.length; i++) {
    if (find(i) !== i) continue;
    onStep();
    let at = i;
    const waiting = [...endsOn(i)];
    let refused: number[] = [];
    for (let k = 0; k < waiting.length; k++) {
      const owner = waiting[k] as number;
      const other = find(owner);
      if (other === at) continue;
      onStep(1 / CHEAP);
      const before = merged[at];
      const rest = rests.get(at);
      const joined = join(at, other);
      if (joined === null) {
        refused.push(owner);
        continue;
      }
      // Reaching no further than it did, it meets nothing but what waits already.
      if (joined === at && merged[at] === before && rests.get(at) === rest)
        continue;
      at = joined;
      const met = other > i ? endsOn(other) : (apart.get(other) ?? []);
      for (const o of refused) waiting.push(o);
      for (const o of met) waiting.push(o);
      refused = [];
    }
    if (refused.length > 0) apart.set(at, refused);
  }
  return { merged, overlaps };
}

/**
 * Finds the others that have an end on the segment with index `at` and may run along it, ascending, so that the answer
 * does not hang on the order of the index.
 */
function endFinder(
  segments: readonly Segment[],
  onStep: OnStep,
): (at: number) => readonly number[] {
  const boxes = thinBoxes(segments);
  const index = new Flatbush(2 * segments.length);
  for (const { start, end } of segments) {
    index.add(start.x, start.y, start.x, start.y);
    index.add(end.x, end.y, end.x, end.y);
  }
  index.finish();
  // What a segment has merged with may take it off its own course by as much as the course is wide.
  const r = 2 * SAME_COURSE;
  const search = (along: readonly Box[], ask: Ask): void => {
    for (const { minX, minY, maxX, maxY } of along)
      index.search(minX - r, minY - r, maxX + r, maxY + r, ask);
  };
  let told = foreseen(segments, boxes, search);
  onStep(told / CHEAP);
  return (at) => {
    const s = segments[at] as Segment;
    const owners: number[] = [];
    let asked = 0;
    const ask = (e: number, x: number, y: number): boolean => {
      asked++;
      const owner = e >> 1;
      if (
        owner !== at &&
        mayShare(s, segments[owner] as Segment) &&
        distanceToSegment(s, x, y) <= r
      )
        owners.push(owner);
      return false;
    };
    search(boxes[at] as Box[], ask);
    const more = Math.max(0, asked - told);
    told -= asked - more;
    onStep(more / CHEAP);
    return owners.length < 2 ? owners : ascending(owners);
  };
}

type Ask = (end: number, x: number, y: number) => boolean;

/** So many segments, evenly taken, tell what all ask. */
const SAMPLE = 100;

/**
 * Ends that will be asked at least, by a sample without its upper quarter: a few long segments may have fallen into
 * it. Where everything lies on everything, that is too much to begin with. Ends at its own ends do not count: what is
 * drawn twice is gone when the first of it has asked.
 */
function foreseen(
  segments: readonly Segment[],
  boxes: readonly (readonly Box[])[],
  search: (along: readonly Box[], ask: Ask) => void,
): number {
  if (boxes.length <= SAMPLE) return 0;
  const counts = Array.from({ length: SAMPLE }, (_, i) => {
    let asked = 0;
    const k = Math.floor((i * boxes.length) / SAMPLE);
    const { start, end } = segments[k] as Segment;
    const isAt = (p: Vec, x: number, y: number): boolean =>
      Math.abs(x - p.x) <= SAME_DRAWN && Math.abs(y - p.y) <= SAME_DRAWN;
    search(boxes[k] as readonly Box[], (_, x, y) => {
      if (!isAt(start, x, y) && !isAt(end, x, y)) asked++;
      return false;
    });
    return asked;
  }).sort((a, b) => a - b);
  const usual = counts.slice(0, (3 * SAMPLE) / 4);
  return (usual.reduce((a, b) => a + b) * boxes.length) / SAMPLE;
}

/** So many ends asked cost about as much as one piece of other work. */
const CHEAP = 4;

function ascending(owners: readonly number[]): readonly number[] {
  return [...new Set(owners)].sort((a, b) => a - b);
}

/** Lines only where the shorter one runs along the longer to within what `unionOfLines` allows at both its ends. */
function mayShare(a: Segment, b: Segment): boolean {
  if (a.kind !== b.kind) return false;
  if (a.kind === "arc") return true;
  const ux = a.end.x - a.start.x;
  const uy = a.end.y - a.start.y;
  const vx = b.end.x - b.start.x;
  const vy = b.end.y - b.start.y;
  const longer = Math.max(ux * ux + uy * uy, vx * vx + vy * vy);
  const across = ux * vy - uy * vx;
  return across * across <= 9 * SAME_COURSE * SAME_COURSE * longer;
}
