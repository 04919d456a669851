/**
 * Did each pass run where it should? For every pass the stretches of its ideal path that a wire can reach are compared
 * with the path in the program; what the final pass left standing is measured.
 */
import { SAME_POINT, SLIVER, TRACED, TRACED_STEPS } from "../base/tolerance.js";
import {
  type Box,
  type Segment,
  segmentBox,
  segmentLength,
  tangentAt,
} from "../geometry/segment.js";
import { cross, sub, type Vec } from "../geometry/vec.js";
import { type Job, type Pass, passesOf } from "../plan/job/job.js";
import type { Move } from "./follow.js";
import { type BoxIndex, type Ground, indexOf, pointBox } from "./ground.js";
import { type Ideal, idealPath } from "./ideal.js";
import { between, fractionOfArc, nearestPoint, pointTo } from "./measure.js";
import {
  type Stretch,
  stretchesWithin,
  stretchLength,
  union,
  WHOLE,
  without,
  xAt,
  yAt,
} from "./stretches.js";

/** A stretch of one ideal piece and the moves that run along it. */
export interface Run extends Stretch {
  /** Index into the program's moves. */
  readonly move: number;
}

export interface PieceCoverage {
  readonly ideal: Ideal;
  readonly runs: readonly Run[];
  /** What a wire could reach and this pass did not. */
  readonly missed: readonly Stretch[];
}

export interface FeaturePass {
  readonly feature: number;
  /** Index of the pass. */
  readonly pass: number;
  readonly pieces: readonly PieceCoverage[];
  /** mm of ideal path that a wire can reach, and that this one did. */
  readonly reachable: number;
  readonly reached: number;
}

export interface Path {
  readonly moves: readonly Move[];
  readonly index: BoxIndex;
}

export function pathOf(moves: readonly Move[]): Path {
  return { moves, index: indexOf(moves.map((m) => m.segment)) };
}

/** How far off its ideal path (mm) a pass may run and still count as there. */
export function traceTolerance(job: Job): number {
  return Math.max(TRACED, TRACED_STEPS * job.program.resolution);
}

/** Every pass of every feature, in that order. */
export function coverFeatures(
  ground: Ground,
  path: Path,
  job: Job,
  onFeature?: () => void,
): FeaturePass[] {
  const tolerance = traceTolerance(job);
  return ground.layout.features.flatMap(({ id }, feature) => {
    onFeature?.();
    return passesOf(job, id).map((pass, k) => {
      const { offset } = pass;
      // On the last pass nearer is too deep, which is told by that name; before it, it is another pass.
      const least = k === job.passes.length - 1 ? 0 : offset - tolerance;
      const covered = idealPath(ground, feature, offset).map((ideal) =>
        coverPiece(ideal, path, tolerance, least, offset + tolerance),
      );
      let reachable = 0;
      let missed = 0;
      for (const c of covered) {
        reachable += stretchLength(c.ideal.path, c.ideal.reachable);
        missed += stretchLength(c.ideal.path, c.missed);
      }
      return {
        feature,
        pass: k,
        pieces: covered,
        reachable,
        reached: reachable - missed,
      };
    });
  });
}

/** `least` and `most`: mm from the edge at which a move finishes it. */
function coverPiece(
  ideal: Ideal,
  path: Path,
  tolerance: number,
  least: number,
  most: number,
): PieceCoverage {
  if (ideal.reachable.length === 0) return { ideal, runs: [], missed: [] };
  const q = ideal.path;
  const runs: Run[] = [];
  for (const move of path.index.near(segmentBox(q), tolerance))
    for (const s of stretchesWithin(
      q,
      (path.moves[move] as Move).segment,
      tolerance,
    ))
      runs.push({ ...s, move });
  const long = segmentLength(q);
  const off = without(ideal.reachable, union(runs));
  // Off the ideal path the edge may be finished all the same: by round ends of kerfs, by a corner run on to a point.
  const missed =
    off.length === 0 ? off : without(off, finished(ideal, path, least, most));
  return {
    ideal,
    runs,
    missed: missed.filter((s) => (s.to - s.from) * long > SLIVER),
  };
}

