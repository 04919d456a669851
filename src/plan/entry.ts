/**
 * Where the wire gets in: the start hole, and the lead point, the foot of the hole on the outline, so that the
 * lead-in is square to it. Stretches of outline are tried from the best to hold lead and tab, the longest
 * straight ones first; for each, hole places from the nearest. The first place where everything is clear is taken.
 */
import { SAME_POINT } from "../base/tolerance.js";
import type { OffsetSegment } from "../geometry/offset.js";
import { type Segment, segmentLength } from "../geometry/segment.js";
import { distance, dot, lerp, sub, type Vec } from "../geometry/vec.js";
import {
  smallestStartHole,
  USUAL_START_HOLES,
} from "../process/start-holes.js";
import type { DrawnHole } from "./feature.js";
import type { Job, Pass } from "./job.js";
import { inWasteOf, type Surroundings } from "./surroundings.js";
import {
  offSpot,
  type PassLoop,
  reachedByAll,
  type Spot,
  spotNormal,
  spotPoint,
  type Track,
  walk,
} from "./track.js";

export interface Entry {
  readonly hole: {
    readonly at: Vec;
    readonly diameter: number;
    readonly drawn: boolean;
  };
  readonly lead: Spot;
  /** The grid the hole stands on, mm; 0 for a drawn hole. */
  readonly grid: number;
}

/** How far beyond the rough's offset the wire stands off before a stroke: longer than any D, as G41 asks. */
export const STAND_OFF = 0.1;

/** How far the rough's kerf reaches into the waste, from the outline. */
function kerfDepth({ passes, wire }: Job): number {
  const rough = passes[0] as Pass;
  return rough.offset + wire.diameter / 2 + rough.gap;
}

/** Lengths of lead that are tried, in shares of the shortest that keeps the hole off the edge. */
const LEADS = [1, 1.6, 2.5, 4, 6];

/** How many of the best stretches are tried. */
const STRETCHES = 40;

export function standOffDistance(job: Job): number {
  return (job.passes[0] as Pass).offset + STAND_OFF;
}

/** One feature on its way to a start hole. */
export interface Site {
  readonly track: Track;
  /** Index of the feature in the layout. */
  readonly self: number;
  readonly around: Surroundings;
  readonly job: Job;
  /** Length along the rough's path that tab and kerf take up behind the lead point. */
  readonly span: number;
}

/** A place for a new hole, or `null` when there is none. */
export function findEntry(site: Site): Entry | null {
  const { track, job, span } = site;
  const rough = job.passes[0] as Pass;
  const least = smallestStartHole(job.wire.diameter, rough.gap);
  const sizes =
    job.startHoles.diameter === null
      ? USUAL_START_HOLES.filter((d) => d >= least)
      : [job.startHoles.diameter];
  const ranked = rankStretches(track, span);
  const straight = ranked.filter((p) => holdsTab(p, span));
  // A finer grid is the last resort: a hole off the shop's grid is easier to drill wrong.
  for (const grid of [1, 5, 50].map((k) => job.startHoles.grid / k)) {
    for (const diameter of sizes) {
      const room = roomFor(diameter, job);
      const at =
        placeBeside(site, straight, LEADS.slice(0, 3), grid, room) ??
        placeBeside(site, ranked, LEADS, grid, room);
      if (at)
        return {
          hole: { at: at.hole, diameter, drawn: false },
          lead: at.lead,
          grid,
        };
    }
  }
  return null;
}

/** The first clear place beside the stretches, from the best stretch and the shortest lead on. */
function placeBeside(
  site: Site,
  stretches: readonly OffsetSegment[],
  leads: readonly number[],
  grid: number,
  room: number,
): Place | null {
  const { track, around, job, span } = site;
  const nearest = Math.max(room, standOffDistance(job) + SAME_POINT);
  for (const off of leads.map((k) => k * nearest)) {
    const roomy = stretches
      .flatMap((piece) =>
        leadSpots(piece, span).map((target) => ({ piece, target })),
      )
      .filter(({ target }) => {
        const p = offSpot(track, target, off);
        return !around.edges.anyNearer(p.x, p.y, room - grid);
      });
    for (const { piece, target } of roomy.slice(0, STRETCHES)) {
      const place = holePlaces(track, piece, target, off, grid).find((at) =>
        isClear(site, at, room),
      );
      if (place) return place;
    }
  }
  return null;
}

/** Distance (mm) a new hole's centre keeps from every edge, so that it neither nears one nor opens into a kerf. */
export function roomFor(diameter: number, job: Job): number {
  return (
    diameter / 2 +
    Math.max(job.startHoles.clearance, kerfDepth(job) + LEAST_WEB)
  );
}

