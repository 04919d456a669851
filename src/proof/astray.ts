/** A program that is not where the drawing is, or not of it at all: the likely reason, instead of all that follows. */
import { type Finding, hasErrors } from "../base/finding.js";
import { trimmed } from "../base/numbers.js";
import { FOLLOWING } from "../base/tolerance.js";
import { MM_PER_INCH } from "../base/units.js";
import { contourBox } from "../geometry/contour.js";
import {
  type Box,
  segmentBox,
  segmentLength,
  unionBox,
} from "../geometry/segment.js";
import type { Layout } from "../plan/feature.js";
import type { Job } from "../plan/job/job.js";
import type { FeaturePass, Path } from "./coverage.js";
import type { GougeCheck } from "./gouge.js";
import type { Judged } from "./judged.js";
import { pointTo } from "./measure.js";
import {
  isShift,
  type Placing,
  placedThreads,
  placings,
  withArcsExchanged,
} from "./placing.js";
import { xAt, yAt } from "./stretches.js";
import type { Thread } from "./wire.js";

/** Share of all that a wire can reach that a program must finish where it is thought to belong. */
export const FITS = 0.9;

/** A program that fits the drawing, with no edge cut into, once all of it is moved, mirrored or turned. */
export function elsewhere(
  here: Judged,
  threads: readonly Thread[],
  gougeOf: (threads: readonly Thread[]) => GougeCheck,
  judge: (threads: readonly Thread[]) => Judged,
): { readonly finding: Finding; readonly judged: Judged } | null {
  if (!hasErrors(here.gouge.findings) && finished(here.covered) >= FITS)
    return null;
  for (const placing of placings(threads, here.covered)) {
    const there = placedThreads(threads, placing);
    // Asked first, since it takes much less than all the rest.
    if (hasErrors(gougeOf(there).findings)) continue;
    const judged = judge(there);
    if (finished(judged.covered) >= Math.max(FITS, finished(here.covered)))
      return { finding: findingOf(placing), judged };
  }
  return null;
}

/** A program all of whose arcs take the long way round, and no edge is cut into once they take the short one. */
export function arcsExchanged(
  threads: readonly Thread[],
  gougeOf: (threads: readonly Thread[]) => GougeCheck,
): { readonly finding: Finding; readonly threads: readonly Thread[] } | null {
  const arcs = threads
    .flatMap((t) => t.moves)
    .flatMap(({ segment: s }) => (s.kind === "arc" ? [Math.abs(s.sweep)] : []));
  const long = arcs.filter((sweep) => sweep > Math.PI).length;
  if (long <= arcs.length / 2) return null;
  const exchanged = withArcsExchanged(threads);
  return hasErrors(gougeOf(exchanged).findings)
    ? null
    : { finding: ARCS_EXCHANGED, threads: exchanged };
}

const ARCS_EXCHANGED: Finding = {
  code: "proof/arcs-exchanged",
  severity: "error",
  message:
    "the whole program fits the drawing when every arc is run the other way round: exchange G02 and G03. What else is found is told as if that were done",
};

/** Share of what the last pass can reach that it does, over all outlines. */
function finished(covered: readonly FeaturePass[]): number {
  const last = Math.max(...covered.map((c) => c.pass));
  let [reachable, reached] = [0, 0];
  for (const c of covered)
    if (c.pass === last) {
      reachable += c.reachable;
      reached += c.reached;
    }
  return reachable === 0 ? 1 : reached / reachable;
}

function findingOf(placing: Placing): Finding {
  const by = [
    { off: trimmed(placing.by.x, 4), axis: "X" },
    { off: trimmed(placing.by.y, 4), axis: "Y" },
  ]
    .filter(({ off }) => off !== "0")
    .map(({ off, axis }) => `${off} mm in ${axis}`)
    .join(" and ");
  const shift = isShift(placing);
  const mend = [
    ...(shift ? [] : [turnText(placing)]),
    ...(by === "" ? [] : [`moved by ${by}`]),
  ].join(" and then ");
  return {
    code: shift ? "proof/shifted" : "proof/turned",
    severity: "error",
    message: `the whole program fits the drawing when it is ${mend}: ${
      shift
        ? "is its datum where the drawing has its origin?"
        : "was it made for the other side, or the block clamped otherwise?"
    } What else is found is told as if it lay there`,
  };
}

function turnText({ a, b, c, d }: Placing): string {
  if (b === 0 && a * d < 0)
    return `mirrored (every ${a < 0 ? "X" : "Y"} with the other sign)`;
  if (b === 0) return "turned by 180°";
  if (b * c > 0)
    return `mirrored (X and Y exchanged${b > 0 ? "" : ", both with the other sign"})`;
  return `turned by 90° ${c > 0 ? "counter-clockwise" : "clockwise"}`;
}

/** Where no move keeps to an outline, the likely reason is told before all that follows from it. */
export function nothingFollowed(
  { moves }: Path,
  { features }: Layout,
  { passes }: Job,
): Finding[] {
  if (moves.length === 0 || features.length === 0) return [];
  if (moves.some((m) => m.follows !== null || m.slit !== null)) return [];
  const offsets = passes.map((p) => `${trimmed(p.offset, 4)} mm`).join(", ");
  const ratio =
    size(moves.map((m) => segmentBox(m.segment))) /
    size(features.map((f) => contourBox(f.contour)));
  const unit =
    ratio > MM_PER_INCH / 2 && ratio < MM_PER_INCH * 2
      ? "; it is some 25 times as large as they are: does G70 stand for G71, or is the drawing read in a wrong unit?"
      : ratio > 1 / MM_PER_INCH / 2 && ratio < 2 / MM_PER_INCH
        ? "; it is some 25 times as small as they are: does G71 stand for G70, or is the drawing read in a wrong unit?"
        : onOutlines(moves, features)
          ? "; the wire's centre runs on the outline itself, and cuts half a kerf into the work: is G41 or G42 missing, or its D, or the offset?"
          : ": are drawing, job, wire and unit those that it was made for?";
  return [
    {
      code: "proof/follows-nothing",
      severity: "error",
      message: `no move of the program keeps to an outline of the drawing at an offset of the job (${offsets})${unit}`,
    },
  ];
}

/** Of the longest moves so many are looked at: leads and joints are short. */
const LONGEST = 20;

/** Does the wire's centre run on the outlines for the most part? */
function onOutlines(
  moves: Path["moves"],
  features: Layout["features"],
): boolean {
  const edges = features.flatMap((f) => f.contour.segments);
  const longest = moves
    .map(({ segment }) => ({ segment, long: segmentLength(segment) }))
    .sort((a, b) => b.long - a.long)
    .slice(0, LONGEST);
  const on = longest.filter(({ segment }) =>
    [0, 0.5, 1].every((t) =>
      edges.some(
        (e) => pointTo(e, xAt(segment, t), yAt(segment, t)) <= FOLLOWING,
      ),
    ),
  );
  return on.length > longest.length / 2;
}

/** mm across all the boxes together. */
export function size(boxes: readonly Box[]): number {
  const all = boxes.reduce(unionBox);
  return Math.max(all.maxX - all.minX, all.maxY - all.minY);
}
