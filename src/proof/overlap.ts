/**
 * Where strokes of the final pass begin and end the wire must have been twice, or a line stays on the face. Measured
 * back along each stroke from its ends.
 */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { segmentBox, segmentLength } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Job } from "../plan/job/job.js";
import { type FeaturePass, type Path, traceTolerance } from "./coverage.js";
import type { Move } from "./follow.js";
import { type Stretch, stretchesWithin, union } from "./stretches.js";

/** Share of the asked overlap that must be there: it is asked along one pass and measured along another. */
const ENOUGH = 0.5;

/** No more of a small outline than this share is asked to be run twice. */
const LARGEST_SHARE = 1 / 8;

/**
 * A warning for an opening whose final pass has less overlap than the job asks for, with the shortest. `strokes` are
 * those of this feature on this pass.
 */
export function checkOverlap(
  feature: Feature,
  final: FeaturePass,
  strokes: readonly (readonly number[])[],
  path: Path,
  job: Job,
): Finding[] {
  // The tab of a part is cut once, by the move that frees it; the plan says what mark that leaves.
  if (feature.role === "part" || job.passes.length < 2) return [];
  const wanted =
    ENOUGH * Math.min(job.lead.overlap, LARGEST_SHARE * final.reachable);
  if (wanted <= 0) return [];
  const ends = strokes.flatMap((stroke) => [
    doubled(stroke, "start", path, job, wanted),
    doubled(stroke, "end", path, job, wanted),
  ]);
  const shortest = ends.reduce((a, b) => (b.length < a.length ? b : a), {
    length: wanted,
    at: { x: 0, y: 0 },
  });
  if (shortest.length >= wanted) return [];
  return [
    {
      code: "proof/overlap-short",
      severity: "warning",
      message: `${feature.id}: at ${placeText(pair(shortest.at))} two strokes of the final pass overlap by ${fixed(shortest.length, 3)} mm (the job asks for ${fixed(job.lead.overlap, 3)} mm); a line may stay on the face`,
      where: pair(shortest.at),
      feature: feature.id,
    },
  ];
}

/** Of each feature, the runs of moves that follow it on one pass without a break, as indices. */
export function strokesByFeature(
  path: Path,
  pass: number,
): ReadonlyMap<number, readonly (readonly number[])[]> {
  const strokes = new Map<number, number[][]>();
  path.moves.forEach((m, k) => {
    if (m.follows?.pass !== pass) return;
    const of = strokes.get(m.follows.feature) ?? [];
    const last = of.at(-1);
    if (
      last?.at(-1) === k - 1 &&
      (path.moves[k - 1] as Move).thread === m.thread
    )
      last.push(k);
    else of.push([k]);
    strokes.set(m.follows.feature, of);
  });
  return strokes;
}

/** How far from its end a stroke runs where another move has run or will run, up to `wanted` mm. */
function doubled(
  stroke: readonly number[],
  end: "start" | "end",
  path: Path,
  job: Job,
  wanted: number,
): { length: number; at: Vec } {
  const order = end === "end" ? [...stroke].reverse() : stroke;
  const tip = (path.moves[order[0] as number] as Move).segment;
  const at = end === "end" ? tip.end : tip.start;
  const tolerance = traceTolerance(job);
  let length = 0;
  for (const k of order) {
    const { segment } = path.moves[k] as Move;
    const others: Stretch[] = [];
    for (const j of path.index.near(segmentBox(segment), tolerance))
      if (Math.abs(j - k) > 1)
        others.push(
          ...stretchesWithin(
            segment,
            (path.moves[j] as Move).segment,
            tolerance,
          ),
        );
    const along = union(others);
    const from =
      end === "end"
        ? along.find((s) => s.to >= 1)
        : along.find((s) => s.from <= 0);
    if (!from) break;
    length += (from.to - from.from) * segmentLength(segment);
    if (from.to - from.from < 1 || length >= wanted) break;
  }
  return { length, at };
}
