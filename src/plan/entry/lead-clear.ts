/** Is the way from a start hole to the outline clear? */
import { SAME_POINT } from "../../base/tolerance.js";
import type { SegmentIndex } from "../../geometry/distance.js";
import { line, type Segment } from "../../geometry/segment.js";
import {
  along,
  distance,
  dot,
  lerp,
  sub,
  type Vec,
} from "../../geometry/vec.js";
import type { Job, Pass } from "../job/job.js";
import { edgesNearer, inWasteOf } from "../surroundings.js";
import { LATEST } from "../tab/tab.js";
import { tabWidth } from "../tab/width.js";
import {
  reachedByAll,
  type Spot,
  spotNormal,
  spotPoint,
} from "../track/track.js";
import type { Site } from "./entry.js";
import type { Place } from "./hole-places.js";
import {
  type Along,
  LEAST_WEB,
  spotAlong,
  standOffDistance,
  standsClear,
} from "./stand-off.js";
import { keepsOff } from "./ways-in.js";

/** Hole in the waste with `room` to every edge and to every hole that is drawn, and a clear lead from there. */
export function isClear(site: Site, place: Place, room: number): boolean {
  const { self, around } = site;
  const { x, y } = place.hole;
  if (room > 0 && around.edges.anyNearer(x, y, room - SAME_POINT)) return false;
  return (
    leadsIn(site, place, around.edges) &&
    inWasteOf(around, self, place.hole) &&
    (room === 0 ||
      around.layout.holes.every(
        ({ at, diameter }) =>
          distance(at, place.hole) >= room + (diameter ?? 0) / 2,
      )) &&
    leavesTab(site, place, room - site.job.startHoles.clearance)
  );
}

/** Share of what the tab has to measure that must stand between the hole's wall and the tab's end. Common practice. */
const BESIDE_HOLE = 2 / 3;

/** A hole much wider than the kerf takes off the tab too; `radius` of it, with what it may wander. */
function leavesTab(site: Site, place: Place, radius: number): boolean {
  const least = BESIDE_HOLE * site.leastTab;
  return (
    least === 0 ||
    radius <= 0 ||
    tabBehind(site, place, least, 2 * radius) >= least
  );
}

/** Stand-off this side of where the wire is threaded, and nothing near the lead: none of `edges`, no other lead. */
export function leadsIn(
  site: Site,
  { hole, lead }: Place,
  edges: SegmentIndex,
): boolean {
  const { track, around, job, ways } = site;
  const own = track.contour.segments[lead.index] as Segment;
  const edge = spotPoint(track, lead);
  const normal = spotNormal(track, lead);
  if (dot(sub(hole, edge), normal) < standOffDistance(job) - SAME_POINT)
    return false;
  return (
    reachedByAll(track, lead) &&
    leadIsClear(edges, job, hole, edge, normal, SLANT[own.kind]) &&
    standsClear(track, around, lead, job) &&
    keepsOff(ways, track.feature, hole, edge, job) &&
    tabStands(site, { hole, lead })
  );
}

/**
 * Is there a tab behind the lead point that measures `leastTab`, or any at all? A hole at its stand-off asks of the tab
 * alone.
 */
function tabStands(site: Site, place: Place): boolean {
  const { leastTab } = site;
  return leastTab === 0
    ? tabEnd(site, place.lead) !== null
    : tabBehind(site, place, leastTab) >= leastTab;
}

/** Where the tab behind the lead point ends; null where it would reach farther than a tab may. */
export function tabEnd(
  { track, around, job, span }: Pick<Site, "track" | "around" | "job" | "span">,
  lead: Spot,
): Along | null {
  return spotAlong(track, around, job, lead, -span, LATEST * span);
}

/** mm that the tab behind the lead point measures (`tabWidth`); minus infinity where it has no end near enough. */
export function tabBehind(
  site: Pick<Site, "track" | "around" | "job" | "span">,
  { hole, lead }: Place,
  enough: number,
  diameter = 0,
  most?: number,
): number {
  const end = tabEnd(site, lead);
  return end === null
    ? Number.NEGATIVE_INFINITY
    : tabWidth(
        site.track,
        { hole, diameter, lead, tabEnd: end.spot },
        site.job,
        enough,
        most,
      );
}

/** Cosine of the slant from which on a lead counts as square to the edge. */
const SQUARE = 0.9999;

/**
 * A slanting lead is nearest to its own edge by its height above it, or by less where that edge bends towards it: by
 * this share of the height nothing may be nearer. Any smaller, and a lead may pass the far corner of a tooth space.
 */
const SLANT = { line: 0.95, arc: 0.7 } as const;

/** Points along the lead's foot that are asked for their nearest edge. */
const LEAD_SAMPLES = 12;

/**
 * Along the lead nothing but the lead point itself may be near: an edge within a kerf, and what the rough's kerf
 * takes off it, would part the waste between the two, and the piece would fall with nobody there. A slanting lead
 * is asked on the way the wire takes: from the hole to where it stands off the lead point.
 */
function leadIsClear(
  edges: SegmentIndex,
  job: Job,
  hole: Vec,
  edge: Vec,
  normal: Vec,
  slant: number,
): boolean {
  const rough = job.passes[0] as Pass;
  const sweep = job.wire.diameter / 2 + rough.gap;
  const apart = rough.offset + 2 * sweep + LEAST_WEB;
  const rise = dot(sub(hole, edge), normal);
  const isSquare = rise >= SQUARE * distance(hole, edge);
  const share = isSquare ? 0.999 : slant;
  const least = isSquare ? 0 : standOffDistance(job);
  const from = along(edge, normal, least);
  // Beyond its foot the lead is farther than that from its own edge.
  const high = (1.01 * apart) / share - least;
  const foot = high < rise - least ? high / (rise - least) : 1;
  for (let k = 0; k <= LEAD_SAMPLES; k++) {
    const u = (foot * k) / LEAD_SAMPLES;
    const p = lerp(from, hole, u);
    const height = least + u * (rise - least);
    const limit = Math.min(apart, height * share - SAME_POINT);
    if (edges.anyNearer(p.x, p.y, limit)) return false;
  }
  return (
    foot === 1 ||
    edgesNearer(edges, line(lerp(from, hole, foot), hole), apart - SAME_POINT)
      .length === 0
  );
}
