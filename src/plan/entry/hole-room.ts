/** How much room a start hole wants. */
import { SAME_POINT } from "../../base/tolerance.js";
import { distance } from "../../geometry/vec.js";
import type { DrawnHole } from "../feature.js";
import type { Job } from "../job/job.js";
import { kerfDepth } from "../slug/slug.js";
import { LEAST_WEB, standOffDistance } from "./stand-off.js";

/**
 * Distance (mm) a new hole's centre keeps from every edge, so that it neither nears one nor opens into a kerf, though
 * it may come out as far off as `wander`.
 */
export function roomFor(diameter: number, job: Job, wander: number): number {
  return (
    diameter / 2 +
    wander +
    Math.max(job.startHoles.clearance, kerfDepth(job) + LEAST_WEB)
  );
}

/** Does a drawn hole take the wire: or does it stand at the rim of another, where the wire would be threaded through metal? */
export function takesWire(
  { at }: Pick<DrawnHole, "at">,
  holes: readonly DrawnHole[],
  { wire }: Job,
): boolean {
  return holes.every(({ at: other, diameter }) => {
    const off = distance(at, other);
    return (
      diameter === null ||
      off <= SAME_POINT ||
      off >= (diameter + wire.diameter) / 2 ||
      off <= (diameter - wire.diameter) / 2
    );
  });
}

/** Shortest lead (mm, hole's centre to edge): clear of the edge, and room to stand off before the first stroke. */
export function shortestLead(room: number, job: Job): number {
  return Math.max(room, standOffDistance(job) + SAME_POINT);
}
