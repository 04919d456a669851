/** Which grid points beside a stretch of outline may take the start hole. */

import { SAME_POINT } from "../../base/tolerance.js";
import type { OffsetSegment } from "../../geometry/offset.js";
import { type Segment, segmentLength } from "../../geometry/segment.js";
import { distance, dot, sub, type Vec } from "../../geometry/vec.js";
import { steps } from "../steps.js";
import {
  offSpot,
  type Spot,
  spotNormal,
  spotPoint,
  type Track,
} from "../track/track.js";

export interface Place {
  readonly hole: Vec;
  readonly lead: Spot;
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
  const places: { place: Place; cost: number }[] = [];
  for (const hole of gridPoints(target, grid)) {
    if (dot(sub(hole, target), normal) < -grid) continue;
    const lead = footOn(track, piece, hole);
    if (lead)
      places.push({ place: { hole, lead }, cost: distance(hole, target) });
  }
  return places
    .sort((a, b) => steps(a.cost) - steps(b.cost))
    .map(({ place }) => place);
}

/**
 * Holes about `off` from a lead point that is fixed: grid points from which the lead slants by less than 45°, the
 * squarest first.
 */
export function holePlacesFor(
  track: Track,
  lead: Spot,
  off: number,
  grid: number,
): Place[] {
  const edge = spotPoint(track, lead);
  const target = offSpot(track, lead, off);
  const normal = spotNormal(track, lead);
  const slant = (p: Vec): number =>
    dot(sub(p, edge), normal) / distance(p, edge);
  return gridPoints(target, grid)
    .filter((p) => slant(p) > Math.SQRT1_2)
    .sort((a, b) => steps(slant(b)) - steps(slant(a)))
    .map((hole) => ({ hole, lead }));
}

const REACH = 3;

function gridPoints(around: Vec, grid: number): Vec[] {
  const x0 = Math.round(around.x / grid);
  const y0 = Math.round(around.y / grid);
  const points: Vec[] = [];
  for (let i = -REACH; i <= REACH; i++)
    for (let j = -REACH; j <= REACH; j++)
      points.push({ x: onGrid(x0 + i, grid), y: onGrid(y0 + j, grid) });
  return points;
}

export function nearestOnGrid(p: Vec, grid: number): Vec {
  return {
    x: onGrid(Math.round(p.x / grid), grid),
    y: onGrid(Math.round(p.y / grid), grid),
  };
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
