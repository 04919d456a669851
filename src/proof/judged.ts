/** Everything that is asked of the wire's way, once it is known; in the drawing's coordinates. */
import { type Finding, hasErrors } from "../base/finding.js";
import { foldedByCause } from "../base/folded.js";
import { trimmed } from "../base/numbers.js";
import { COARSE_STEPS, MAX_GOUGE } from "../base/tolerance.js";
import type { Job } from "../plan/job/job.js";
import type { ProgramText } from "../program/moves.js";
import { cutAgain } from "./again.js";
import {
  coverFeatures,
  type FeaturePass,
  type Path,
  pathOf,
} from "./coverage.js";
import { followOutlines } from "./follow.js";
import { checkGouge, type GougeCheck } from "./gouge.js";
import type { Ground } from "./ground.js";
import { freshKerf } from "./kerf.js";
import { checkOverlap, strokesByFeature } from "./overlap.js";
import { checkPasses, type PassCheck } from "./passes.js";
import { checkPeople, mainFeatures, type PeopleCheck } from "./people.js";
import { findPieces } from "./pieces.js";
import { checkSlits, type SlitCheck, type SlitLines } from "./slits.js";
import { checkTabs } from "./tabs.js";
import { checkThreadPlaces, type ThreadPlaces } from "./thread-places.js";
import type { Thread } from "./wire.js";

/** How far a proof is, in steps of about equal work. */
export type Progress = (done: number, total: number) => void;

export interface Judged {
  readonly path: Path;
  readonly gouge: GougeCheck;
  readonly people: PeopleCheck;
  readonly threadPlaces: ThreadPlaces;
  /** Every pass of every feature, in that order. */
  readonly covered: readonly FeaturePass[];
  readonly slits: readonly SlitCheck[];
  /** Of every feature. */
  readonly passes: readonly PassCheck[];
  /** Of what the wire cuts, in the order in which they are told. */
  readonly cuts: readonly Finding[];
  /** Of what it leaves: passes, overlaps and slits. */
  readonly left: readonly Finding[];
}

/** `wire`: what is wrong with how the wire is handled, which is told first. */
export function judgeThreads(
  threads: readonly Thread[],
  wire: readonly Finding[],
  program: ProgramText,
  ground: Ground,
  lines: SlitLines,
  job: Job,
  onProgress?: Progress,
): Judged {
  const { layout } = ground;
  // Threads are followed; then pieces, coverage and passes are each looked at outline by outline.
  const outlines = layout.features.length;
  const total = threads.length + 3 * outlines;
  let done = 0;
  const step = (): void => onProgress?.(++done, total);
  const path = pathOf(followOutlines(threads, ground, lines, job, step));
  const gouge = checkGouge(path.moves, threads, ground, job);
  const clusters = findPieces(
    freshKerf(path, job),
    layout.stock,
    layout.holes,
    (i, of) => {
      done = threads.length + Math.floor((outlines * i) / of);
      onProgress?.(done, total);
    },
  );
  const owners = mainFeatures(path.moves);
  const people = checkPeople(
    clusters,
    path.moves,
    owners,
    program.actions,
    ground,
    job,
  );
  const threadPlaces = checkThreadPlaces(
    threads,
    owners,
    path,
    clusters,
    ground,
    lines,
    job,
  );
  done = threads.length + outlines;
  const covered = coverFeatures(ground, path, job, step);
  const slits = checkSlits(lines, path, ground, job);
  const n = job.passes.length;
  const strokes = strokesByFeature(path, n - 1);
  const overlaps: Finding[][] = [];
  const passes = layout.features.map((feature, i) => {
    step();
    const own = covered.slice(i * n, (i + 1) * n);
    const final = own.at(-1) as FeaturePass;
    overlaps.push(
      checkOverlap(feature, final, strokes.get(i) ?? [], path, job),
    );
    return checkPasses(feature, own, path, job, people.pieces);
  });
  return {
    path,
    gouge,
    people,
    threadPlaces,
    covered,
    slits,
    passes,
    cuts: [
      ...foldedByCause([...wire, ...threadPlaces.findings]),
      ...gouge.findings,
      ...(hasErrors([...wire, ...gouge.findings]) ? coarseGrid(job) : []),
      ...people.findings,
      ...checkTabs(people.pieces, path.moves, ground, job),
    ],
    left: [
      ...passes.flatMap((p, i) => [...p.findings, ...(overlaps[i] ?? [])]),
      ...slits.flatMap((s) => s.findings),
      // A stroke with another pass's offset is that: its own pass is missing, and no block stands twice.
      ...cutAgain(
        covered.filter(
          (c) =>
            !passes[c.feature]?.findings.some(
              (f) => f.code === "proof/pass-missing",
            ),
        ),
        path,
        layout,
        job,
      ),
    ],
  };
}

/** Rounding shifts an end by up to 0.7 steps and an arc by as much again: the likely cause of small faults on a coarse grid. */
function coarseGrid(job: Job): Finding[] {
  const { resolution } = job.program;
  if (COARSE_STEPS * resolution <= MAX_GOUGE) return [];
  return [
    {
      code: "proof/coarse-grid",
      severity: "warning",
      message: `coordinates rounded to steps of ${trimmed(resolution, 6)} mm may lie up to ${trimmed(COARSE_STEPS * resolution, 4)} mm off, and ${MAX_GOUGE} mm is what the finished edge allows; set program.resolution to ${trimmed(MAX_GOUGE / COARSE_STEPS, 4)} mm or finer, or round away from the edge`,
    },
  ];
}
