import type { Contour } from "../../geometry/contour.js";
import { distanceToSegment } from "../../geometry/distance.js";
import type { Segment } from "../../geometry/segment.js";
import type { Job } from "../job/job.js";
import { holeSizes, wanderIn } from "../job/start-holes.js";
import type { StartHole } from "../plan.js";
import { leavesOneSlug } from "../slug/one-slug.js";
import { insideKerf } from "../slug/slug.js";
import type { Surroundings } from "../surroundings.js";
import { type Places, placesOf } from "../tab/proper.js";
import { offSpot, type Spot, type Track } from "../track/track.js";
import { holePlaces, holePlacesFor, type Place } from "./hole-places.js";
import { roomFor, shortestLead } from "./hole-room.js";
import { isClear, leadsIn } from "./lead-clear.js";
import { endSpots, holdsTab, type LeadPlace } from "./lead-places.js";
import type { OutlineProfile } from "./placing-score.js";
import type { WayIn } from "./ways-in.js";

export interface Entry {
  readonly hole: StartHole;
  readonly lead: Spot;
  /** The grid the hole stands on, mm; 0 for one that was drawn, placed by hand or planned before, and without a hole. */
  readonly grid: number;
}

/** One feature on its way to a start hole. */
export interface Site {
  readonly profile: OutlineProfile;
  readonly track: Track;
  /** Index of the feature in the layout. */
  readonly self: number;
  readonly around: Surroundings;
  readonly job: Job;
  /** Length along the rough's path that tab and kerf take up behind the lead point. */
  readonly span: number;
  /** mm that the tab has to measure where it is narrowest; 0: any tab will do. */
  readonly leastTab: number;
  /** The lead point, where it was decided by hand. */
  readonly fixed: Spot | null;
  /** Score of a lead point, the more the better; null: not there. */
  readonly judge: (lead: Spot) => number | null;
  /** All that lead in to parts already, and to this feature. */
  readonly ways: readonly WayIn[];
}

/** Lengths of lead that are tried, in shares of the shortest that keeps the hole off the edge. */
const LEADS = [1, 1.6, 2.5, 4, 6];
const SHORT_LEADS = LEADS.slice(0, 3);

/** A lead from a hole that serves two parts may be so many times as long as the shortest; common practice, no source. */
export const LONGEST_SHARED = 4;

/** How many of the best places are tried for one hole, grid and length of lead. */
const TRIALS = 80;

/** Places that are looked at at most, and how many of the first are tried unseen, for mostly the first will do. */
const LOOKS = 3000;
const UNSEEN = 20;

/** Places that are tried with a slanting lead. */
const SLANTED = 20;

/** A hole on the grid moves the lead point along; there it must still be worth this share of what it was. */
const STILL_GOOD = 0.85;

/**
 * A place for a new hole, or `null` when there is none: clear even if the hole wanders, or, where there is no such
 * place, clear if it does not.
 */
export function findEntry(site: Site): Entry | null {
  const places = placesOf(site);
  if (places === null) return null;
  return (
    placeHole(site, places, wanderIn(site.job)) ?? placeHole(site, places, 0)
  );
}

/**
 * Where an opening is so slim that the hole must open into the rough's kerf, the hole stands at an end of it, so that
 * the slug stays in one piece that the tab holds.
 */
