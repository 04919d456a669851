/**
 * Trips over what is cut already: a program's body that stands twice, a stroke pasted in again. Every stroke of a good
 * program cuts something new on its pass, be it a tab; what it runs over besides is a joint, or the way to that tab.
 */
import type { Finding } from "../base/finding.js";
import { fixed } from "../base/numbers.js";
import { FOLLOWING, SLIVER } from "../base/tolerance.js";
import { segmentBox, segmentLength } from "../geometry/segment.js";
import { pair } from "../geometry/vec.js";
import type { Layout } from "../plan/feature.js";
import type { Job } from "../plan/job/job.js";
import { type FeaturePass, type Path, traceTolerance } from "./coverage.js";
import type { Move } from "./follow.js";
import { strokesByFeature } from "./overlap.js";
import { stretchesWithin, stretchLength, union } from "./stretches.js";

/** Of an outline, more of it than this, run on over after all of it is cut, is no joint. */
const MORE_THAN_A_JOINT = 1 / 2;

interface Repeat {
  readonly feature: string;
  readonly pass: number;
  /** Indices of the moves that cut nothing new. */
  readonly moves: readonly number[];
  readonly long: number;
}

/** One warning for the whole program, with the first block of what is cut again. */
export function cutAgain(
  covered: readonly FeaturePass[],
  path: Path,
  layout: Layout,
  job: Job,
): Finding[] {
  const repeats = job.passes
    .flatMap((_, pass) => {
      const strokes = strokesByFeature(path, pass);
      return covered
        .filter((c) => c.pass === pass)
        .flatMap((c) =>
          repeatedStrokes(c, strokes.get(c.feature) ?? [], path, layout, job),
        );
    })
    .sort((a, b) => (a.moves[0] as number) - (b.moves[0] as number));
  const first = repeats[0];
  if (!first) return [];
  const { segment, line } = path.moves[first.moves[0] as number] as Move;
  const since = first.moves
    .flatMap((k) =>
      earlier(k, path)
        .filter((j) => runsAlong(k, j, path, job).length > 0)
        .map((j) => (path.moves[j] as Move).line),
    )
    .reduce((least, of) => Math.min(least, of), line);
  const long = repeats.reduce((sum, r) => sum + r.long, 0);
  const names = [...new Set(repeats.map((r) => r.feature))];
  return [
    {
      code: "proof/cut-again",
      severity: "warning",
      message: `program line ${line}: from here on the wire cuts again what is cut already, along ${first.feature} on pass ${first.pass + 1} as from line ${since} on${
        repeats.length > 1
          ? `, and so in ${repeats.length - 1} more strokes${names.length > 1 ? ` along ${names.length} outlines` : ""}`
          : ""
      }: ${fixed(long, 1)} mm in all; do blocks stand twice? Take them out; or, where a trip is to take next to nothing, make it a pass of the job`,
      where: pair(segment.start),
      feature: first.feature,
    },
  ];
}

function repeatedStrokes(
  c: FeaturePass,
  strokes: readonly (readonly number[])[],
  path: Path,
  layout: Layout,
  job: Job,
): Repeat[] {
  const id = layout.features[c.feature]?.id ?? "";
  const { lead, wire } = job;
  const joint = lead.overlap + wire.diameter;
  const lengthOf = (moves: readonly number[]): number =>
    moves.reduce(
      (sum, k) => sum + segmentLength((path.moves[k] as Move).segment),
      0,
    );
  // Without any such trip a pass is hardly longer than what it reaches: nothing to look at.
  if (lengthOf(strokes.flat()) <= c.reached + joint) return [];
  return strokes.flatMap((stroke) => {
    const fresh = stroke.findLastIndex((k) => !isRepeat(k, path, job));
    const moves = stroke.slice(fresh + 1);
    const long = lengthOf(moves);
    const most = fresh < 0 ? joint : MORE_THAN_A_JOINT * c.reachable;
    return long > most ? [{ feature: id, pass: c.pass, moves, long }] : [];
  });
}

/** Has all of a move been cut before it on its own pass? */
function isRepeat(k: number, path: Path, job: Job): boolean {
  const { segment } = path.moves[k] as Move;
  const done = union(
    earlier(k, path).flatMap((j) => runsAlong(k, j, path, job)),
  );
  return segmentLength(segment) - stretchLength(segment, done) <= SLIVER;
}

/** The moves before one that follow what it follows, on the same pass, and come near it. */
function earlier(k: number, { moves, index }: Path): number[] {
  const { segment, follows } = moves[k] as Move;
  return index.near(segmentBox(segment), FOLLOWING).filter((j) => {
    const of = moves[j] as Move;
    return (
      j < k &&
      of.follows?.feature === follows?.feature &&
      of.follows?.pass === follows?.pass
    );
  });
}

const runsAlong = (k: number, j: number, path: Path, job: Job) =>
  stretchesWithin(
    (path.moves[k] as Move).segment,
    (path.moves[j] as Move).segment,
    traceTolerance(job),
  );
