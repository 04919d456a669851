/**
 * Loose strands become chains. A strand is what was drawn as one thing; an end is either end of one of its segments;
 * two ends that belong together are mates. First every end finds its mate, each place for itself; then chains are
 * read off by going from mate to mate, whatever the order and direction of drawing; then the mates are made to meet.
 */
import { noStep, type OnStep } from "../../base/pace.js";
import { SAME_DRAWN } from "../../base/tolerance.js";
import { type Contour, contourLength, runsBack } from "../contour.js";
import {
  pointAt,
  reverseSegment,
  type Segment,
  segmentLength,
} from "../segment.js";
import { dropSlivers, tidyOpen, tidyOutline } from "../tidy.js";
import { distance, lerp, type Vec } from "../vec.js";
import { betweenEnds, halved, meetingPoint } from "./joint.js";
import { findMates, NO_MATE } from "./mates.js";
import { mergeOverlaps } from "./overlap.js";
import { retracedContours } from "./retraced.js";

/** Something that was put right, with its place and size (mm). */
export interface Mend {
  readonly kind:
    | "gap-closed"
    | "double-dropped"
    | "zero-length-dropped"
    | "overlap-merged";
  readonly at: Vec;
  readonly size: number;
}

export interface Chain {
  readonly contour: Contour;
  /** Index of the first strand in it. */
  readonly first: number;
  /** Indices of the strands it is made of, in turn. */
  readonly strands: readonly number[];
}

/**
 * Chains in the order of their first strands, but for open ones that run along closed ones. Closed ones are tidy
 * outlines, counter-clockwise; in every chain each segment begins exactly where the one before ends. `gap` (mm) is how
 * far apart ends may lie that are joined.
 */
export function chainStrands(
  strands: readonly Contour[],
  gap: number,
  onStep: OnStep = noStep,
): { chains: Chain[]; mends: Mend[] } {
  const mends: Mend[] = [];
  const chains: Chain[] = [];
  const loose: Piece[] = [];
  strands.forEach((strand, index) => {
    onStep(strand.segments.length);
    const { segments, dropped } = dropSlivers(strand.segments, strand.closed);
    for (const d of dropped) mends.push({ kind: "zero-length-dropped", ...d });
    // What runs back over itself is looked at piece by piece.
    if (
      strand.closed &&
      enclosesSomething(segments) &&
      !runsBack({ closed: true, segments })
    )
      chains.push({
        contour: { closed: true, segments },
        first: index,
        strands: [index],
      });
    else
      for (const s of segments)
        for (const half of halved(s))
          loose.push({ segment: half, strand: index });
  });

  const { pieces, overlaps } = withoutOverlaps(loose, onStep);
  for (const overlap of overlaps) mends.push(overlap);
  for (const walk of walks(pieces, gap, onStep)) {
    onStep(walk.segments.length);
    const contour = joined(walk, mends);
    if (contour.segments.length > 0)
      chains.push({ contour, first: walk.first, strands: walk.strands });
  }
  chains.sort((a, b) => a.first - b.first);
  const tidied = chains.map(({ contour, ...of }) => {
    onStep(contour.segments.length);
    const tidy = contour.closed ? tidyOutline : tidyOpen;
    return { contour: tidy(contour), ...of };
  });
  const again = new Set(
    retracedContours(
      tidied.map((c) => c.contour),
      onStep,
    ),
  );
  for (const i of again) mends.push(drawnAgain(tidied[i] as Chain));
  return { chains: tidied.filter((_, i) => !again.has(i)), mends };
}

function drawnAgain({ contour }: Chain): Mend {
  return {
    kind: "double-dropped",
    at: pointAt(contour.segments[0] as Segment, 0.5),
    size: contourLength(contour),
  };
}

/** One loose segment and the strand it is from. */
interface Piece {
  readonly segment: Segment;
  readonly strand: number;
}

/** A closed polyline of two straight lines runs there and back: that is one line, drawn twice. */
function enclosesSomething(segments: readonly Segment[]): boolean {
  return segments.length > 2 || segments.some((s) => s.kind === "arc");
}

function withoutOverlaps(
  loose: readonly Piece[],
  onStep: OnStep,
): {
  pieces: Piece[];
  overlaps: Mend[];
} {
  const { merged, overlaps } = mergeOverlaps(
    loose.map((p) => p.segment),
    onStep,
  );
  const pieces: Piece[] = [];
  merged.forEach((segment, i) => {
    if (!segment) return;
    const { strand } = loose[i] as Piece;
    for (const half of halved(segment)) pieces.push({ segment: half, strand });
  });
  return { pieces, overlaps };
}

interface Walk {
  readonly segments: readonly Segment[];
  readonly closed: boolean;
  readonly first: number;
  readonly strands: readonly number[];
}

/** From mate to mate until every piece is used; each walk runs the way its first piece was drawn. */
function walks(pieces: readonly Piece[], gap: number, onStep: OnStep): Walk[] {
  const mates = findMates(
    pieces.map((p) => p.segment),
    pieces.map((p) => p.strand),
    gap,
    onStep,
  );
  const used = new Uint8Array(pieces.length);
  const found: Walk[] = [];
  for (let i = 0; i < pieces.length; i++) {
    if (used[i]) continue;
    // Ends are numbered 2i (start) and 2i + 1 (end) of piece i; e ^ 1 is the other end of the same piece.
    let begin = 2 * i;
    let closed = false;
    for (
      let mate = mates[begin] as number;
      mate !== NO_MATE;
      mate = mates[begin] as number
    ) {
      begin = mate ^ 1;
      if (begin === 2 * i) {
        closed = true;
        break;
      }
    }
    const segments: Segment[] = [];
    const strands: number[] = [];
    let first = i;
    for (let end = begin; ; ) {
      const k = end >> 1;
      const { segment, strand } = pieces[k] as Piece;
      if (strands.at(-1) !== strand) strands.push(strand);
      used[k] = 1;
      first = Math.min(first, k);
      segments.push(end % 2 === 0 ? segment : reverseSegment(segment));
      const next = mates[end ^ 1] as number;
      if (next === NO_MATE || next === begin) break;
      end = next;
    }
    found.push({
      segments,
      closed,
      first: (pieces[first] as Piece).strand,
      strands,
    });
  }
  return found;
}

/** Makes the ends meet, and tells of every gap worth telling. */
function joined({ segments, closed }: Walk, mends: Mend[]): Contour {
  const n = segments.length;
  const starts = segments.map((s) => s.start);
  const ends = segments.map((s) => s.end);
  for (let i = closed ? 0 : 1; i < n; i++) {
    const before = (i + n - 1) % n;
    const a = segments[before] as Segment;
    const b = segments[i] as Segment;
    const at = meetingPoint(a, b);
    starts[i] = at;
    ends[before] = at;
    const size = distance(a.end, b.start);
    if (size > SAME_DRAWN)
      mends.push({ kind: "gap-closed", at: lerp(a.end, b.start, 0.5), size });
  }
  const met = segments.map((s, i) =>
    betweenEnds(s, starts[i] as Vec, ends[i] as Vec),
  );
  const { segments: kept, dropped } = dropSlivers(met, closed);
  for (const d of dropped) mends.push({ kind: "zero-length-dropped", ...d });
  if (!closed || enclosesSomething(kept)) return { closed, segments: kept };
  // Two lines between the same two places, a hair apart where they were drawn.
  const double = kept[1];
  if (double)
    mends.push({
      kind: "double-dropped",
      at: pointAt(double, 0.5),
      size: segmentLength(double),
    });
  return { closed: false, segments: kept.slice(0, 1) };
}
