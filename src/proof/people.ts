/** Who is there when a piece comes loose, and is it out of the way before the wire comes back? */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { WAITING } from "../base/tolerance.js";
import { contourArea, windingNumber } from "../geometry/contour.js";
import { segmentLength } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Job } from "../plan/job.js";
import { pieceMass } from "../process/materials.js";
import type { Action } from "../program/moves.js";
import type { Move } from "./follow.js";
import type { Ground } from "./ground.js";
import type { Cluster, Piece } from "./pieces.js";
import { enclosedBy } from "./polygons.js";
import type { LoosePiece } from "./proof.js";

export interface Loosening extends Omit<LoosePiece, "at"> {
  /** Index of the feature whose cut freed it. */
  readonly featureIndex: number;
  readonly thread: number;
  readonly action: number;
  readonly at: Vec;
  /** mm that other threads burn after its stop; 0 without a stop. */
  readonly waited: number;
  /** mm² */
  readonly size: number;
  /** So small that the flushing carries it off through the kerf: no slug. */
  readonly crumb: boolean;
}

export interface PeopleCheck {
  readonly pieces: readonly Loosening[];
  readonly findings: readonly Finding[];
}

interface Stop {
  readonly action: number;
  readonly optional: boolean;
}

/** Under each word of a stop's comment the stops that say it. */
type Stops = ReadonlyMap<string, readonly Stop[]>;

/** A feature's id must stand as a word of its own: "opening-1" is not in "opening-12". */
function stopsByWord(actions: readonly Action[]): Stops {
  const stops = new Map<string, Stop[]>();
  actions.forEach((a, action) => {
    if (a.kind !== "stop") return;
    for (const word of new Set(a.comment.match(/[\w-]+/g))) {
      const list = stops.get(word) ?? [];
      list.push({ action, optional: a.optional });
      stops.set(word, list);
    }
  });
  return stops;
}

/** The last stop for a feature, that nobody may leave out, after one action and before another. */
function stopBetween(
  stops: Stops,
  feature: string,
  after: number,
  before: number,
): Stop | undefined {
  return (stops.get(feature) ?? []).findLast(
    (s) => !s.optional && s.action > after && s.action < before,
  );
}

/** mm the wire burns in other threads between a stop and the thread that frees the piece. */
function burntBetween(
  stop: Stop,
  freeing: Move,
  moves: readonly Move[],
): number {
  return moves
    .filter((m) => m.action > stop.action && m.thread < freeing.thread)
    .reduce((sum, m) => sum + segmentLength(m.segment), 0);
}

/** `features` says of each thread which feature it cuts (`mainFeatures`). */
export function checkPeople(
  clusters: readonly Cluster[],
  moves: readonly Move[],
  features: ReadonlyMap<number, number>,
  actions: readonly Action[],
  ground: Ground,
  job: Job,
): PeopleCheck {
  const stops = stopsByWord(actions);
  const loose = clusters
    .flatMap((cluster) => cluster.pieces.map((piece) => ({ cluster, piece })))
    .sort((a, b) => a.piece.freedBy - b.piece.freedBy);
  const pieces: Loosening[] = [];
  for (const { cluster, piece } of loose) {
    const move = moves[piece.freedBy] as Move;
    const featureIndex =
      move.follows?.feature ?? features.get(move.thread) ?? 0;
    const feature = ground.layout.features[featureIndex] as Feature;
    const crumb = piece.size < crumbSize(job);
    // A stop serves one loosening: the one that follows it. Several pieces of one thread are one loosening.
    const before = pieces.findLast((p) => !p.crumb && p.thread !== move.thread);
    const stop = stopBetween(
      stops,
      feature.id,
      before?.action ?? -1,
      move.action,
    );
    const waited = stop ? burntBetween(stop, move, moves) : 0;
    const size = sizeWithout(
      piece,
      cluster,
      clusters,
      feature,
      move.action,
      moves,
    );
    pieces.push({
      feature: feature.id,
      attended: stop !== undefined && waited <= WAITING,
      waited,
      line: move.line,
      mass: pieceMass(size, job.stock.thickness, job.process.material.density),
      featureIndex,
      thread: move.thread,
      action: move.action,
      at: piece.at,
      size,
      crumb,
    });
  }
  return {
    pieces,
    findings: [
      ...pieces.flatMap((p) => unattendedFinding(p, stops)),
      ...inTheWay(pieces, moves, stops, features),
    ],
  };
}

