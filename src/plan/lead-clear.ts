/** Is the way from a start hole to the outline clear? */
import { SAME_POINT } from "../base/tolerance.js";
import { distance, dot, lerp, sub, type Vec } from "../geometry/vec.js";
import type { Site } from "./entry.js";
import type { Place } from "./hole-places.js";
import type { Job, Pass } from "./job.js";
import { standOffDistance, standsClear } from "./stand-off.js";
import { inWasteOf, type Surroundings } from "./surroundings.js";
import { reachedByAll, spotNormal, spotPoint } from "./track.js";

/** Metal (mm) between the lead's kerf and any other kerf, so that the two cut no chip or half a slug loose. */
export const LEAST_WEB = 0.1;

/** Hole in the waste with `room` to every edge, stand-off this side of the hole, nothing near the lead. */
export function isClear(
  { track, self, around, job }: Site,
  { hole, lead }: Place,
  room: number,
): boolean {
  const edge = spotPoint(track, lead);
  const normal = spotNormal(track, lead);
  if (dot(sub(hole, edge), normal) < standOffDistance(job) - SAME_POINT)
    return false;
  if (room > 0 && around.edges.anyNearer(hole.x, hole.y, room - SAME_POINT))
    return false;
  return (
    reachedByAll(track, lead) &&
    leadIsClear(around, job, hole, edge, normal) &&
    standsClear(track, around, lead, job) &&
    inWasteOf(around, self, hole)
  );
}

/** Cosine of the slant from which on a lead counts as square to the edge. */
const SQUARE = 0.9999;

/** A slanting lead may near the edge beside its foot by as much more than its own height above it. */
const SLANT = 0.7;

/** Points along the lead that are asked for their nearest edge. */
const LEAD_SAMPLES = 12;

/**
 * Along the lead nothing but the lead point itself may be near: an edge within a kerf, and what the rough's kerf
 * takes off it, would part the waste between the two, and the piece would fall with nobody there.
 */
function leadIsClear(
  around: Surroundings,
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
  for (let k = 0; k <= LEAD_SAMPLES; k++) {
    const p = lerp(edge, hole, k / LEAD_SAMPLES);
    const own = (way * k) / LEAD_SAMPLES;
    const limit = Math.min(apart, own * share - SAME_POINT);
    if (around.edges.anyNearer(p.x, p.y, limit)) return false;
  }
  return true;
}
