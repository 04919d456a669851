/** Which stretches of outline may take the lead, and which grid points beside them the hole. */
import { SAME_POINT } from "../base/tolerance.js";
import type { OffsetSegment } from "../geometry/offset.js";
import { type Segment, segmentLength } from "../geometry/segment.js";
import { distance, dot, sub, type Vec } from "../geometry/vec.js";
import {
  offSpot,
  type PassLoop,
  type Spot,
  spotNormal,
  spotPoint,
  type Track,
} from "./track.js";

/**
 * Pieces of the rough's path that may take the lead, best first: straight ones that hold lead and tab, the longer
 * the better; then whatever is long, a straight one before an arc up to three times its length.
 */
export function rankStretches(track: Track, span: number): OffsetSegment[] {
  const merit = (piece: OffsetSegment): number => {
    const { segment } = piece;
    const l = segmentLength(segment);
    if (holdsTab(piece, span)) return 1e6 + l;
    return segment.kind === "arc" ? l : 3 * l;
  };
  return (track.passes[0] as PassLoop).loop.segments
    .filter((p) => !p.corner)
    .map((piece) => ({ piece, merit: merit(piece) }))
    .sort((a, b) => b.merit - a.merit)
    .map(({ piece }) => piece);
}

export interface Place {
  readonly hole: Vec;
  readonly lead: Spot;
}

/**
 * Places for the lead on a stretch, the best first: with the tab behind it in the middle where both fit, else in
 * the middle itself, then a quarter off it, at last near the ends.
 */
export function leadSpots(piece: OffsetSegment, span: number): Spot[] {
  const l = segmentLength(piece.segment);
  const middle = holdsTab(piece, span) ? (1 + span / l) / 2 : 0.5;
  return [middle, middle / 2, (1 + middle) / 2, 0.06, 0.94].map((u) => ({
    index: piece.index,
    t: piece.from + (piece.to - piece.from) * u,
  }));
}

/** Places towards the forward end of a stretch, the tab behind them towards its middle. */
export function endSpots(piece: OffsetSegment): Spot[] {
  return [0.99, 0.97, 0.94, 0.9, 0.85, 0.8, 0.7].map((u) => ({
    index: piece.index,
    t: piece.from + (piece.to - piece.from) * u,
  }));
}

/** A straight stretch long enough for the lead with the tab behind it and something to spare. */
export function holdsTab({ segment }: OffsetSegment, span: number): boolean {
  return segment.kind === "line" && segmentLength(segment) > 1.5 * span;
}

/** Grid points about `off` from a spot of a stretch, square to it or nearly so, the nearest to that first. */
export function holePlaces(
  track: Track,
  piece: OffsetSegment,
  spot: Spot,
  off: number,
  grid: number,
): Place[] {
  const target = offSpot(track, spot, off);
  const normal = spotNormal(track, spot);
  const reach = 3;
  const x0 = Math.round(target.x / grid);
  const y0 = Math.round(target.y / grid);
  const places: { place: Place; cost: number }[] = [];
  for (let i = -reach; i <= reach; i++) {
    for (let j = -reach; j <= reach; j++) {
      const hole = { x: onGrid(x0 + i, grid), y: onGrid(y0 + j, grid) };
      if (dot(sub(hole, target), normal) < -grid) continue;
      const lead = footOn(track, piece, hole);
      if (lead)
        places.push({ place: { hole, lead }, cost: distance(hole, target) });
    }
  }
  return places.sort((a, b) => a.cost - b.cost).map(({ place }) => place);
}

/** A grid coordinate without the noise of multiplying: 3 · 0.1 is 0.3. */
function onGrid(steps: number, grid: number): number {
  return Math.round(steps * grid * 1e9) / 1e9;
}

/** The spot of the piece's outline that `p` is square to, on the wire's side; `null` beyond its ends. */
export function footOn(
  track: Track,
  piece: OffsetSegment,
  p: Vec,
): Spot | null {
  const s = track.contour.segments[piece.index] as Segment;
  let t: number;
  if (s.kind === "line") {
    const u = sub(s.end, s.start);
    t = dot(sub(p, s.start), u) / dot(u, u);
  } else {
    const from = sub(s.start, s.center);
    const to = sub(p, s.center);
    const r = distance(p, s.center);
    if (r <= SAME_POINT || (s.sweep > 0 && r >= s.radius)) return null;
    let angle =
      Math.atan2(from.x * to.y - from.y * to.x, dot(from, to)) *
      Math.sign(s.sweep);
    if (angle < 0) angle += 2 * Math.PI;
    t = angle / Math.abs(s.sweep);
  }
  const l = segmentLength(s);
  const margin = Math.min(0.1 / l, (piece.to - piece.from) / 4);
  if (!(t >= piece.from + margin && t <= piece.to - margin)) return null;
  const spot = { index: piece.index, t };
  return dot(sub(p, spotPoint(track, spot)), spotNormal(track, spot)) > 0
    ? spot
    : null;
}