/**
 * mm² under which a piece is a crumb: a square of half the narrowest kerf. Such a piece passes through the kerf it
 * was cut by. Common practice, no source.
 */
function crumbSize({ wire, passes }: Job): number {
  const kerf = wire.diameter + 2 * Math.min(...passes.map((p) => p.gap));
  return (kerf / 2) ** 2;
}

/** Of each thread the feature that most of its moves follow. */
export function mainFeatures(moves: readonly Move[]): Map<number, number> {
  const counts = new Map<number, Map<number, number>>();
  for (const m of moves) {
    if (!m.follows) continue;
    const of = counts.get(m.thread) ?? new Map<number, number>();
    of.set(m.follows.feature, (of.get(m.follows.feature) ?? 0) + 1);
    counts.set(m.thread, of);
  }
  return new Map(
    [...counts].map(([thread, of]) => [
      thread,
      ([...of].sort((a, b) => b[1] - a[1])[0] as [number, number])[0],
    ]),
  );
}

/**
 * mm² of metal in a piece: a part weighs what its outline encloses, a slug what the kerf left of it; less what was cut
 * out of it before.
 */
function sizeWithout(
  piece: Piece,
  own: Cluster,
  clusters: readonly Cluster[],
  freed: Feature,
  action: number,
  moves: readonly Move[],
): number {
  const { box } = piece;
  let size =
    freed.role === "part" && windingNumber(freed.contour, piece.at) !== 0
      ? contourArea(freed.contour)
      : piece.size;
  for (const other of clusters) {
    const first = other.kerf[0];
    if (other === own || !first) continue;
    const { x, y } = first.segment.start;
    if (x < box.minX || x > box.maxX || y < box.minY || y > box.maxY) continue;
    if (!enclosedBy(piece.area, first.segment.start)) continue;
    const at = (move: number): number => (moves[move] as Move).action;
    if (at(first.move) > action) continue;
    const gone = other.pieces
      .filter((p) => at(p.freedBy) < action)
      .reduce((sum, p) => sum + p.size, 0);
    size -= other.swept + gone;
  }
  return Math.max(0, size);
}

function unattendedFinding(p: Loosening, stops: Stops): Finding[] {
  const weight = `${fixed(p.mass * 1000, 1)} g, ${fixed(p.size, 2)} mm²`;
  if (p.attended) return [];
  if (p.crumb)
    return [
      {
        code: "proof/crumb",
        severity: "note",
        message: `program line ${p.line}: a piece of ${p.feature} (${weight}) comes loose at ${placeText(pair(p.at))} with nobody there; it is a crumb that the flushing carries off through the kerf`,
        where: pair(p.at),
        feature: p.feature,
      },
    ];
  if (p.waited > 0)
    return [
      {
        code: "proof/stop-early",
        severity: "error",
        message: `program line ${p.line}: a piece of ${p.feature} (${weight}) comes loose at ${placeText(pair(p.at))}, but its stop stands ${fixed(p.waited, 0)} mm of other cuts before it: nobody waits so long; put the M00 right before the cut that frees it`,
        where: pair(p.at),
        feature: p.feature,
      },
    ];
  const optional = (stops.get(p.feature) ?? []).some(
    (s) => s.optional && s.action < p.action,
  );
  return [
    {
      code: "proof/loose-unattended",
      severity: "error",
      message: `program line ${p.line}: a piece of ${p.feature} (${weight}) comes loose at ${placeText(pair(p.at))} with nobody there; put an M00 that names ${p.feature} before it, after the loosening before${optional ? " (an optional stop, M01 or /, does not count)" : ""}`,
      where: pair(p.at),
      feature: p.feature,
    },
  ];
}

/** After a piece is free the wire comes back to its feature only after another stop, at which it is taken out. */
function inTheWay(
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
    if (!back || stopBetween(stops, p.feature, p.action, back.action))
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
