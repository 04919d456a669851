/** Does every pass come where the one before it has been, and not earlier? */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { segmentLength } from "../geometry/segment.js";
import { pair } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Job, Pass } from "../plan/job/job.js";
import {
  type FeaturePass,
  middleOf,
  type Path,
  type PieceCoverage,
  type Run,
  traceTolerance,
} from "./coverage.js";
import type { Move } from "./follow.js";
import { common, type Stretch, union, without } from "./stretches.js";

/**
 * A later pass where the one before it comes only after it, or never: it cuts full stock at fine power. Told once a
 * pair, with the longest stretch. Less than the kerf's radius lies in the round end of the earlier kerf and is only
 * worth a warning. `known.freed`: the threads that free the part; they cut its tab with the last pass alone;
 * `known.missing`: the passes of which it is told already that they are missing somewhere.
 */
export function checkPassOrder(
  feature: Feature,
  passes: readonly FeaturePass[],
  path: Path,
  job: Job,
  known: {
    readonly freed: readonly number[];
    readonly missing: readonly boolean[];
  },
): Finding[] {
  const findings: Finding[] = [];
  for (let k = 1; k < passes.length; k++) {
    const early = passes[k - 1] as FeaturePass;
    const late = passes[k] as FeaturePass;
    const before = new Map(early.pieces.map((p) => [p.ideal.key, p]));
    const wrong = late.pieces.flatMap((p) => {
      const first = before.get(p.ideal.key);
      if (!first) return [];
      const along = inOrder(followed(first, early, path));
      return followed(p, late, path)
        .filter((r) => !cutsTab(r, feature, late, job, path, known.freed))
        .flatMap((run) =>
          tooEarly(
            run,
            first,
            along,
            feature.role === "part" && !known.missing[k - 1],
          ).map((s) => ({
            run,
            long: (s.to - s.from) * segmentLength(p.ideal.path),
            at: middleOf(p.ideal, s),
          })),
        );
    });
    if (wrong.length === 0) continue;
    const { run, long, at } = wrong.reduce((a, b) => (b.long > a.long ? b : a));
    const { gap } = job.passes[k - 1] as Pass;
    const kerf = job.wire.diameter / 2 + gap;
    // Beyond the end of a kerf its round end falls back by s² / 2r: under what a trace can tell, nothing more stands.
    if (long ** 2 <= 2 * kerf * traceTolerance(job)) continue;
    const { line } = path.moves[run.move] as Move;
    findings.push({
      code: "proof/pass-order",
      severity: long > kerf ? "error" : "warning",
      message: `program line ${line}: ${feature.id}: pass ${k + 1} runs over ${fixed(long, 3)} mm at ${placeText(pair(at))} where pass ${k} has not been; cut from the largest offset to the smallest`,
      where: pair(at),
      feature: feature.id,
    });
  }
  return findings;
}

/** The last pass of a part in the thread that frees it: it cuts the tab, with no pass before it. */
function cutsTab(
  run: Run,
  feature: Feature,
  late: FeaturePass,
  job: Job,
  path: Path,
  freed: readonly number[],
): boolean {
  return (
    feature.role === "part" &&
    late.pass === job.passes.length - 1 &&
    freed.includes((path.moves[run.move] as Move).thread)
  );
}

/** Of a run the stretches where the pass before it comes later, or on a part (where a tab may stay) never. */
function tooEarly(
  run: Run,
  first: PieceCoverage,
  along: RunsInOrder,
  mayHaveTab: boolean,
): Stretch[] {
  const runs = beside(run, along);
  const due = runs.filter((r) => r.move > run.move);
  const never = mayHaveTab ? first.missed : [];
  if (due.length + never.length === 0) return [];
  const done = runs.filter((r) => r.move < run.move);
  return common(without([run], union(done)), union([...due, ...never]));
}

/** Runs by where they begin, and how far each and those before it come: an outline may have them by the ten thousand. */
interface RunsInOrder {
  readonly runs: readonly Run[];
  readonly reach: readonly number[];
}

function inOrder(of: readonly Run[]): RunsInOrder {
  const runs = [...of].sort((a, b) => a.from - b.from);
  let most = 0;
  return { runs, reach: runs.map((r) => (most = Math.max(most, r.to))) };
}

/** The runs that share some of a stretch. */
function beside({ from, to }: Stretch, { runs, reach }: RunsInOrder): Run[] {
  let [low, high] = [0, runs.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((reach[middle] as number) < from) low = middle + 1;
    else high = middle;
  }
  const found: Run[] = [];
  for (let k = low; k < runs.length && (runs[k] as Run).from <= to; k++)
    if ((runs[k] as Run).to >= from) found.push(runs[k] as Run);
  return found;
}

/** The runs of moves that follow the outline on this very pass; others only cross its path. */
function followed(c: PieceCoverage, of: FeaturePass, path: Path): Run[] {
  return c.runs.filter((r) => {
    const { follows } = path.moves[r.move] as Move;
    return follows?.feature === of.feature && follows.pass === of.pass;
  });
}
