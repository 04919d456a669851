/** What the coverage of one feature means: passes left out, stock left standing, corners that stay. */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { SAME_POINT, SLIVER } from "../base/tolerance.js";
import { contourBox } from "../geometry/contour.js";
import { segmentLength } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import { type Job, type Pass, passesOf } from "../plan/job/job.js";
import {
  type FeaturePass,
  middleOf,
  type Path,
  type PieceCoverage,
  traceTolerance,
  worstExcess,
} from "./coverage.js";
import type { Move } from "./follow.js";
import { checkPassOrder } from "./pass-order.js";
import type { Loosening } from "./people.js";
import type { Unreached } from "./proof.js";
import { type Stretch, stretchLength, union, without } from "./stretches.js";
import { cornersThatStay, unreachedOf } from "./unreached.js";

export interface PassCheck {
  readonly maxExcess: number;
  readonly excessAt: Vec | null;
  readonly unreached: readonly Unreached[];
  readonly findings: readonly Finding[];
}

/** Checks all passes of one feature; `passes` are its coverages in pass order. */
export function checkPasses(
  feature: Feature,
  passes: readonly FeaturePass[],
  path: Path,
  job: Job,
  loose: readonly Loosening[],
): PassCheck {
  const final = passes.at(-1) as FeaturePass;
  const { offset } = job.passes.at(-1) as Pass;
  const worst = worstExcess(final, path, offset);
  const freed = tabThreads(
    feature,
    final,
    path,
    loose.filter((p) => p.featureIndex === final.feature).map((p) => p.thread),
  );
  const unreached = unreachedOf(feature, final, path, job);
  const missing = passes
    .slice(0, -1)
    .map((p) => missingPass(feature, p, final, path, job, freed));
  const findings = [
    ...doesNotFit(feature, final, job),
    ...missing.flat(),
    ...finalPass(feature, final, worst, traceTolerance(job)),
    ...cornersThatStay(feature, unreached),
    ...checkPassOrder(feature, passes, path, job, {
      freed,
      missing: missing.map((found) => found.length > 0),
    }),
  ];
  return {
    maxExcess: standing(worst?.excess ?? 0, feature),
    excessAt: worst?.at ?? null,
    unreached,
    findings,
  };
}

/** A number for the report: rounding of doubles is nothing, and an outline never cut stands as wide as it is. */
function standing(excess: number, feature: Feature): number {
  const { minX, minY, maxX, maxY } = contourBox(feature.contour);
  return excess > SAME_POINT
    ? Math.min(excess, Math.max(maxX - minX, maxY - minY))
    : 0;
}

/** Where no wire of the final offset fits anywhere, nothing was proved. */
function doesNotFit(feature: Feature, final: FeaturePass, job: Job): Finding[] {
  if (final.reachable > SLIVER) return [];
  const at = feature.contour.segments[0]?.start ?? { x: 0, y: 0 };
  const { offset } = job.passes.at(-1) as Pass;
  return [
    {
      code: "proof/does-not-fit",
      severity: "error",
      message: `${feature.id}: nowhere along it is there room for the wire, which runs ${fixed(offset, 4)} mm off the outline; take a thinner wire`,
      where: pair(at),
      feature: feature.id,
    },
  ];
}

function finalPass(
  feature: Feature,
  final: FeaturePass,
  worst: { excess: number; at: Vec } | null,
  tolerance: number,
): Finding[] {
  const missed = final.reachable - final.reached;
  // Where nothing stays the wire ran nearer than it should: that is told as a gouge.
  if (missed <= SLIVER || !worst || worst.excess <= tolerance) return [];
  const amount = Number.isFinite(worst.excess)
    ? `up to ${fixed(worst.excess, 4)} mm of stock stays`
    : "it is not cut at all";
  return [
    {
      code: "proof/excess",
      severity: "error",
      message: `${feature.id}: the final pass leaves out ${fixed(missed, 4)} mm of the outline that a wire can reach; ${amount}, at ${placeText(pair(worst.at))}; correct the path there`,
      where: pair(worst.at),
      feature: feature.id,
    },
  ];
}

/** An earlier pass that left out more than the tab which a part keeps until the end. */
function missingPass(
  feature: Feature,
  pass: FeaturePass,
  final: FeaturePass,
  path: Path,
  job: Job,
  freed: readonly number[],
): Finding[] {
  const missed = pass.reachable - pass.reached;
  if (missed <= SLIVER) return [];
  const left =
    feature.role === "part" && missed < pass.reachable / 2
      ? pass.pieces.map((c) => ({
          c,
          missed: withoutTab(c, final, path, freed),
        }))
      : pass.pieces.map((c) => ({ c, missed: c.missed }));
  const length = left.reduce(
    (sum, { c, missed: m }) => sum + stretchLength(c.ideal.path, m),
    0,
  );
  if (length <= SLIVER) return [];
  const longest = left
    .flatMap(({ c, missed: list }) =>
      list.map((s) => ({
        long: segmentLength(c.ideal.path) * (s.to - s.from),
        at: middleOf(c.ideal, s),
      })),
    )
    .reduce((a, b) => (b.long > a.long ? b : a));
  const { number, offset } = passesOf(job, feature.id)[pass.pass] as Pass;
  const all = length > pass.reachable * 0.99;
  return [
    {
      code: "proof/pass-missing",
      severity: "error",
      message: `${feature.id}: pass ${number} (offset ${fixed(offset, 4)} mm) ${all ? "is missing" : `leaves out ${fixed(length, 4)} mm of the outline, most of it at ${placeText(pair(longest.at))}`}; the passes after it meet more stock than they are set for`,
      where: pair(longest.at),
      feature: feature.id,
    },
  ];
}

/**
 * The thread that frees a part, and those after all earlier passes, with the final pass alone: of several tabs each is
 * cut in a thread of its own, and the last one frees it.
 */
function tabThreads(
  feature: Feature,
  { feature: index, pass }: FeaturePass,
  path: Path,
  freeing: readonly number[],
): readonly number[] {
  if (feature.role !== "part" || freeing.length === 0) return freeing;
  let early = -1;
  const last = new Set<number>();
  for (const { follows, thread } of path.moves)
    if (follows?.feature === index) {
      if (follows.pass === pass) last.add(thread);
      else early = thread;
    }
  return [...freeing, ...[...last].filter((thread) => thread > early)];
}

/**
 * What a pass missed, without the stretch that the final pass cuts in the thread that frees the part: a part's tab is
 * cut once, last, at the finish offset.
 */
function withoutTab(
  c: PieceCoverage,
  final: FeaturePass,
  path: Path,
  freed: readonly number[],
): readonly Stretch[] {
  if (c.missed.length === 0) return c.missed;
  const same = final.pieces.find((p) => p.ideal.key === c.ideal.key);
  if (!same) return c.missed;
  const tab = same.runs.filter((r) =>
    freed.includes((path.moves[r.move] as Move).thread),
  );
  return without(c.missed, union(tab)).filter(
    (s) => (s.to - s.from) * segmentLength(c.ideal.path) > SLIVER,
  );
}
