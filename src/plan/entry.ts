/**
 * Where the wire gets in: the start hole, and the lead point, the foot of the hole on the outline, so that the
 * lead-in is square to it. Stretches of outline are tried from the best to hold lead and tab, the longest
 * straight ones first; for each, hole places from the nearest. The first place where everything is clear is taken.
 */
import { SAME_POINT } from "../base/tolerance.js";
import {
  type Contour,
  circleContour,
  windingNumber,
} from "../geometry/contour.js";
import { intersectSegments } from "../geometry/intersect.js";
import type { OffsetSegment } from "../geometry/offset.js";
import { pointAt, type Segment, tangentAt } from "../geometry/segment.js";
import {
  along,
  distance,
  dot,
  lerp,
  negate,
  sub,
  type Vec,
} from "../geometry/vec.js";
import {
  smallestStartHole,
  USUAL_START_HOLES,
} from "../process/start-holes.js";
import type { DrawnHole } from "./feature.js";
import {
  endSpots,
  footOn,
  holdsTab,
  holePlaces,
  leadSpots,
  type Place,
  rankStretches,
} from "./hole-places.js";
import type { Job, Pass } from "./job.js";
import { insideKerf, kerfDepth } from "./slug.js";
import { standOffDistance, standsClear } from "./stand-off.js";
import { inWasteOf, type Surroundings } from "./surroundings.js";
import {
  offSpot,
  reachedByAll,
  type Spot,
  spotPoint,
  type Track,
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

/** Lengths of lead that are tried, in shares of the shortest that keeps the hole off the edge. */
const LEADS = [1, 1.6, 2.5, 4, 6];

/** How many of the best places are tried for one hole, grid and length of lead. */
const TRIALS = 80;

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

/**
 * A place for a new hole, or `null` when there is none. Where an opening is so slim that the hole must open into
 * the rough's kerf, the hole stands at an end of it, so that the slug stays in one piece that the tab holds.
 */
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
  const grids = [1, 5, 50].map((k) => job.startHoles.grid / k);
  for (const grid of grids) {
    for (const diameter of sizes) {
      const room = roomFor(diameter, job);
      const search = { grid, room, spots: leadSpots, fits: () => true };
      const at =
        placeBeside(site, straight, { ...search, leads: LEADS.slice(0, 3) }) ??
        placeBeside(site, ranked, { ...search, leads: LEADS });
      if (at) return newHole(at, diameter, grid);
    }
  }
  if (track.feature.role === "part") return null;
  const body = insideKerf(track.contour, job);
  for (const grid of grids) {
    for (const diameter of sizes) {
      const at = placeBeside(site, straight, {
        grid,
        room: diameter / 2 + job.startHoles.clearance,
        spots: endSpots,
        fits: (place) => leavesOneSlug(site, body, place, diameter),
        leads: [1, 1.2],
      });
      if (at) return newHole(at, diameter, grid);
    }
  }
  return null;
}

function newHole(at: Place, diameter: number, grid: number): Entry {
  return {
    hole: { at: at.hole, diameter, drawn: false },
    lead: at.lead,
    grid,
  };
}

interface Search {
  /** Lengths of lead to try, in shares of the shortest. */
  readonly leads: readonly number[];
  readonly grid: number;
  /** Least distance of the hole's centre from every edge. */
  readonly room: number;
  readonly spots: (piece: OffsetSegment, span: number) => Spot[];
  readonly fits: (place: Place) => boolean;
}

/** The first clear place beside the stretches, from the best stretch and the shortest lead on. */
function placeBeside(
  site: Site,
  stretches: readonly OffsetSegment[],
  { leads, grid, room, spots, fits }: Search,
): Place | null {
  const { track, around, job, span } = site;
  const nearest = Math.max(room, standOffDistance(job) + SAME_POINT);
  for (const off of leads.map((k) => k * nearest)) {
    const roomy = stretches
      .flatMap((piece) =>
        spots(piece, span).map((target) => ({ piece, target })),
      )
      .filter(({ target }) => {
        const p = offSpot(track, target, off);
        return !around.edges.anyNearer(p.x, p.y, room - grid);
      });
    for (const { piece, target } of roomy.slice(0, TRIALS)) {
      const place = holePlaces(track, piece, target, off, grid).find(
        (at) => isClear(site, at, room) && fits(at),
      );
      if (place) return place;
    }
  }
  return null;
}

/**
 * Does a hole that may open into the rough's kerf leave the slug whole, and on the tab's side? A circle that meets
 * the slug's edge four times parts it. One that meets it twice bites a piece out: either on the lead's side, and a
 * web stays on the other; or off the slug's end, and then nothing of the end may stick out of the hole, or hole and
 * lead would cut it off.
 */
function leavesOneSlug(
  { track, span }: Site,
  body: readonly Contour[],
  { hole, lead }: Place,
  diameter: number,
): boolean {
  const edge = body.flatMap((c) => c.segments);
  const bite = circleContour(hole, diameter / 2 + LEAST_WEB);
  const meetings = edge.flatMap((s) =>
    bite.segments.flatMap((b) => intersectSegments(s, b)),
  );
  if (meetings.length > 2) return false;
  if (edge.length === 0) return true;
  const towards = negate(
    tangentAt(track.contour.segments[lead.index] as Segment, lead.t),
  );
  const toLead = sub(spotPoint(track, lead), hole);
  const webbed = meetings.every(({ at }) => dot(sub(at, hole), toLead) > 0);
  const swallowed = edge.every((s) =>
    EDGE_SAMPLES.every((t) => {
      const p = pointAt(s, t);
      return (
        dot(sub(p, hole), towards) >= 0 || distance(p, hole) <= diameter / 2
      );
    }),
  );
  // Halfway along the tab, beyond the hole: there the tab must have something to hold.
  const held = along(hole, towards, diameter / 2 + LEAST_WEB + span / 2);
  return (
    (webbed || swallowed) && body.some((c) => windingNumber(c, held) !== 0)
  );
}

/** Where along each piece of the slug's edge it is asked. */
const EDGE_SAMPLES = [0, 0.25, 0.5, 0.75];

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
  const stretches = rankStretches(track, span).slice(0, TRIALS);
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
