/**
 * Which pass each move of the wire belongs to, measured: a move that keeps one pass's offset to a finished outline all
 * along follows it on that pass. Leads burn with the gap of the pass they join. Comments are not asked.
 */
import { FOLLOWING } from "../base/tolerance.js";
import { segmentBox } from "../geometry/segment.js";
import { type Job, type Pass, passesOf } from "../plan/job.js";
import type { WireMove } from "./feed.js";
import { boxGap, type Edge, type Ground } from "./ground.js";
import { between, pointTo, toCarrier } from "./measure.js";
import { xAt, yAt } from "./stretches.js";
import type { Thread } from "./wire.js";

export interface Move extends WireMove {
  /** Index of the thread, counted through the program. */
  readonly thread: number;
  /** Index of the feature it follows and of the pass, or null for a lead. */
  readonly follows: { readonly feature: number; readonly pass: number } | null;
  /** Of a lead, the passes at whose offsets its ends lie. */
  readonly joins: readonly number[];
  /** Its end is nearer to a finished outline than its start (below 0), as near, or farther. */
  readonly away: number;
  /** The pass at whose offset its middle lies: another coordinate of it may be wrong. */
  readonly passing: number | null;
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
  const box = segmentBox(segment);
  const edges = ground.index.near(box, reach);
  let clearance = Number.POSITIVE_INFINITY;
  for (const k of edges) {
    const edge = ground.edges[k] as Edge;
    if (boxGap(box, edge.box) >= clearance) continue;
    clearance = Math.min(clearance, between(segment, edge.segment).distance);
  }
  /** The nearest edge at a fraction, and how far it is. */
  let nearest = -1;
  const look = (t: number): number => {
    const x = xAt(segment, t);
    const y = yAt(segment, t);
    let distance = Number.POSITIVE_INFINITY;
    for (const k of edges) {
      const d = pointTo((ground.edges[k] as Edge).segment, x, y);
      if (d < distance) {
        distance = d;
        nearest = k;
      }
    }
    return distance;
  };
  /** The passes of the feature that is nearest where the last look was. */
  const passes = (): readonly Pass[] => {
    const of = ground.edges[nearest]?.feature ?? -1;
    return passesOf(job, ground.layout.features[of]?.id ?? "");
  };
  const [begin, end] = [look(0), look(1)];
  const away = begin === end ? 0 : end - begin;
  const middle = look(0.5);
  const along = ground.edges[nearest]?.segment;
  const pass = nearestPass(passes(), middle);
  const feature = ground.edges[nearest]?.feature;
  const offset = passes()[pass]?.offset;
  if (
    feature !== undefined &&
    offset !== undefined &&
    along &&
    LOOKS.every((t) => {
      const off = look(t) - offset;
      // Run on past an outside corner, it still keeps its offset to the line or circle of the edge.
      return off > FOLLOWING
        ? Math.abs(
            toCarrier(along, xAt(segment, t), yAt(segment, t)) - offset,
          ) <= FOLLOWING
        : off >= -FOLLOWING;
    })
  )
    return {
      ...move,
      thread,
      follows: { feature, pass },
      joins: [],
      away,
      passing: pass,
      clearance,
      edges,
    };
  const joins = [0, 1]
    .map((t) => {
      const far = look(t);
      return nearestPass(passes(), far);
    })
    .filter((k) => k >= 0);
  const passing = pass < 0 ? null : pass;
  return {
    ...move,
    thread,
    follows: null,
    joins,
    away,
    passing,
    clearance,
    edges,
  };
}

/** Index of the pass whose offset is nearest to a distance, or -1 when none is near. */
function nearestPass(passes: readonly Pass[], distance: number): number {
  let best = -1;
  let least = FOLLOWING;
  for (let k = 0; k < passes.length; k++) {
    const off = Math.abs((passes[k] as Pass).offset - distance);
    if (off < least) {
      least = off;
      best = k;
    }
  }
  return best;
}

/**
 * A lead that goes straight into a pass burns with that pass's gap, one that comes off a pass with the gap of that.
 * Where no neighbour follows a pass, one that passes by at its offset tells it. Another lead burns as the passes at whose
 * offsets its ends lie; another, if it goes towards an outline, as the next followed move, if away from one, as the last
 * one; in a thread that follows nothing, with the largest gap there is.
 */
function withGaps(moves: readonly Measured[], job: Job): Move[] {
  const gapOf = (pass: number): number => (job.passes[pass] as Pass).gap;
  const own = moves.map((m) => (m.follows ? gapOf(m.follows.pass) : null));
  const passing = moves.map((m) =>
    m.passing === null ? null : gapOf(m.passing),
  );
  const before = carried(own);
  const after = carried([...own].reverse()).reverse();
  const largest = Math.max(...job.passes.map((p) => p.gap));
  return moves.map((m, k) => {
    const gaps = [
      [own[k]],
      [own[k + 1]],
      [own[k - 1]],
      [passing[k]],
      [passing[k - 1], passing[k + 1]],
      m.joins.map((pass) => gapOf(pass)),
      m.away > 0 ? [before[k]] : m.away < 0 ? [after[k]] : [],
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
