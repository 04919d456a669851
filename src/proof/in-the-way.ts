/** Is a loose piece out of the way before the wire goes on beside it? */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { segmentLength } from "../geometry/segment.js";
import { pair } from "../geometry/vec.js";
import type { Job } from "../plan/job.js";
import type { Move } from "./follow.js";
import type { Loosening } from "./people.js";
import { type Stops, stopsBetween } from "./stops.js";

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
    const later = after.filter((m) => (m.follows?.pass ?? 0) > pass);
    const far =
      lengthOf(later) > joint
        ? later
        : lengthOf(after) > process.tabs.longest + joint
          ? after
          : [];
    const [first] = far;
    if (!first) return [];
    told.add(p.featureIndex);
    const at = pair(first.segment.start);
    return [
      {
        code: "proof/cuts-on",
        severity: "error" as const,
        message: `program line ${first.line}: the wire goes on along ${p.feature} for ${fixed(lengthOf(far), 2)} mm from ${placeText(at)} after its piece came loose in line ${p.line}; the piece lies against it: cut the wire, put an M00 that names ${p.feature} to take it out, and thread again`,
        where: at,
        feature: p.feature,
      },
    ];
  });
}

const lengthOf = (moves: readonly Move[]): number =>
  moves.reduce((sum, m) => sum + segmentLength(m.segment), 0);
