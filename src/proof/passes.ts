/** What the coverage means: passes left out, stock left standing, corners that stay, the order of passes, overlaps. */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { MAX_GOUGE, SAME_POINT, SLIVER } from "../base/tolerance.js";
import { contourBox, windingNumber } from "../geometry/contour.js";
import { segmentLength } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Job, Pass } from "../plan/job.js";
import {
  type FeaturePass,
  middleOf,
  nearestMove,
  outlineAt,
  type Path,
  type PieceCoverage,
  type Run,
  worstExcess,
} from "./coverage.js";
import type { Move } from "./follow.js";
import type { Loosening } from "./people.js";
import {
  type Stretch,
  stretchLength,
  union,
  WHOLE,
  without,
} from "./stretches.js";

export interface PassCheck {
  readonly maxExcess: number;
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
  const findings = [
    ...doesNotFit(feature, final, job),
    ...passes
      .slice(0, -1)
      .flatMap((p) => missingPass(feature, p, final, path, job, loose)),
    ...finalPass(feature, final, worst),
    ...cornersThatStay(feature, final, path, offset),
    ...passOrder(feature, passes, path),
  ];
  return { maxExcess: standing(worst?.excess ?? 0, feature), findings };
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
): Finding[] {
  const missed = final.reachable - final.reached;
  if (missed <= SLIVER || !worst) return [];
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
  loose: readonly Loosening[],
): Finding[] {
  const missed = pass.reachable - pass.reached;
  if (missed <= SLIVER) return [];
  const freed = loose
    .filter((p) => windingNumber(feature.contour, p.at) !== 0)
    .map((p) => p.thread);
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
  const { number, offset } = job.passes[pass.pass] as Pass;
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

/** Looks along a stretch that no wire of the final offset can reach. */
const LOOKS = 4;

/** Inside corners tighter than the wire: one note a feature, with the worst of them. */
function cornersThatStay(
  feature: Feature,
  final: FeaturePass,
  path: Path,
  offset: number,
): Finding[] {
  const places = unreached(final);
  let worst: { excess: number; at: Vec } | null = null;
  for (const at of places.flat()) {
    const excess = nearestMove(path, at) - offset;
    if (Number.isFinite(excess) && excess > (worst?.excess ?? MAX_GOUGE))
      worst = { excess, at };
  }
  if (!worst) return [];
  return [
    {
      code: "proof/corner-stays",
      severity: "note",
      message: `${feature.id}: the outline is tighter than the wire at ${places.length} ${places.length === 1 ? "place" : "places"}; up to ${fixed(worst.excess, 4)} mm of stock stays, at ${placeText(pair(worst.at))}`,
      where: pair(worst.at),
      feature: feature.id,
    },
  ];
}

/** The corners that no wire of the final offset fits into, each as places on the outline to look at. */
function unreached(final: FeaturePass): Vec[][] {
  const corners: Vec[][] = [];
  // What ends one piece and begins the next is one corner.
  let open = false;
  let first = false;
  final.pieces.forEach(({ ideal }, i) => {
    const long = segmentLength(ideal.path);
    const gaps = without([WHOLE], ideal.reachable).filter(
      (s) => (s.to - s.from) * long > SLIVER,
    );
    for (const s of gaps) {
      const places = Array.from({ length: LOOKS + 1 }, (_, k) =>
        outlineAt(ideal, s.from + ((s.to - s.from) * k) / LOOKS),
      );
      if (open && s.from === 0) corners.at(-1)?.push(...places);
      else corners.push(places);
      open = false;
    }
    if (i === 0) first = gaps[0]?.from === 0;
    open = gaps.at(-1)?.to === 1;
  });
  if (open && first && corners.length > 1)
    corners[0]?.push(...(corners.pop() as Vec[]));
  return corners;
}

/** A later pass that comes before an earlier one cuts full stock at fine power: told once a pair. */
function passOrder(
  feature: Feature,
  passes: readonly FeaturePass[],
  path: Path,
): Finding[] {
  const findings: Finding[] = [];
  for (let k = 1; k < passes.length; k++) {
    const early = passes[k - 1] as FeaturePass;
    const late = passes[k] as FeaturePass;
    const before = new Map(
      early.pieces.map((p) => [p.ideal.key, followed(p, early, path)]),
    );
    const wrong = late.pieces
      .flatMap((p) => followed(p, late, path).map((run) => ({ p, run })))
      .find(({ p, run }) => {
        const middle = (run.from + run.to) / 2;
        const first = firstAt(before.get(p.ideal.key) ?? [], middle);
        return first !== null && first > run.move;
      });
    if (!wrong) continue;
    const at = middleOf(wrong.p.ideal, wrong.run);
    const { line } = path.moves[wrong.run.move] as Move;
    findings.push({
      code: "proof/pass-order",
      severity: "error",
      message: `program line ${line}: ${feature.id}: pass ${k + 1} comes before pass ${k} at ${placeText(pair(at))}; cut from the largest offset to the smallest`,
      where: pair(at),
      feature: feature.id,
    });
  }
  return findings;
}

/** The runs of moves that follow the outline on this very pass; others only cross its path. */
function followed(c: PieceCoverage, of: FeaturePass, path: Path): Run[] {
  return c.runs.filter((r) => {
    const { follows } = path.moves[r.move] as Move;
    return follows?.feature === of.feature && follows.pass === of.pass;
  });
}

/** The first move that ran along a piece at a fraction, if any. */
function firstAt(runs: readonly Run[], t: number): number | null {
  let first: number | null = null;
  for (const r of runs)
    if (r.from <= t && t <= r.to && (first === null || r.move < first))
      first = r.move;
  return first;
}