function placeHole(
  site: Site,
  { ranked, good }: Places,
  wander: number,
): Entry | null {
  const { track, job, fixed } = site;
  const sizes = holeSizes(job);
  // A finer grid is the last resort: a hole off the shop's grid is easier to drill wrong.
  const grids = [1, 5, 50].map((k) => job.startHoles.grid / k);
  for (const grid of grids) {
    for (const diameter of sizes) {
      const room = roomFor(diameter, job, wander);
      const at = fixed
        ? placeBeside(site, fixed, LEADS, grid, room)
        : (placeBetween(site, good, grid, room) ??
          bestPlace(site, good, SHORT_LEADS, grid, room) ??
          slantingPlace(site, good, grid, room) ??
          bestPlace(site, ranked, LEADS, grid, room));
      if (at) return newHole(at, diameter, grid);
    }
  }
  if (fixed || track.feature.role === "part") return null;
  const ends = [...ranked].filter(({ piece }) => holdsTab(piece, site.span));
  const body = insideKerf(track.contour, job);
  for (const grid of grids) {
    for (const diameter of sizes) {
      const at = placeAtEnd(site, ends, body, diameter, grid, wander);
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

/** The first clear place beside the best places of the outline; the shortest lead of each comes first. */
function bestPlace(
  site: Site,
  places: Iterable<LeadPlace>,
  leads: readonly number[],
  grid: number,
  room: number,
  suits: (place: Place) => boolean = () => true,
): Place | null {
  const { track, around, job, judge } = site;
  const nearest = shortestLead(room, job);
  let trials = TRIALS * leads.length;
  let others = trials;
  let looks = 0;
  for (const { piece, spot, score } of places) {
    for (const off of leads.map((k) => k * nearest)) {
      const p = offSpot(track, spot, off);
      if (around.edges.anyNearer(p.x, p.y, room - grid)) continue;
      // Among teeth most places are no good: they must not use up the trials of those that are.
      const hopeful =
        looks++ < UNSEEN ||
        leadsIn(site, { hole: p, lead: spot }, around.edges);
      if (looks > LOOKS || (hopeful && trials-- <= 0)) return null;
      if (!hopeful && others-- <= 0) continue;
      const found = holePlaces(track, piece, spot, off, grid).find(
        (at) =>
          suits(at) &&
          isClear(site, at, room) &&
          (judge(at.lead) ?? -1) >= STILL_GOOD * score,
      );
      if (found) return found;
    }
  }
  return null;
}

/** A hole that a neighbour can use as well: drilled once for both. */
function placeBetween(
  site: Site,
  places: Iterable<LeadPlace>,
  grid: number,
  room: number,
): Place | null {
  const { track, around, self } = site;
  const { role, parent } = track.feature;
  const { features } = around.layout;
  // Those before it have their holes already.
  const isOther = (k: number): boolean =>
    k > self && features[k]?.role === "part" && features[k].parent === parent;
  if (role !== "part" || !features.some((_, k) => isOther(k))) return null;
  const reach = LONGEST_SHARED * room;
  const facesOther = ({ hole: { x, y } }: Place): boolean =>
    around.outlines.near(x, y, x, y, reach).some((e) => {
      const edge = around.outlines.segments[e] as Segment;
      return (
        isOther(around.owner[e] as number) &&
        distanceToSegment(edge, x, y) < reach
      );
    });
  return bestPlace(site, places, SHORT_LEADS, grid, room, facesOther);
}

/** Rather a slanting lead to a good place than a square one to a poor one. */
function slantingPlace(
  site: Site,
  places: Iterable<LeadPlace>,
  grid: number,
  room: number,
): Place | null {
  let tried = 0;
  for (const { spot } of places) {
    if (tried++ === SLANTED) break;
    const place = placeBeside(site, spot, SHORT_LEADS, grid, room);
    if (place) return place;
  }
  return null;
}

/** A hole for a lead point that is fixed: on the grid if need be with a slanting lead, or square to it. */
function placeBeside(
  site: Site,
  lead: Spot,
  leads: readonly number[],
  grid: number,
  room: number,
): Place | null {
  const { track, job } = site;
  for (const off of leads.map((k) => k * shortestLead(room, job))) {
    const place = holePlacesFor(track, lead, off, grid).find((at) =>
      isClear(site, at, room),
    );
    if (place) return place;
  }
  return null;
}

function placeAtEnd(
  site: Site,
  places: readonly LeadPlace[],
  body: readonly Contour[],
  diameter: number,
  grid: number,
  wander: number,
): Place | null {
  const { track, around, job, judge } = site;
  const room = diameter / 2 + job.startHoles.clearance + wander;
  const pieces = [...new Set(places.map(({ piece }) => piece))];
  for (const off of [1, 1.2].map((k) => k * shortestLead(room, job))) {
    const roomy = pieces
      .flatMap((piece) => endSpots(piece).map((spot) => ({ piece, spot })))
      .filter(({ spot }) => {
        const p = offSpot(track, spot, off);
        return !around.edges.anyNearer(p.x, p.y, room - grid);
      });
    for (const { piece, spot } of roomy.slice(0, TRIALS)) {
      const place = holePlaces(track, piece, spot, off, grid).find(
        (at) =>
          isClear(site, at, room) &&
          judge(at.lead) !== null &&
          leavesOneSlug(site, body, at, diameter),
      );
      if (place) return place;
    }
  }
  return null;
}
