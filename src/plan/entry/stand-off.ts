/** Where the wire stands off the outline between strokes, and the spots from which it can. */
import { HOLDING_WEB, SAME_POINT } from "../../base/tolerance.js";
import { nearestOnSegment } from "../../geometry/distance.js";
import { line, type Segment } from "../../geometry/segment.js";
import { distance, dot, lerp, sub, type Vec } from "../../geometry/vec.js";
import { type Job, narrowestKerf, type Pass, roughKerf } from "../job/job.js";
import { STAND_OFF } from "../job/lead.js";
import { kerfDepth } from "../slug/slug.js";
import { edgesNearer, type Surroundings } from "../surroundings.js";
import {
  offSpot,
  reachedByAll,
  type Spot,
  spotNormal,
  type Track,
  walk,
} from "../track/track.js";

/** Metal (mm) between the lead's kerf and any other kerf, so that the two cut no chip or half a slug loose. */
export const LEAST_WEB = 0.1;

/** Share of the narrowest kerf that the wire stands off at most: farther, and its way from stroke to stroke parts a strip. */
const OF_KERF = 0.9;

export function standOffDistance(job: Job): number {
  const { offset } = job.passes[0] as Pass;
  return offset + Math.min(STAND_OFF, OF_KERF * narrowestKerf(job));
}

/**
 * Can the wire stand off this spot without nearing any other wall, and without meeting the rough's kerf along a wall
 * across from it? The two would cut a thin slug's limb through.
 */
export function standsClear(
  track: Track,
  around: Surroundings,
  spot: Spot,
  job: Job,
): boolean {
  const { edges } = around;
  const { offset } = job.passes[0] as Pass;
  const far = standOffDistance(job);
  const p = offSpot(track, spot, far);
  if (edges.anyNearer(p.x, p.y, offset)) return false;
  // From the middle of the wire that stands off to the wall: its half of the kerf, a web, and the other kerf.
  const apart = roughKerf(job) / 2 + HOLDING_WEB + kerfDepth(job);
  const q = offSpot(track, spot, far + apart / 2);
  if (edges.anyNearer(q.x, q.y, apart / 2)) return false;
  // The wall across may slant: that circle leaves out what is nearer than `apart` beside the line to it.
  const reach = apart * Math.SQRT1_2;
  const r = offSpot(track, spot, far + reach);
  if (!edges.anyNearer(r.x, r.y, reach)) return true;
  const normal = spotNormal(track, spot);
  return edges.near(p.x, p.y, p.x, p.y, apart).every((e) => {
    const foot = nearestOnSegment(edges.segments[e] as Segment, p);
    const ahead = dot(sub(foot.at, p), normal);
    return foot.distance >= apart || ahead <= Math.SQRT1_2 * foot.distance;
  });
}

/** Where the wire stands off a spot. */
function standOff(track: Track, spot: Spot, job: Job): Vec {
  return offSpot(track, spot, standOffDistance(job));
}

/** Can the threaded wire go straight from off one spot to off another? */
export function goesStraight(
  track: Track,
  around: Surroundings,
  from: Spot,
  to: Spot,
  job: Job,
): boolean {
  const [a, b] = [from, to].map((s) => standOff(track, s, job)) as [Vec, Vec];
  return goesClear(around, a, b, job.passes);
}

/** Can the threaded wire go straight from place to place? */
export function goesClear(
  { edges }: Surroundings,
  from: Vec,
  to: Vec,
  passes: readonly Pass[],
): boolean {
  const { offset } = passes[0] as Pass;
  return (
    distance(from, to) <= SAME_POINT ||
    edgesNearer(edges, line(from, to), offset - SAME_POINT).length === 0
  );
}

/** Steps in which a way from spot to spot is asked how far off the wall it is, in shares of the narrowest kerf, and how many. */
const ASKED = 0.5;
const MOST_ASKED = 64;

/**
 * Does the straight way from off one spot to off another keep so near to the wall that its kerf meets the rough's all
 * along? In a bore and across a notch it goes farther off, and what lies between would come loose.
 */
export function leavesNoIsland(
  track: Track,
  around: Surroundings,
  from: Spot,
  to: Spot,
  job: Job,
): boolean {
  const [a, b] = [from, to].map((s) => standOff(track, s, job)) as [Vec, Vec];
  const kerf = narrowestKerf(job);
  const n = Math.min(MOST_ASKED, Math.ceil(distance(a, b) / (ASKED * kerf)));
  const most = (job.passes[0] as Pass).offset + kerf;
  return Array.from({ length: Math.max(0, n - 1) }, (_, k) => {
    const { x, y } = lerp(a, b, (k + 1) / n);
    return around.edges.anyNearer(x, y, most);
  }).every((near) => near);
}

/** A spot, and how far along the rough's path it is from another, mm. */
export interface Along {
  readonly spot: Spot;
  readonly far: number;
}

/** Steps (mm) by which a spot is moved on until every pass reaches it and the wire can stand off it. */
const SHIFT = 0.05;

/**
 * The spot `far` mm from `start` along the rough's path (negative: backwards), or a little farther where that
 * place is a corner or beside one, and how far it is; `null` when there is none within `limit`.
 */
export function spotAlong(
  track: Track,
  around: Surroundings,
  job: Job,
  start: Spot,
  far: number,
  limit: number,
): Along | null {
  const step = Math.sign(far) * SHIFT;
  for (let at = far; Math.abs(at) <= limit; at += step) {
    const spot = walk(track, start, at);
    if (
      spot &&
      !spot.corner &&
      Math.abs(spot.far) >= Math.abs(far) - SAME_POINT &&
      reachedByAll(track, spot) &&
      standsClear(track, around, spot, job)
    )
      return { spot, far: spot.far };
  }
  return null;
}
