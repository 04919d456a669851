/** Is the way from a start hole to the outline clear? */
import { SAME_POINT } from "../base/tolerance.js";
import type { SegmentIndex } from "../geometry/distance.js";
import { line } from "../geometry/segment.js";
import { distance, dot, lerp, sub, type Vec } from "../geometry/vec.js";
import type { Site } from "./entry.js";
import type { Place } from "./hole-places.js";
import type { Job, Pass } from "./job.js";
import { LEAST_WEB, standOffDistance, standsClear } from "./stand-off.js";
import { edgesNearer, inWasteOf } from "./surroundings.js";
import { reachedByAll, spotNormal, spotPoint } from "./track.js";
import { keepsOff } from "./ways-in.js";

/** Hole in the waste with `room` to every edge, and a clear lead from there. */
export function isClear(site: Site, place: Place, room: number): boolean {
  const { self, around } = site;
  const { x, y } = place.hole;
  if (room > 0 && around.edges.anyNearer(x, y, room - SAME_POINT)) return false;
  return (
    leadsIn(site, place, around.edges) && inWasteOf(around, self, place.hole)
  );
}

/** Stand-off this side of where the wire is threaded, and nothing near the lead: none of `edges`, no other lead. */
export function leadsIn(
  { track, around, job, ways }: Site,
  { hole, lead }: Place,
  edges: SegmentIndex,
): boolean {
  const edge = spotPoint(track, lead);
  const normal = spotNormal(track, lead);
  if (dot(sub(hole, edge), normal) < standOffDistance(job) - SAME_POINT)
    return false;
  return (
    reachedByAll(track, lead) &&
    leadIsClear(edges, job, hole, edge, normal) &&
    standsClear(track, around, lead, job) &&
    keepsOff(ways, hole, edge, job)
  );
}

/** Cosine of the slant from which on a lead counts as square to the edge. */
const SQUARE = 0.9999;

/** A slanting lead may near the edge beside its foot by as much more than its own height above it. */
const SLANT = 0.7;

/** Points along the lead's foot that are asked for their nearest edge. */
const LEAD_SAMPLES = 12;

/**
 * Along the lead nothing but the lead point itself may be near: an edge within a kerf, and what the rough's kerf
 * takes off it, would part the waste between the two, and the piece would fall with nobody there.
 */
function leadIsClear(
  edges: SegmentIndex,
  job: Job,
  hole: Vec,
  edge: Vec,
  normal: Vec,
): boolean {
  const rough = job.passes[0] as Pass;
  const sweep = job.wire.diameter / 2 + rough.gap;
  const apart = rough.offset + 2 * sweep + LEAST_WEB;
  const way = distance(hole, edge);
  const rise = dot(sub(hole, edge), normal);
  const share = rise >= SQUARE * way ? 0.999 : (SLANT * rise) / way;
  // Beyond its foot the lead is farther than that from its own edge.
  const foot = Math.min(1, (1.01 * apart) / share / way);
  for (let k = 0; k <= LEAD_SAMPLES; k++) {
    const u = (foot * k) / LEAD_SAMPLES;
    const p = lerp(edge, hole, u);
    const limit = Math.min(apart, u * way * share - SAME_POINT);
    if (edges.anyNearer(p.x, p.y, limit)) return false;
  }
  return (
    foot === 1 ||
    edgesNearer(edges, line(lerp(edge, hole, foot), hole), apart - SAME_POINT)
      .length === 0
  );
}