/** The stretches whose edge some move passes on the waste side, no nearer than `least` and no farther than `most`. */
function finished(
  { edge }: Ideal,
  path: Path,
  least: number,
  most: number,
): Stretch[] {
  const segments = path.index
    .near("kind" in edge ? segmentBox(edge) : pointBox(edge), most)
    .map((k) => (path.moves[k] as Move).segment);
  if (!("kind" in edge))
    return segments.some((s) => {
      const d = pointTo(s, edge.x, edge.y);
      return d >= least && d <= most;
    })
      ? [WHOLE]
      : [];
  return union(
    segments.flatMap((s) =>
      isOnTheLeft(edge, s)
        ? without(
            stretchesWithin(edge, s, most),
            least > 0 ? stretchesWithin(edge, s, least) : [],
          )
        : [],
    ),
  );
}

/** Does a move run to the left of an edge (where its waste is) at the place where they are nearest? */
function isOnTheLeft(edge: Segment, move: Segment): boolean {
  const { distance, at } = between(edge, move);
  if (distance === 0) return false;
  const to = nearestPoint(move, at);
  const t =
    edge.kind === "line" ? 0 : Math.min(1, fractionOfArc(edge, at.x, at.y));
  return cross(tangentAt(edge, t), sub(to, at)) >= -SAME_POINT;
}

/** The place on the finished outline that a piece's fraction stands for. */
export function outlineAt(ideal: Ideal, t: number): Vec {
  const { edge } = ideal;
  return "kind" in edge ? { x: xAt(edge, t), y: yAt(edge, t) } : edge;
}

/** mm of stock that a pass left on the edge, least and most over all it ran along; null when it ran nowhere. */
export function stockLeft(
  pass: FeaturePass,
  path: Path,
  job: Job,
): { readonly least: number; readonly most: number } | null {
  const { gap } = job.passes[pass.pass] as Pass;
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (const { ideal, runs } of pass.pieces)
    for (const run of runs) {
      const at = outlineAt(ideal, (run.from + run.to) / 2);
      const { segment, follows } = path.moves[run.move] as Move;
      // Other moves only cross this pass's path.
      if (follows?.feature !== pass.feature || follows.pass !== pass.pass)
        continue;
      const left = pointTo(segment, at.x, at.y) - job.wire.diameter / 2 - gap;
      least = Math.min(least, left);
      most = Math.max(most, left);
    }
  return least <= most ? { least, most } : null;
}

export interface Standing {
  /** mm of stock left. */
  readonly excess: number;
  readonly at: Vec;
}

/** Looks along a stretch that was missed. */
const LOOKS = 16;

/** The most stock that the final pass left where a wire could have taken it; over missed and reached stretches. */
export function worstExcess(
  final: FeaturePass,
  path: Path,
  offset: number,
): Standing | null {
  let worst: Standing | null = null;
  const take = (excess: number, at: Vec): void => {
    if (!worst || excess > worst.excess) worst = { excess, at };
  };
  for (const { ideal, runs, missed } of final.pieces) {
    for (const run of runs) {
      const at = outlineAt(ideal, (run.from + run.to) / 2);
      const s = (path.moves[run.move] as Move).segment;
      take(pointTo(s, at.x, at.y) - offset, at);
    }
    for (const s of missed)
      for (let k = 0; k <= LOOKS; k++) {
        const at = outlineAt(ideal, s.from + ((s.to - s.from) * k) / LOOKS);
        take(nearestMove(path, at) - offset, at);
      }
  }
  return worst;
}

/** mm from a place to the nearest move; Infinity when the program moves nowhere. */
export function nearestMove({ moves, index }: Path, at: Vec): number {
  // Boxes come nearest first, and no move is nearer than its box.
  for (let most = 8; ; most *= 4) {
    const near = index.nearest(at, most).map((k) => (moves[k] as Move).segment);
    const best = near.reduce(
      (d, s) => Math.min(d, pointTo(s, at.x, at.y)),
      Number.POSITIVE_INFINITY,
    );
    const last = near.at(-1);
    if (near.length < most || !last || toBox(segmentBox(last), at) >= best)
      return best;
  }
}

/** mm from a place to a box; 0 inside. */
const toBox = (b: Box, { x, y }: Vec): number => {
  const dx = Math.max(0, b.minX - x, x - b.maxX);
  const dy = Math.max(0, b.minY - y, y - b.maxY);
  return Math.sqrt(dx * dx + dy * dy);
};

/** The middle of a stretch, on the outline. */
export function middleOf(ideal: Ideal, s: Stretch): Vec {
  return outlineAt(ideal, (s.from + s.to) / 2);
}
