/** Who is there when a piece comes loose, and is it out of the way before the wire comes back? */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { WAITING } from "../base/tolerance.js";
import { segmentLength } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Feature, Slit } from "../plan/feature.js";
import { crumbArea, type Job } from "../plan/job/job.js";
import { pieceMass } from "../process/materials.js";
import type { Action } from "../program/moves.js";
import type { Move } from "./follow.js";
import { type Ground, innermostAt } from "./ground.js";
import { cutInLoosePiece, cutsOn, inTheWay } from "./in-the-way.js";
import { sizeLoose, weighing } from "./piece-size.js";
import type { Cluster, Piece } from "./pieces.js";
import type { LoosePiece } from "./proof.js";
import { type Stop, type Stops, stopsBetween, stopsByWord } from "./stops.js";

export interface Loosening extends Omit<LoosePiece, "at"> {
  readonly cluster: Cluster;
  readonly piece: Piece;
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

/** mm the wire burns in other threads between a stop and the thread of the move that frees the piece. */
function burntBetween(
  stop: Stop,
  freedBy: number,
  moves: readonly Move[],
): number {
  const { thread } = moves[freedBy] as Move;
  let sum = 0;
  for (let k = freedBy; k >= 0; k--) {
    const m = moves[k] as Move;
    if (m.action <= stop.action) break;
    if (m.thread < thread) sum += segmentLength(m.segment);
  }
  return sum;
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
  const slitOf = ({ freedBy }: Piece): number | null =>
    (moves[freedBy] as Move).slit;
  const weights = weighing(clusters, moves, ground);
  const pieces: Loosening[] = [];
  for (const { cluster, piece } of loose) {
    if (slitOf(piece) !== null) continue;
    const move = moves[piece.freedBy] as Move;
    const featureIndex =
      move.follows?.feature ??
      features.get(move.thread) ??
      Math.max(0, ground.layout.features.indexOf(around(ground, piece)));
    const feature = ground.layout.features[featureIndex] as Feature;
    const crumb = piece.size < crumbArea(job);
    const stop = attending(stops, feature.id, move, pieces);
    const waited = stop ? burntBetween(stop, piece.freedBy, moves) : 0;
    const size = sizeLoose(piece, cluster, feature, move.action, weights);
    pieces.push({
      cluster,
      piece,
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
      ...pieces.flatMap((p) => unattendedFinding(p, stops, actions)),
      ...loose.flatMap(({ piece }) => {
        const slit = ground.layout.slits[slitOf(piece) ?? -1];
        return slit ? [freedBySlit(piece, slit, moves, job)] : [];
      }),
      ...cutsOn(pieces, moves, stops, job),
      ...inTheWay(pieces, moves, stops, features),
      ...cutInLoosePiece(pieces, moves, ground),
    ],
  };
}

/** The feature in which a piece lies. */
const around = (ground: Ground, { at }: Piece): Feature =>
  innermostAt(ground, at) ?? (ground.layout.features[0] as Feature);

/**
 * The stop at which somebody comes for a loosening. It serves this one only: not one after another loosening, and of
 * this feature not the first after its piece before, at which that is taken out. Several pieces of one thread are one
 * loosening.
 */
function attending(
  stops: Stops,
  feature: string,
  freeing: Move,
  pieces: readonly Loosening[],
): Stop | undefined {
  const before = pieces.filter((p) => !p.crumb && p.thread !== freeing.thread);
  const own = before.findLast((p) => p.feature === feature);
  const takingOut = own
    ? stopsBetween(stops, feature, own.action, freeing.action)[0]
    : undefined;
  return stopsBetween(
    stops,
    feature,
    before.at(-1)?.action ?? -1,
    freeing.action,
  )
    .filter((s) => s !== takingOut)
    .at(-1);
}

/** A slit only divides: somebody at its side does not make a piece of it that was not drawn. */
function freedBySlit(
  piece: Piece,
  { id }: Slit,
  moves: readonly Move[],
  job: Job,
): Finding {
  const { line } = moves[piece.freedBy] as Move;
  const where = pair(piece.at);
  const mass = pieceMass(
    piece.size,
    job.stock.thickness,
    job.process.material.density,
  );
  const what = `program line ${line}: ${id} cuts a piece (${fixed(mass * 1000, 1)} g, ${fixed(piece.size, 2)} mm²) loose at ${placeText(where)}`;
  return piece.size < crumbArea(job)
    ? {
        code: "proof/crumb",
        severity: "note",
        message: `${what}; it is a crumb that the flushing carries off through the kerf`,
        where,
        feature: id,
      }
    : {
        code: "proof/slit-frees",
        severity: "error",
        message: `${what}: nothing may come loose of a slit; end it inside the metal, or draw that piece as an opening or a part`,
        where,
        feature: id,
      };
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

function unattendedFinding(
  p: Loosening,
  stops: Stops,
  actions: readonly Action[],
): Finding[] {
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
  const optional = (stops.get(p.feature.toLowerCase()) ?? []).some(
    (s) => s.optional && s.action < p.action,
  );
  const nameless = actions
    .slice(0, p.action)
    .findLast((a) => a.kind === "stop" && !a.optional && a.comment === "");
  const hint = optional
    ? " (an optional stop, M01 or /, does not count)"
    : nameless
      ? ` (the one in line ${nameless.line} names nothing: the name stands in a comment in its block or right above)`
      : "";
  return [
    {
      code: "proof/loose-unattended",
      severity: "error",
      message: `program line ${p.line}: a piece of ${p.feature} (${weight}) comes loose at ${placeText(pair(p.at))} with nobody there; put an M00 that names ${p.feature} right before the cut that frees it${hint}`,
      where: pair(p.at),
      feature: p.feature,
    },
  ];
}
