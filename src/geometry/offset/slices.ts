/**
 * Step 2 of the offset: the candidates are cut where they meet, and of the slices those are kept whose middle is
 * nowhere nearer than d to any outline. Between two meetings a slice cannot change sides, so its middle speaks for
 * all of it; its ends, which lie at d by construction, are never asked.
 *
 * Each meeting is a node with a number; slices are joined by these numbers later, never by distance.
 */
import Flatbush from "flatbush";
import type { SegmentIndex } from "../distance.js";
import { intersectSegments } from "../intersect.js";
import {
  pointAt,
  type Segment,
  segmentBox,
  segmentLength,
  subSegment,
} from "../segment.js";
import type { Vec } from "../vec.js";
import type { Candidate, Source } from "./candidates.js";
import { type Join, smoothJoins } from "./joins.js";
import type { OffsetTolerance } from "./tolerance.js";

export interface Slice {
  readonly from: number;
  readonly to: number;
  readonly segment: Segment;
  readonly source: Source;
  /** Fractions along the source's candidate. */
  readonly t0: number;
  readonly t1: number;
}

interface Cut {
  readonly t: number;
  readonly node: number;
}

export function validSlices(
  candidates: readonly Candidate[],
  outlines: SegmentIndex,
  d: number,
  tol: OffsetTolerance,
): Slice[] {
  const nodes = nodeNumbers(tol.node);
  const joins = smoothJoins(candidates, tol.node);
  const starts = new Map(
    joins.map((join) => [join.j, { t: join.tj, node: nodes(join.at) }]),
  );
  const ends = new Map(
    joins.map((join) => [join.i, { t: join.ti, node: nodes(join.at) }]),
  );
  const cuts: Cut[][] = candidates.map(({ segment }, i) => [
    starts.get(i) ?? { t: 0, node: nodes(segment.start) },
    ends.get(i) ?? { t: 1, node: nodes(segment.end) },
  ]);
  forMeetings(candidates, tol, joins, (i, ti, j, tj, at) => {
    const node = nodeAtEnd(cuts[i], ti) ?? nodeAtEnd(cuts[j], tj) ?? nodes(at);
    (cuts[i] as Cut[]).push({ t: ti, node });
    (cuts[j] as Cut[]).push({ t: tj, node });
  });

  const slices: Slice[] = [];
  candidates.forEach(({ segment, source }, i) => {
    const [start, end, ...between] = cuts[i] as [Cut, Cut, ...Cut[]];
    const inside = between
      .filter((c) => c.t > start.t && c.t < end.t)
      .sort((a, b) => a.t - b.t);
    let open = start;
    for (const cut of [...inside, end]) {
      if (
        cut.node === open.node &&
        (cut.t - open.t) * segmentLength(segment) < 10 * tol.node
      )
        continue;
      const middle = pointAt(segment, (open.t + cut.t) / 2);
      if (!outlines.anyNearer(middle.x, middle.y, d - tol.clear)) {
        slices.push({
          from: open.node,
          to: cut.node,
          segment: subSegment(segment, open.t, cut.t),
          source,
          t0: open.t,
          t1: cut.t,
        });
      }
      open = cut;
    }
  });
  return slices;
}

/** The node of the candidate's own start or end where the meeting is there. */
function nodeAtEnd(cuts: Cut[] | undefined, t: number): number | undefined {
  const [start, end] = cuts as [Cut, Cut];
  return t <= start.t ? start.node : t >= end.t ? end.node : undefined;
}

/** Calls back once for each meeting of two different candidates, found through their boxes. */
function forMeetings(
  candidates: readonly Candidate[],
  tol: OffsetTolerance,
  joins: readonly Join[],
  report: (i: number, ti: number, j: number, tj: number, at: Vec) => void,
): void {
  if (candidates.length === 0) return;
  const settled = new Set(
    joins.map(({ i, j }) => pairKey(i, j, candidates.length)),
  );
  const tree = new Flatbush(candidates.length);
  const boxes = candidates.map(({ segment }) => segmentBox(segment));
  for (const b of boxes) tree.add(b.minX, b.minY, b.maxX, b.maxY);
  tree.finish();
  candidates.forEach(({ segment }, i) => {
    const b = boxes[i] as (typeof boxes)[number];
    const m = tol.node;
    tree.search(b.minX - m, b.minY - m, b.maxX + m, b.maxY + m, (j) => {
      if (j > i && !settled.has(pairKey(i, j, candidates.length))) {
        const other = (candidates[j] as Candidate).segment;
        for (const { at, ta, tb } of intersectSegments(
          segment,
          other,
          tol.meeting,
        )) {
          report(i, ta, j, tb, at);
        }
      }
      return false;
    });
  });
}

function pairKey(i: number, j: number, n: number): number {
  return Math.min(i, j) * n + Math.max(i, j);
}

/** Hands out one number per place; points within `reach` of a known place get its number. */
function nodeNumbers(reach: number): (p: Vec) => number {
  const cell = 16 * reach;
  const buckets = new Map<number, number[]>();
  const xs: number[] = [];
  const ys: number[] = [];
  // Two far cells may share a bucket: the distance decides, so that costs a comparison and nothing else.
  const bucket = (x: number, y: number): number =>
    (Math.imul(x, 73856093) ^ Math.imul(y, 19349663)) >>> 0;
  const known = (key: number, p: Vec): number | undefined =>
    buckets
      .get(key)
      ?.find(
        (n) =>
          Math.abs((xs[n] as number) - p.x) <= reach &&
          Math.abs((ys[n] as number) - p.y) <= reach,
      );
  return (p) => {
    const x0 = Math.floor((p.x - reach) / cell);
    const x1 = Math.floor((p.x + reach) / cell);
    const y0 = Math.floor((p.y - reach) / cell);
    const y1 = Math.floor((p.y + reach) / cell);
    for (let x = x0; x <= x1; x++) {
      for (let y = y0; y <= y1; y++) {
        const node = known(bucket(x, y), p);
        if (node !== undefined) return node;
      }
    }
    const key = bucket(Math.floor(p.x / cell), Math.floor(p.y / cell));
    const node = xs.length;
    xs.push(p.x);
    ys.push(p.y);
    const here = buckets.get(key);
    if (here) here.push(node);
    else buckets.set(key, [node]);
    return node;
  };
}
