/** Step 6 of the offset: loops of slices as lines and arcs again, each knowing the stretch of outline it came from. */
import type { OffsetLoop, OffsetSegment } from "../offset.js";
import type { Segment } from "../segment.js";
import type { Vec } from "../vec.js";
import type { Candidates } from "./candidates.js";
import { at } from "./curves.js";
import { type Slices, sliceLength } from "./slices.js";
import type { Source } from "./source.js";

interface Parts {
  readonly slices: Slices;
  readonly all: Candidates;
  readonly source: Source;
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
  for (let k = 0; k < n; ) {
    const first = loop[(start + k) % n] as number;
    let last = first;
    let length = sliceLength(parts.slices, parts.all.curves, first);
    for (k++; k < n; k++) {
      const next = loop[(start + k) % n] as number;
      if (!continues(last, next, parts)) break;
      last = next;
      length += sliceLength(parts.slices, parts.all.curves, next);
    }
    segments.push(pieceOf(first, last, length, parts));
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

function pieceOf(
  first: number,
  last: number,
  length: number,
  parts: Parts,
): OffsetSegment {
  const { slices, all, source } = parts;
  const i = slices.candidate[first] as number;
  const j = slices.candidate[last] as number;
  const s = at(all.source, i);
  return {
    segment: segmentOf(first, last, length, parts),
    contour: at(source.contour, s),
    index: at(source.segment, s),
    corner: all.corner[i] === 1,
    from: sourceFraction(slices.t0[first] as number, i, all, source),
    to: sourceFraction(slices.t1[last] as number, j, all, source),
  };
}

function segmentOf(
  first: number,
  last: number,
  length: number,
  { slices, all: { nodes, curves: c }, origin }: Parts,
): Segment {
  const a = slices.from[first] as number;
  const b = slices.to[last] as number;
  const start = { x: origin.x + at(nodes.x, a), y: origin.y + at(nodes.y, a) };
  const end = { x: origin.x + at(nodes.x, b), y: origin.y + at(nodes.y, b) };
  const i = slices.candidate[first] as number;
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
  all: Candidates,
  source: Source,
): number {
  if (all.corner[i]) return 1;
  const s = at(all.source, i);
  const from = at(source.from, s);
  const to = at(source.to, s);
  if (t === 0) return from;
  if (t === 1) return to;
  const before = at(all.before, i);
  const length = at(all.curves.length, i);
  const along = (before + t * length) / (before + length + at(all.behind, i));
  return from + (to - from) * Math.min(1, Math.max(0, along));
}
