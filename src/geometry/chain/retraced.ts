/** Open chains that run along closed ones from end to end: part of an outline, drawn once more. */
import { noStep, type OnStep } from "../../base/pace.js";
import { SAME_DRAWN } from "../../base/tolerance.js";
import type { Contour } from "../contour.js";
import {
  distanceToSegment,
  indexSegments,
  nearestOnSegment,
  type SegmentIndex,
} from "../distance.js";
import {
  pointAt,
  type Segment,
  segmentBox,
  segmentLength,
} from "../segment.js";
import { courseSlack } from "./union.js";

/** Which of the contours are open and lie wholly on closed ones, ascending. */
export function retracedContours(
  contours: readonly Contour[],
  onStep: OnStep = noStep,
): number[] {
  const open = contours.flatMap((c, i) => (c.closed ? [] : [i]));
  if (open.length === 0 || open.length === contours.length) return [];
  const outlines = indexSegments(
    contours.flatMap((c) => (c.closed ? c.segments : [])),
  );
  return open.filter((i) =>
    (contours[i] as Contour).segments.every((s) => {
      onStep();
      return liesOn(s, outlines);
    }),
  );
}

/** Cut where an outline's segment ends on it, each stretch runs along one segment or along none. */
function liesOn(s: Segment, outlines: SegmentIndex): boolean {
  const most = courseSlack(s);
  // Most open chains leave the outlines at once: no need to look along them.
  if (!outlines.anyNearer(...middle(s, 0, 1), most)) return false;
  const { minX, minY, maxX, maxY } = segmentBox(s);
  const beside = outlines
    .near(minX, minY, maxX, maxY, most)
    .map((i) => outlines.segments[i] as Segment)
    .filter((o) => o.kind === s.kind);
  const slack = SAME_DRAWN / segmentLength(s);
  const cuts = beside
    .flatMap((o) => [o.start, o.end])
    .map((p) => nearestOnSegment(s, p))
    .filter((n) => n.distance <= most)
    .map((n) => n.t)
    .concat(1)
    .sort((a, b) => a - b);
  let from = 0;
  return cuts.every((to) => {
    if (to - from <= slack) return true;
    const on = beside.some((o) => runsAlong(o, s, from, to, most));
    from = to;
    return on;
  });
}

/** Two lines that agree at two places are one, two arcs at three. */
function runsAlong(
  o: Segment,
  s: Segment,
  from: number,
  to: number,
  most: number,
): boolean {
  const { x: fromX, y: fromY } = pointAt(s, from);
  const { x: toX, y: toY } = pointAt(s, to);
  return (
    distanceToSegment(o, ...middle(s, from, to)) <= most &&
    distanceToSegment(o, fromX, fromY) <= most &&
    distanceToSegment(o, toX, toY) <= most
  );
}

function middle(s: Segment, from: number, to: number): [number, number] {
  const { x, y } = pointAt(s, (from + to) / 2);
  return [x, y];
}
