/**
 * Which pass each move of the wire belongs to, measured: a move that keeps one pass's offset to a finished outline all
 * along follows it on that pass. Leads burn with the gap of the pass they join. Comments are not asked.
 */
import { FOLLOWING } from "../base/tolerance.js";
import { segmentBox } from "../geometry/segment.js";
import type { Job, Pass } from "../plan/job.js";
import type { Edge, Ground } from "./ground.js";
import { between, pointTo } from "./measure.js";
import { xAt, yAt } from "./stretches.js";
import type { Thread, WireMove } from "./wire.js";

export interface Move extends WireMove {
  /** Index of the thread, counted through the program. */
  readonly thread: number;
  /** Index of the feature it follows and of the pass, or null for a lead. */
  readonly follows: { readonly feature: number; readonly pass: number } | null;
  /** Of a lead, the passes at whose offsets its ends lie. */
  readonly joins: readonly number[];
  /** Spark gap it burns with. */
  readonly gap: number;
  /** mm to the nearest finished outline; Infinity when none is near. */
  readonly clearance: number;
  /** The edges that come near. */
  readonly edges: readonly number[];
}

type Measured = Omit<Move, "gap">;

/** Moves of every thread in program order. */
export function followOutlines(
  threads: readonly Thread[],
  ground: Ground,
  job: Job,
): Move[] {
  const reach = Math.max(...job.passes.map((p) => p.offset)) + 2 * FOLLOWING;
  return threads.flatMap((thread, t) =>
    withGaps(
      thread.moves.map((m) => measured(m, t, ground, job, reach)),
      job,
    ),
  );
}

/** Fractions along a move at which its distance is looked at. */
const LOOKS = [0, 0.25, 0.75, 1];

function measured(
  move: WireMove,
  thread: number,
  ground: Ground,
  job: Job,
  reach: number,
): Measured {
  const { segment } = move;
  const edges = ground.index.near(segmentBox(segment), reach);
  let clearance = Number.POSITIVE_INFINITY;
  for (const k of edges)
    clearance = Math.min(
      clearance,
      between(segment, (ground.edges[k] as Edge).segment).distance,
    );
  const nearest = (t: number): { distance: number; feature: number } => {
    const x = xAt(segment, t);
    const y = yAt(segment, t);
    let distance = Number.POSITIVE_INFINITY;
    let feature = -1;
    for (const k of edges) {
      const edge = ground.edges[k] as Edge;
      const d = pointTo(edge.segment, x, y);
      if (d < distance) {
        distance = d;
        feature = edge.feature;
      }
    }
    return { distance, feature };
  };
  const middle = nearest(0.5);
  const pass = nearestPass(job, middle.distance);
  const offset = job.passes[pass]?.offset;
  if (
    offset !== undefined &&
    LOOKS.every((t) => Math.abs(nearest(t).distance - offset) <= FOLLOWING)
  ) {
    const follows = { feature: middle.feature, pass };
    return { ...move, thread, follows, joins: [], clearance, edges };
  }
  const joins = [0, 1]
    .map((t) => nearestPass(job, nearest(t).distance))
    .filter((k) => k >= 0);
  return { ...move, thread, follows: null, joins, clearance, edges };
}

/** Index of the pass whose offset is nearest to a distance, or -1 when none is near. */
function nearestPass(job: Job, distance: number): number {
  let best = -1;
  let least = FOLLOWING;
  job.passes.forEach((p, k) => {
    const off = Math.abs(p.offset - distance);
    if (off < least) {
      least = off;
      best = k;
    }
  });
  return best;
}

/**
 * A lead that touches followed moves takes the largest gap of their passes; another that of the passes at whose offsets
 * its ends lie; another that of the nearest followed moves before and after it; in a thread that follows nothing, the
 * largest there is.
 */
function withGaps(moves: readonly Measured[], job: Job): Move[] {
  const gapOf = (pass: number): number => (job.passes[pass] as Pass).gap;
  const own = moves.map((m) => (m.follows ? gapOf(m.follows.pass) : null));
  const before = carried(own);
  const after = carried([...own].reverse()).reverse();
  const largest = Math.max(...job.passes.map((p) => p.gap));
  return moves.map((m, k) => {
    const gaps = [
      [own[k]],
      [own[k - 1], own[k + 1]],
      m.joins.map((pass) => gapOf(pass)),
      [before[k], after[k]],
      [largest],
    ]
      .map((list) => list.filter((g) => typeof g === "number"))
      .find((list) => list.length > 0) as number[];
    return { ...m, gap: Math.max(...gaps) };
  });
}

/** Each place takes the last value that stood before it. */
function carried(values: readonly (number | null)[]): (number | null)[] {
  let last: number | null = null;
  return values.map((v) => {
    last = v ?? last;
    return last;
  });
}