/** The best lead from one of the holes that are drawn in this feature's waste, or `null`. */
export function entryFromDrawnHole(site: Site): Entry | null {
  const { track, self, around, job, span } = site;
  const stretches = rankStretches(track, span).slice(0, STRETCHES);
  let best: { entry: Entry; cost: number } | null = null;
  for (const hole of around.layout.holes) {
    if (!inWasteOf(around, self, hole.at)) continue;
    stretches.forEach((piece, rank) => {
      const lead = footOn(track, piece, hole.at);
      if (!lead || !isClear(site, { hole: hole.at, lead }, 0)) return;
      const cost = distance(spotPoint(track, lead), hole.at) + rank * 0.5;
      if (!best || cost < best.cost)
        best = { entry: fromHole(hole, lead, job), cost };
    });
  }
  return (best as { entry: Entry } | null)?.entry ?? null;
}

function fromHole(hole: DrawnHole, lead: Spot, job: Job): Entry {
  const diameter =
    hole.diameter ??
    job.startHoles.diameter ??
    (USUAL_START_HOLES[0] as number);
  return { hole: { at: hole.at, diameter, drawn: true }, lead, grid: 0 };
}

/**
 * Pieces of the rough's path that may take the lead, best first: straight ones that hold lead and tab, the longer
 * the better; then whatever is long, a straight one before an arc up to three times its length.
 */
function rankStretches(track: Track, span: number): OffsetSegment[] {
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

interface Place {
  readonly hole: Vec;
  readonly lead: Spot;
}

/**
 * Places for the lead on a stretch, the best first: with the tab behind it in the middle where both fit, else in
 * the middle itself, then a quarter off it.
 */
function leadSpots(piece: OffsetSegment, span: number): Spot[] {
  const l = segmentLength(piece.segment);
  const middle = holdsTab(piece, span) ? (1 + span / l) / 2 : 0.5;
  return [middle, middle / 2, (1 + middle) / 2].map((u) => ({
    index: piece.index,
    t: piece.from + (piece.to - piece.from) * u,
  }));
}

/** A straight stretch long enough for the lead with the tab behind it and something to spare. */
function holdsTab({ segment }: OffsetSegment, span: number): boolean {
  return segment.kind === "line" && segmentLength(segment) > 1.5 * span;
}

/** Grid points about `off` from a spot of a stretch, square to it or nearly so, the nearest to that first. */
function holePlaces(
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
function footOn(track: Track, piece: OffsetSegment, p: Vec): Spot | null {
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

/** Hole in the waste with `room` to every edge, stand-off this side of the hole, nothing near the lead. */
function isClear(
  { track, self, around, job }: Site,
  { hole, lead }: Place,
  room: number,
): boolean {
  const standOff = standOffDistance(job);
  const edge = spotPoint(track, lead);
  if (distance(hole, edge) < standOff) return false;
  if (room > 0 && around.edges.anyNearer(hole.x, hole.y, room - SAME_POINT))
    return false;
  return (
    inWasteOf(around, self, hole) &&
    reachedByAll(track, lead) &&
    leadsClear(around, job, hole, edge) &&
    standsClear(track, around, lead, job)
  );
}

/** Metal (mm) between the lead's kerf and any other kerf, so that the two cut no chip or half a slug loose. */
const LEAST_WEB = 0.1;

/** Points along the lead that are asked for their nearest edge. */
const LEAD_SAMPLES = 12;

/**
 * Along the lead nothing but the lead point itself may be near: an edge within a kerf, and what the rough's kerf
 * takes off it, would part the waste between the two, and the piece would fall with nobody there.
 */
function leadsClear(
  around: Surroundings,
  job: Job,
  hole: Vec,
  edge: Vec,
): boolean {
  const rough = job.passes[0] as Pass;
  const sweep = job.wire.diameter / 2 + rough.gap;
  const apart = rough.offset + 2 * sweep + LEAST_WEB;
  for (let k = 0; k <= LEAD_SAMPLES; k++) {
    const p = lerp(edge, hole, k / LEAD_SAMPLES);
    const own = distance(p, edge);
    if (
      around.edges.anyNearer(
        p.x,
        p.y,
        Math.min(apart, own * 0.999 - SAME_POINT),
      )
    )
      return false;
  }
  return true;
}

/** Can the wire stand off this spot without nearing any other wall? */
export function standsClear(
  track: Track,
  around: Surroundings,
  spot: Spot,
  job: Job,
): boolean {
  const p = offSpot(track, spot, standOffDistance(job));
  return !around.edges.anyNearer(p.x, p.y, (job.passes[0] as Pass).offset);
}

/** Steps (mm) by which a spot is moved on until every pass reaches it and the wire can stand off it. */
const SHIFT = 0.05;

/**
 * The spot `far` mm from `start` along the rough's path (negative: backwards), or a little farther where that
 * place is a corner, and how far it is; `null` when there is none within `limit`.
 */
export function spotAlong(
  track: Track,
  around: Surroundings,
  job: Job,
  start: Spot,
  far: number,
  limit: number,
): { readonly spot: Spot; readonly far: number } | null {
  const loop = (track.passes[0] as PassLoop).loop;
  const step = Math.sign(far) * SHIFT;
  for (let at = far; Math.abs(at) <= limit; at += step) {
    const spot = walk(loop, start, at);
    if (
      spot &&
      !spot.corner &&
      reachedByAll(track, spot) &&
      standsClear(track, around, spot, job)
    )
      return { spot, far: at };
  }
  return null;
}
