/** Is a loose piece out of the way before the wire goes on beside it? */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { FOLLOWING, SAME_FRACTION } from "../base/tolerance.js";
import { contourBox } from "../geometry/contour.js";
import { type Box, segmentLength } from "../geometry/segment.js";
import { pair } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Job } from "../plan/job/job.js";
import type { Move } from "./follow.js";
import type { Ground } from "./ground.js";
import type { Loosening } from "./people.js";
import type { Place } from "./proof.js";
import { type Stops, stopsBetween } from "./stops.js";
import { stretchesWithin, union, xAt, yAt } from "./stretches.js";

/** After a piece is free the wire comes back to its feature only after another stop, at which it is taken out. */
export function inTheWay(
  pieces: readonly Loosening[],
  moves: readonly Move[],
  stops: Stops,
  features: ReadonlyMap<number, number>,
): Finding[] {
  const starts = new Map<number, Move[]>();
  moves.forEach((m, k) => {
    const of = features.get(m.thread);
    if (of === undefined || moves[k - 1]?.thread === m.thread) return;
    const list = starts.get(of);
    if (list) list.push(m);
    else starts.set(of, [m]);
  });
  const told = new Set<number>();
  return pieces.flatMap((p) => {
    if (p.crumb || told.has(p.featureIndex)) return [];
    const back = starts.get(p.featureIndex)?.find((m) => m.thread > p.thread);
    if (
      !back ||
      stopsBetween(stops, p.feature, p.action, back.action).length > 0
    )
      return [];
    told.add(p.featureIndex);
    return [
      {
        code: "proof/piece-in-the-way",
        severity: "error" as const,
        message: `program line ${back.line}: the wire comes back to ${p.feature} while the piece freed at line ${p.line} still lies there; put an M00 that names ${p.feature} in between, to take it out`,
        where: pair(back.segment.start),
        feature: p.feature,
      },
    ];
  });
}

/** An outline is cut in a piece that came loose before, which lies about or is gone: what lies in a piece comes first. */
export function cutInLoosePiece(
  pieces: readonly Loosening[],
  moves: readonly Move[],
  { layout, outlines }: Ground,
): Finding[] {
  const byId = new Map(layout.features.map((f, k) => [f.id, k]));
  const following = movesByFeature(moves);
  const told = new Set<number>();
  return pieces.flatMap((p) => {
    if (p.crumb) return [];
    const within = outlines
      .near(p.piece.box, 0)
      .filter((k) => liesIn(layout.features, byId, k, p.featureIndex));
    if (within.length === 0) return [];
    return within.flatMap((k) => {
      const { id, contour } = layout.features[k] as Feature;
      if (told.has(k) || !boxHolds(p.piece.box, contourBox(contour))) return [];
      const back = following
        .get(k)
        ?.map((i) => moves[i] as Move)
        .find((m) => m.thread > p.thread);
      if (!back) return [];
      told.add(k);
      return [
        {
          code: "proof/piece-in-the-way",
          severity: "error" as const,
          message: `program line ${back.line}: ${id} is cut in the piece of ${p.feature} that came loose in line ${p.line}, and lies about there or is gone; cut ${id} before it`,
          where: pair(back.segment.start),
          feature: id,
        },
      ];
    });
  });
}

/** Does a feature lie in another, however deep? */
function liesIn(
  features: readonly Feature[],
  byId: ReadonlyMap<string, number>,
  inner: number,
  outer: number,
): boolean {
  const { parent } = features[inner] as Feature;
  const up = parent === null ? undefined : byId.get(parent);
  return (
    up !== undefined && (up === outer || liesIn(features, byId, up, outer))
  );
}

const boxHolds = (outer: Box, inner: Box): boolean =>
  outer.minX <= inner.minX &&
  outer.minY <= inner.minY &&
  outer.maxX >= inner.maxX &&
  outer.maxY >= inner.maxY;

/**
 * The wire goes on along a feature in the very thread that freed its piece: on a later pass, or farther on the same one
 * than to cut the rest of a tab and run its joint over.
 */
export function cutsOn(
  pieces: readonly Loosening[],
  moves: readonly Move[],
  stops: Stops,
  job: Job,
): Finding[] {
  const { wire, passes, lead, process } = job;
  const joint =
    lead.overlap + wire.diameter + 2 * Math.max(...passes.map((p) => p.gap));
  const told = new Set<number>();
  const following = movesByFeature(moves);
  return pieces.flatMap((p) => {
    if (p.crumb || told.has(p.featureIndex)) return [];
    const { freedBy } = p.piece;
    let end = freedBy;
    while (moves[end]?.thread === p.thread) end++;
    const along = moves
      .slice(freedBy, end)
      .filter(
        (m) =>
          m.follows?.feature === p.featureIndex &&
          stopsBetween(stops, p.feature, p.action, m.action).length === 0,
      );
    const pass = along[0]?.follows?.pass ?? 0;
    const after = along.filter((m) => m !== moves[freedBy]);
    // The move that freed it may itself run on, over what was cut before.
    const again =
      lengthOf([moves[freedBy] as Move]) > joint
        ? runsOver(freedBy, moves, following)
        : null;
    const later = after.filter((m) => (m.follows?.pass ?? 0) > pass);
    const far =
      lengthOf(later) > joint
        ? later
        : lengthOf(after) + (again?.long ?? 0) > process.tabs.longest + joint
          ? after
          : null;
    if (!far) return [];
    told.add(p.featureIndex);
    const over = far === after ? again : null;
    const line = over ? p.line : far[0]?.line;
    const long = lengthOf(far) + (over?.long ?? 0);
    const at = over ? over.from : pair((far[0] as Move).segment.start);
    return [
      {
        code: "proof/cuts-on",
        severity: "error" as const,
        message: `program line ${line}: the wire goes on along ${p.feature} for ${fixed(long, 2)} mm from ${placeText(at)} after its piece came loose in line ${p.line}; the piece lies against it: cut the wire, put an M00 that names ${p.feature} to take it out, and thread again`,
        where: at,
        feature: p.feature,
      },
    ];
  });
}

/** Of each feature the indices of the moves that follow it, ascending. */
function movesByFeature(moves: readonly Move[]): Map<number, number[]> {
  const of = new Map<number, number[]>();
  moves.forEach(({ follows }, k) => {
    if (!follows) return;
    const list = of.get(follows.feature);
    if (list) list.push(k);
    else of.set(follows.feature, [k]);
  });
  return of;
}

/** mm at the end of a move that follows an outline, over which earlier moves have run on the same offset. */
function runsOver(
  k: number,
  moves: readonly Move[],
  following: ReadonlyMap<number, readonly number[]>,
): { readonly long: number; readonly from: Place } | null {
  const { segment, follows } = moves[k] as Move;
  if (!follows) return null;
  const before = (following.get(follows.feature) ?? [])
    .filter((i) => i < k)
    .map((i) => moves[i] as Move)
    .filter((m) => m.follows?.pass === follows.pass);
  const last = union(
    before.flatMap((m) => stretchesWithin(segment, m.segment, FOLLOWING)),
  ).at(-1);
  return last && last.to > 1 - SAME_FRACTION
    ? {
        long: segmentLength(segment) * (1 - last.from),
        from: [xAt(segment, last.from), yAt(segment, last.from)],
      }
    : null;
}

const lengthOf = (moves: readonly Move[]): number =>
  moves.reduce((sum, m) => sum + segmentLength(m.segment), 0);
