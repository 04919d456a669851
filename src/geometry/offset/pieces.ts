/** Step 6 of the offset: loops of slices as lines and arcs again, each knowing the stretch of outline it came from. */
import type { OffsetLoop, OffsetSegment } from "../offset.js";
import type { Segment } from "../segment.js";
import type { Vec } from "../vec.js";
import type { Candidates } from "./candidates.js";
import { at } from "./curves.js";
import type { Slices } from "./slices.js";
import type { Source } from "./source.js";

export function loopOf(
  loop: readonly number[],
  slices: Slices,
  all: Candidates,
  source: Source,
  origin: Vec,
): OffsetLoop {
  const continues = (a: number, b: number): boolean => {
    const i = slices.candidate[a] as number;
    const j = slices.candidate[b] as number;
    if (i === j) return slices.t1[a] === slices.t0[b];
    // Halves of one arc, or of one corner.
    const from = at(all.source, i);
    const to = at(all.source, j);
    return (
      all.smooth[i] === j &&
      all.corner[i] === all.corner[j] &&
      slices.t1[a] === 1 &&
      slices.t0[b] === 0 &&
      to - from === (all.corner[i] ? 0 : 1) &&
      source.segment[from] === source.segment[to] &&
      source.contour[from] === source.contour[to]
    );
  };
  // A loop that starts within a piece is turned to where that piece begins.
  const n = loop.length;
  let start = 0;
  while (
    start < n - 1 &&
    continues(loop.at(start - 1) as number, loop[start] as number)
  )
    start++;
  const segments: OffsetSegment[] = [];
  for (let k = 0; k < n; ) {
    const first = loop[(start + k) % n] as number;
    let last = first;
    for (k++; k < n; k++) {
      const next = loop[(start + k) % n] as number;
      if (!continues(last, next)) break;
      last = next;
    }
    segments.push(pieceOf(first, last, slices, all, source, origin));
  }
  return { segments };
}

function pieceOf(
  first: number,
  last: number,
  slices: Slices,
  all: Candidates,
  source: Source,
  origin: Vec,
): OffsetSegment {
  const i = slices.candidate[first] as number;
  const s = at(all.source, i);
  return {
    segment: segmentOf(first, last, slices, all, origin),
    contour: at(source.contour, s),
    index: at(source.segment, s),
    corner: all.corner[i] === 1,
    from: sourceFraction(slices.t0[first] as number, i, all, source),
    to: sourceFraction(
      slices.t1[last] as number,
      slices.candidate[last] as number,
      all,
      source,
    ),
  };
}

function segmentOf(
  first: number,
  last: number,
  slices: Slices,
  { nodes, curves: c }: Candidates,
  origin: Vec,
): Segment {
  const place = (p: number): Vec => ({
    x: origin.x + (nodes.x[p] as number),
    y: origin.y + (nodes.y[p] as number),
  });
  const start = place(slices.from[first] as number);
  const end = place(slices.to[last] as number);
  const i = slices.candidate[first] as number;
  const j = slices.candidate[last] as number;
  const k = at(c.k, i);
  if (k === 0) return { kind: "line", start, end };
  // On one curve, or over the joint of an arc's halves.
  const way =
    i === j
      ? at(c.length, i) *
        ((slices.t1[last] as number) - (slices.t0[first] as number))
      : at(c.length, i) * (1 - (slices.t0[first] as number)) +
        at(c.length, j) * (slices.t1[last] as number);
  return {
    kind: "arc",
    start,
    end,
    center: {
      x: origin.x + at(c.x0, i) - at(c.ty0, i) / k,
      y: origin.y + at(c.y0, i) + at(c.tx0, i) / k,
    },
    radius: 1 / Math.abs(k),
    sweep: k * way,
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
