/** How much metal is in a piece that came loose. */
import { contourArea, windingNumber } from "../geometry/contour.js";
import type { Box } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Move } from "./follow.js";
import { type BoxIndex, type Ground, indexOf } from "./ground.js";
import type { KerfMove } from "./kerf.js";
import type { Cluster, Piece } from "./pieces.js";
import { inMetal } from "./polygons.js";

/** What all sizes hang on. */
export interface Weighing {
  readonly clusters: readonly Cluster[];
  /** Of each cluster's first move. */
  readonly starts: BoxIndex;
  /** Actions of the moves. */
  readonly actionOf: (move: number) => number;
  /** The openings in each part, by its id, with the action that begins them. */
  readonly openings: ReadonlyMap<
    string,
    readonly { readonly area: number; readonly begun: number }[]
  >;
}

export function weighing(
  clusters: readonly Cluster[],
  moves: readonly Move[],
  { layout: { features } }: Ground,
): Weighing {
  const begun = new Map<number, number>();
  for (const { follows, action } of moves)
    if (follows && !begun.has(follows.feature))
      begun.set(follows.feature, action);
  const openings = new Map<string, { area: number; begun: number }[]>();
  features.forEach(({ role, parent, contour }, k) => {
    const action = begun.get(k);
    if (role !== "opening" || parent === null || action === undefined) return;
    const list = openings.get(parent) ?? [];
    list.push({ area: contourArea(contour), begun: action });
    openings.set(parent, list);
  });
  return {
    clusters,
    starts: indexOf(clusters.map((c) => (c.kerf[0] as KerfMove).segment)),
    actionOf: (move) => (moves[move] as Move).action,
    openings,
  };
}

/**
 * mm² of metal in a piece as it comes loose with an action: a part weighs what its outline encloses, less the outlines of
 * the openings that were cut in it; a slug what the kerf left of it, less the kerfs that lie in it and what came loose
 * between them before.
 */
export function sizeLoose(
  piece: Piece,
  own: Cluster,
  freed: Feature,
  action: number,
  { clusters, starts, actionOf, openings }: Weighing,
): number {
  if (freed.role === "part" && windingNumber(freed.contour, piece.at) !== 0)
    return (openings.get(freed.id) ?? [])
      .filter(({ begun }) => begun <= action)
      .reduce((size, { area }) => size - area, contourArea(freed.contour));
  const inside = starts
    .near(piece.box, 0)
    .map((k) => clusters[k] as Cluster)
    .filter(
      (other) =>
        other !== own &&
        actionOf((other.kerf[0] as KerfMove).move) <= action &&
        inMetal(piece.area, startOf(other)),
    );
  const goneOf = ({ pieces }: Cluster): readonly Piece[] =>
    pieces.filter((p) => actionOf(p.freedBy) < action);
  const gone = inside.flatMap(goneOf);
  // What lies in a piece that is gone went with it.
  const direct = inside.filter((other) => {
    const at = startOf(other);
    return !gone.some(({ box, area }) => holds(box, at) && inMetal(area, at));
  });
  const taken = direct.reduce(
    (sum, other) =>
      goneOf(other).reduce((more, p) => more + p.size, sum + other.swept),
    0,
  );
  return Math.max(0, piece.size - taken);
}

function startOf({ kerf }: Cluster): Vec {
  return (kerf[0] as KerfMove).segment.start;
}

function holds({ minX, minY, maxX, maxY }: Box, { x, y }: Vec): boolean {
  return x >= minX && x <= maxX && y >= minY && y <= maxY;
}
