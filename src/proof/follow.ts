/**
 * Which pass each move of the wire belongs to, measured: a move that keeps one pass's offset to a finished outline all
 * along follows it on that pass. Leads burn with the gap of the pass they join. Comments are not asked.
 */
import {
  ARC_RADIUS_REFUSED,
  COARSE_STEPS,
  FOLLOWING,
} from "../base/tolerance.js";
import {
  type Segment,
  segmentBox,
  segmentLength,
} from "../geometry/segment.js";
import { type Job, type Pass, passesOf } from "../plan/job/job.js";
import type { WireMove } from "./feed.js";
import type { Edge, Ground } from "./ground.js";
import { between, pointTo, toCarrier } from "./measure.js";
import { type SlitLines, slitsFollowed } from "./slits.js";
import { xAt, yAt } from "./stretches.js";
import type { Thread } from "./wire.js";

export interface Move extends WireMove {
  /** Index of the thread, counted through the program. */
  readonly thread: number;
  /** Index of the feature it follows and of the pass, or null for a lead. */
  readonly follows: { readonly feature: number; readonly pass: number } | null;
  /** Index of the slit whose line it keeps to; such a move follows nothing else. */
  readonly slit: number | null;
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
  slits: SlitLines,
  job: Job,
  onThread?: () => void,
): Move[] {
  const reach =
    Math.max(...job.passes.map((p) => p.offset)) + 2 * following(job);
  return threads.flatMap((thread, t) => {
    onThread?.();
    const cut = slitsFollowed(
      thread.moves.map((m) => m.segment),
      slits,
    );
    return withGaps(
      thread.moves.map((m, k) => {
        const of = measured(m, t, ground, job, reach);
        const slit = cut[k] ?? null;
        return slit === null ? of : { ...of, slit, follows: null };
      }),
      job,
    );
  });
}

/** How far (mm) a move may keep from a pass's offset and follow it: a coarse grid does not let it keep nearer. */
const following = ({ program }: Job): number =>
  Math.max(FOLLOWING, COARSE_STEPS * program.resolution);

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
  const near = nearTo(segment, ground, reach);
  const { edges } = near;
  const slack = following(job);
  const long = segmentLength(segment);
  const clearance = closest(
    near,
    long / 2,
    (k) => between(segment, (ground.edges[k] as Edge).segment).distance,
  ).distance;
  /** The nearest edge at a fraction, and how far it is. */
  let nearest = -1;
  const look = (t: number): number => {
    const x = xAt(segment, t);
    const y = yAt(segment, t);
    const found = closest(near, long * Math.abs(t - 0.5), (k) =>
      pointTo((ground.edges[k] as Edge).segment, x, y),
    );
    nearest = found.edge;
    return found.distance;
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
  const pass = nearestPass(passes(), middle, slack);
  const feature = ground.edges[nearest]?.feature;
  const offset = passes()[pass]?.offset;
  if (
    feature !== undefined &&
    offset !== undefined &&
    along &&
    LOOKS.every((t) => {
      const off = look(t) - offset;
      // Run on past an outside corner, it still keeps its offset to the line or circle of the edge.
      return off > slack
        ? Math.abs(
            toCarrier(along, xAt(segment, t), yAt(segment, t)) - offset,
          ) <= slack
        : off >= -slack;
    })
  )
    return {
      ...move,
      thread,
      follows: { feature, pass },
      slit: null,
      joins: [],
      away,
      passing: pass,
      clearance,
      edges,
    };
  const joins = [0, 1]
    .map((t) => {
      const far = look(t);
      return nearestPass(passes(), far, slack);
    })
    .filter((k) => k >= 0);
  const passing = pass < 0 ? null : pass;
  return {
    ...move,
    thread,
    follows: null,
    slit: null,
    joins,
    away,
    passing,
    clearance,
    edges,
  };
}

/** The edges that come near a move, and how far (mm) its middle is from each. */
interface Near {
  readonly edges: readonly number[];
  readonly far: readonly number[];
  /** Place in the lists of the one nearest to the middle. */
  readonly first: number;
}

function nearTo(move: Segment, ground: Ground, reach: number): Near {
  const [x, y] = [xAt(move, 0.5), yAt(move, 0.5)];
  const edges = ground.index.near(segmentBox(move), reach);
  const far: number[] = [];
  let first = 0;
  for (const k of edges) {
    far.push(pointTo((ground.edges[k] as Edge).segment, x, y));
    if ((far.at(-1) as number) < (far[first] as number)) first = far.length - 1;
  }
  return { edges, far, first };
}

/**
 * The edge nearest to something that lies within `off` mm of the move's middle, and no nearer to an edge than the
 * middle is but by that; an arc's end may lie off its circle. Edge -1 at Infinity when none is near.
 */
function closest(
  { edges, far, first }: Near,
  off: number,
  distanceTo: (edge: number) => number,
): { readonly edge: number; readonly distance: number } {
  if (edges.length === 0)
    return { edge: -1, distance: Number.POSITIVE_INFINITY };
  let edge = edges[first] as number;
  let distance = distanceTo(edge);
  for (let i = 0; i < edges.length; i++) {
    if (
      i === first ||
      (far[i] as number) - off - ARC_RADIUS_REFUSED >= distance
    )
      continue;
    const d = distanceTo(edges[i] as number);
    if (d >= distance) continue;
    distance = d;
    edge = edges[i] as number;
  }
  return { edge, distance };
}

/** Index of the pass whose offset is nearest to a distance, or -1 when none is within `slack`. */
function nearestPass(
  passes: readonly Pass[],
  distance: number,
  slack: number,
): number {
  let best = -1;
  let least = slack;
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
  const own = moves.map((m) =>
    m.slit !== null ? gapOf(0) : m.follows ? gapOf(m.follows.pass) : null,
  );
  const passing = moves.map((m) =>
    m.passing === null ? null : gapOf(m.passing),
  );
  const before = carried(own);
  const after = carried([...own].reverse()).reverse();
  const largest = Math.max(...job.passes.map((p) => p.gap));
  return moves.map((m, k) => ({
    ...m,
    gap:
      own[k] ??
      own[k + 1] ??
      own[k - 1] ??
      passing[k] ??
      widest(passing[k - 1], passing[k + 1]) ??
      widest(...m.joins.map(gapOf)) ??
      (m.away > 0 ? before[k] : m.away < 0 ? after[k] : null) ??
      widest(before[k], after[k]) ??
      largest,
  }));
}

/** The largest of the gaps that are known, if any. */
function widest(
  ...gaps: readonly (number | null | undefined)[]
): number | null {
  return gaps.reduce<number | null>(
    (most, gap) => (gap == null ? most : Math.max(most ?? gap, gap)),
    null,
  );
}

/** Each place takes the last value that stood before it. */
function carried(values: readonly (number | null)[]): (number | null)[] {
  let last: number | null = null;
  return values.map((v) => {
    last = v ?? last;
    return last;
  });
}
