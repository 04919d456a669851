/**
 * The ways in to the parts of one block, and what they do to each other. A hole that serves two parts, and the block's
 * edge for all that begin there, ties their kerfs together: one tie leaves the rest of the block in one piece, a second
 * one between the same parts would cut it in two.
 */
import { distanceBetween, distanceToSegment } from "../../geometry/distance.js";
import {
  type Box,
  boxesTouch,
  grownBox,
  line,
  type Segment,
  segmentBox,
} from "../../geometry/segment.js";
import { distance, type Vec } from "../../geometry/vec.js";
import type { Feature } from "../feature.js";
import { type Job, roughKerf } from "../job/job.js";
import { holeSizes } from "../job/start-holes.js";
import type { StartHole } from "../plan.js";
import { LEAST_WEB } from "./stand-off.js";

export interface WayIn {
  readonly feature: Feature;
  readonly hole: StartHole;
  /** From the hole's middle to the outline. */
  readonly lead: Segment;
  readonly box: Box;
  /** What it hangs on. */
  readonly tie: string;
}

export function wayInFrom(feature: Feature, hole: StartHole, edge: Vec): WayIn {
  const lead = line(hole.at, edge);
  return { feature, hole, lead, box: segmentBox(lead), tie: tieOf(hole) };
}

/** What ways in hang on: a hole by its place, or the edge of the block. */
function tieOf({ at, diameter }: StartHole): string {
  return diameter === 0 ? "edge" : `${at.x} ${at.y}`;
}

/** May the ways in to two features meet? Those to all parts of a block, and in a slug those to it and to the parts in it. */
export function sharesWaste(a: Feature, b: Feature): boolean {
  return a.role === "part"
    ? b.role === "part" || a.parent === b.id
    : a.id === b.id || b.parent === a.id;
}

/** Holes that are there, or planned, for other parts in the same waste; `isNear` leaves out those too far away. */
export function neighboursHoles(
  ways: readonly WayIn[],
  feature: Feature,
  isNear: (hole: StartHole) => boolean,
): StartHole[] {
  const holes = new Map<string, StartHole>();
  for (const way of ways)
    if (
      way.feature.id !== feature.id &&
      way.feature.parent === feature.parent &&
      way.hole.diameter > 0 &&
      isNear(way.hole)
    )
      holes.set(way.tie, way.hole);
  return [...holes.values()];
}

/** Would a lead from `hole` tie the part to what it is tied to already, so that the block falls in two? */
export function partsBlock(
  ways: readonly WayIn[],
  feature: Feature,
  hole: StartHole,
): boolean {
  const wanted = tieOf(hole);
  const ties = new Set<string>();
  const features = new Set([feature.id]);
  for (let before = -1; before < ties.size + features.size; ) {
    before = ties.size + features.size;
    for (const way of ways)
      if (features.has(way.feature.id) || ties.has(way.tie)) {
        features.add(way.feature.id);
        ties.add(way.tie);
      }
  }
  return ties.has(wanted);
}

/**
 * Does a way in keep a web to every other lead and hole? Parts may share a hole with each other; two leads from one hole to the same
 * outline would cut what the tabs hold between them.
 */
export function keepsOff(
  ways: readonly WayIn[],
  feature: Feature,
  hole: Vec,
  edge: Vec,
  job: Job,
): boolean {
  const kerf = roughKerf(job);
  const radius = (holeSizes(job)[0] as number) / 2;
  const widest = radius + kerf / 2 + LEAST_WEB;
  const own = line(hole, edge);
  const box = segmentBox(own);
  return ways.every(
    ({ feature: { id, role }, hole: { at, diameter }, lead, ...way }) => {
      const apart = radius + diameter / 2 + LEAST_WEB;
      const reach = Math.max(kerf, widest, (diameter + kerf) / 2) + LEAST_WEB;
      if (at.x === hole.x && at.y === hole.y)
        return id !== feature.id && role === feature.role;
      if (!boxesTouch(grownBox(box, Math.max(reach, apart)), way.box))
        return true;
      return (
        distance(at, hole) >= apart &&
        distanceBetween(own, lead) >= kerf + LEAST_WEB &&
        distanceToSegment(lead, hole.x, hole.y) >= widest &&
        distanceToSegment(own, at.x, at.y) >=
          diameter / 2 + kerf / 2 + LEAST_WEB
      );
    },
  );
}
