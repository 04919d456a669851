/** The stretches of outline that the last pass did not reach, and why. */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { MAX_GOUGE, SLIVER } from "../base/tolerance.js";
import { segmentLength } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Job } from "../plan/job/job.js";
import {
  type FeaturePass,
  nearestMove,
  outlineAt,
  type Path,
  type PieceCoverage,
} from "./coverage.js";
import type { Move } from "./follow.js";
import { pointBox } from "./ground.js";
import type { Ideal } from "./ideal.js";
import { pointTo } from "./measure.js";
import type { Unreached } from "./proof.js";
import { type Stretch, WHOLE, without } from "./stretches.js";

/** A stretch of one piece of the ideal path. */
interface Part extends Stretch {
  readonly ideal: Ideal;
}

/** Looks along a stretch. */
const LOOKS = 4;

export function unreachedOf(
  feature: Feature,
  final: FeaturePass,
  path: Path,
  job: Job,
): Unreached[] {
  const { offset } = job.passes[final.pass] as { offset: number };
  const described = (
    parts: readonly Part[],
    why: (places: readonly Vec[]) => Unreached["why"],
  ): Unreached => {
    const places = parts.flatMap(placesOn);
    const [stays, at] = places
      .map((p) => [nearestMove(path, p) - offset, p] as const)
      .reduce((a, b) => (b[0] > a[0] ? b : a));
    const cause = why(places);
    return {
      feature: feature.id,
      why: cause,
      from: pair(places[0] as Vec),
      to: pair(places.at(-1) as Vec),
      at: pair(at),
      length: parts.reduce(
        (sum, p) => sum + (p.to - p.from) * segmentLength(p.ideal.path),
        0,
      ),
      stays: cause === "tab" ? null : stays,
    };
  };
  const corners = chains(final, ({ ideal }) => {
    const long = segmentLength(ideal.path);
    return without([WHOLE], ideal.reachable).filter(
      (s) => (s.to - s.from) * long > SLIVER,
    );
  }).map((parts) => described(parts, () => "corner"));
  const missed = chains(final, (c) => c.missed).map((parts) =>
    described(parts, (places) => causeOf(places, final, path, job)),
  );
  return [...corners.filter((c) => (c.stays ?? 0) > MAX_GOUGE), ...missed];
}

/** Stretches that hang together round the outline, across the ends of its pieces. */
function chains(
  final: FeaturePass,
  of: (c: PieceCoverage) => readonly Stretch[],
): Part[][] {
  const found: Part[][] = [];
  let open = false;
  let first = false;
  final.pieces.forEach((c, i) => {
    const parts = of(c).map((s) => ({ ...s, ideal: c.ideal }));
    for (const part of parts) {
      if (open && part.from === 0) found.at(-1)?.push(part);
      else found.push([part]);
      open = part.to === 1;
    }
    if (i === 0) first = parts[0]?.from === 0;
    open = parts.at(-1)?.to === 1;
  });
  // What ends the last piece and begins the first is one.
  if (open && first && found.length > 1)
    found[0]?.unshift(...(found.pop() as Part[]));
  return found;
}

const placesOn = ({ ideal, from, to }: Part): Vec[] =>
  Array.from({ length: LOOKS + 1 }, (_, k) =>
    outlineAt(ideal, from + ((to - from) * k) / LOOKS),
  );

/** Cut by some pass, or jumped by two neighbouring moves of the last: left out. Else nobody came: it stands as a tab. */
function causeOf(
  places: readonly Vec[],
  final: FeaturePass,
  path: Path,
  job: Job,
): "tab" | "left-out" {
  const reach = Math.max(...job.passes.map((p) => p.offset)) + SLIVER;
  const middle = places[places.length >> 1] as Vec;
  if (nearestMove(path, middle) <= reach) return "left-out";
  const [before, after] = [places[0], places.at(-1)].map((p) =>
    path.index.near(pointBox(p as Vec), reach).filter((k) => {
      const m = path.moves[k] as Move;
      return (
        m.follows?.feature === final.feature &&
        m.follows.pass === final.pass &&
        pointTo(m.segment, (p as Vec).x, (p as Vec).y) <= reach
      );
    }),
  ) as [number[], number[]];
  const jumped = before.some((a) =>
    after.some(
      (b) =>
        Math.abs(a - b) <= 2 &&
        (path.moves[a] as Move).thread === (path.moves[b] as Move).thread,
    ),
  );
  return jumped ? "left-out" : "tab";
}

/** Inside corners tighter than the wire: one note a feature, with the worst of them. */
export function cornersThatStay(
  feature: Feature,
  unreached: readonly Unreached[],
): Finding[] {
  const corners = unreached.filter(
    (u) => u.why === "corner" && Number.isFinite(u.stays),
  );
  if (corners.length === 0) return [];
  const worst = corners.reduce((a, b) =>
    (b.stays ?? 0) > (a.stays ?? 0) ? b : a,
  );
  return [
    {
      code: "proof/corner-stays",
      severity: "note",
      message: `${feature.id}: the outline is tighter than the wire at ${corners.length} ${corners.length === 1 ? "place" : "places"}; up to ${fixed(worst.stays ?? 0, 4)} mm of stock stays, at ${placeText(worst.at)}`,
      where: worst.at,
      feature: feature.id,
    },
  ];
}
