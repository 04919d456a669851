/** How much metal is in a piece that came loose. */
import { contourArea, windingNumber } from "../geometry/contour.js";
import type { Vec } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Move } from "./follow.js";
import type { Cluster, Piece } from "./pieces.js";
import { enclosedBy } from "./polygons.js";

/**
 * mm² of metal in a piece: a part weighs what its outline encloses, less the outlines of the openings that were cut in
 * it; a slug what the kerf left of it, less what was cut out of it before. `inside` holds at least the clusters of kerfs
 * that lie in it, and `openingAt` says in which of the freed part's openings a place lies.
 */
export function sizeWithout(
  piece: Piece,
  own: Cluster,
  inside: readonly Cluster[],
  freed: Feature,
  action: number,
  moves: readonly Move[],
  openingAt: (place: Vec) => Feature | undefined,
): number {
  const openings = new Set<Feature>();
  let size =
    freed.role === "part" && windingNumber(freed.contour, piece.at) !== 0
      ? contourArea(freed.contour)
      : piece.size;
  for (const other of inside) {
    const first = other.kerf[0];
    if (other === own || !first) continue;
    if (!enclosedBy(piece.area, first.segment.start)) continue;
    const at = (move: number): number => (moves[move] as Move).action;
    if (at(first.move) > action) continue;
    const opening = openingAt(first.segment.start);
    if (opening) {
      openings.add(opening);
      continue;
    }
    const gone = other.pieces
      .filter((p) => at(p.freedBy) < action)
      .reduce((sum, p) => sum + p.size, 0);
    size -= other.swept + gone;
  }
  for (const { contour } of openings) size -= contourArea(contour);
  return Math.max(0, size);
}
