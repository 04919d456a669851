/** Step 6 of the offset: loops of slices as lines and arcs again, each knowing the stretch of outline it came from. */
import type { OffsetLoop, OffsetSegment } from "../offset.js";
import type { Segment } from "../segment.js";
import type { Vec } from "../vec.js";
import type { Candidates } from "./candidates.js";
import { at } from "./curves.js";
import type { Joints } from "./joints.js";
import { type Slices, sliceLength } from "./slices.js";
import type { Source } from "./source.js";

interface Parts {
  readonly slices: Slices;
  readonly all: Candidates;
  readonly source: Source;
  readonly joints: Joints;
  readonly origin: Vec;
}

/** Slices that follow each other on one candidate become one piece, and so do the halves of one arc. */
export function loopOf(loop: readonly number[], parts: Parts): OffsetLoop {
  const n = loop.length;
  // Begins where a piece begins.
  let start = 0;
  while (
    start < n - 1 &&
    continues(loop.at(start - 1) as number, loop[start] as number, parts)
  )
    start++;
  const segments: OffsetSegment[] = [];
  // Each piece ends in the very point that the next begins with.
  const first = pointOf(
    parts.slices.from[loop[start] as number] as number,
    parts,
  );
  let from = first;
  for (let k = 0; k < n; ) {
    const begin = loop[(start + k) % n] as number;
    let last = begin;
    let length = sliceLength(parts.slices, parts.all.curves, begin);
    for (k++; k < n; k++) {
      const next = loop[(start + k) % n] as number;
      if (!continues(last, next, parts)) break;
      last = next;
      length += sliceLength(parts.slices, parts.all.curves, next);
    }
    const to = k < n ? pointOf(parts.slices.to[last] as number, parts) : first;
    segments.push(pieceOf(begin, last, from, to, length, parts));
    from = to;
  }
  return { segments };
}

function continues(
  a: number,
  b: number,
  { slices, all, source }: Parts,
): boolean {
  const i = slices.candidate[a] as number;
  const j = slices.candidate[b] as number;
  if (i === j) return slices.t1[a] === slices.t0[b];
  if (all.smooth[i] !== j || all.corner[i] !== all.corner[j]) return false;
  if (slices.t1[a] !== 1 || slices.t0[b] !== 0) return false;
  const from = at(all.source, i);
  const to = at(all.source, j);
  return (
    to - from === (all.corner[i] ? 0 : 1) &&
    source.segment[from] === source.segment[to] &&
    source.contour[from] === source.contour[to]
  );
}

function pointOf(place: number, { all: { nodes }, origin }: Parts): Vec {
  return { x: origin.x + at(nodes.x, place), y: origin.y + at(nodes.y, place) };
}

function pieceOf(
  first: number,
  last: number,
  start: Vec,
  end: Vec,
  length: number,
  parts: Parts,
): OffsetSegment {
  const { slices, all, source } = parts;
  const i = slices.candidate[first] as number;
  const j = slices.candidate[last] as number;
  const s = at(all.source, i);
  return {
    segment: segmentOf(i, start, end, length, parts),
    contour: at(source.contour, s),
    index: at(source.segment, s),
    corner: all.corner[i] === 1,
    from: sourceFraction(slices.t0[first] as number, i, parts),
    to: sourceFraction(slices.t1[last] as number, j, parts),
  };
}

function segmentOf(
  i: number,
  start: Vec,
  end: Vec,
  length: number,
  { all: { curves: c }, origin }: Parts,
): Segment {
  const k = at(c.k, i);
  if (k === 0) return { kind: "line", start, end };
  return {
    kind: "arc",
    start,
    end,
    center: {
      x: origin.x + (at(c.x0, i) - at(c.ty0, i) / k),
      y: origin.y + (at(c.y0, i) + at(c.tx0, i) / k),
    },
    radius: 1 / Math.abs(k),
    sweep: k * length,
  };
}

/** Fraction along the source segment that fraction `t` of candidate `i` is parallel to. */
function sourceFraction(
  t: number,
  i: number,
  { all, source, joints }: Parts,
): number {
  if (all.corner[i]) return 1;
  const s = at(all.source, i);
  const from = at(source.from, s);
  const to = at(source.to, s);
  if (t === 0) return from;
  if (t === 1) return to;
  // What was trimmed off at its start and its end, below 0 where it was lengthened.
  const before = at(joints.overlap, at(joints.previous, s));
  const behind = at(joints.overlap, s);
  const length = at(all.curves.length, i);
  const along = (before + t * length) / (before + length + behind);
  return from + (to - from) * Math.min(1, Math.max(0, along));
}
