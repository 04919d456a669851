/**
 * Arcs by which a stroke comes to the outline and leaves it, tangent to it: a quarter turn about one centre for every
 * pass. They are for strokes with no tab beside them: an arc comes from over the stretch behind its foot, and a tab
 * that stands there would be undercut.
 *
 *      off ←─ ramp ─ C            C: the centre, one radius off the outline
 *                                 the ramp is straight and square to the arc's end, as G41 wants it (NISTIR 6556)
 *    S ·
 *        ` .
 *   ─────────` ─ P ──────────→    the track; P: the spot where the stroke begins
 */
import { SAME_POINT } from "../../base/tolerance.js";
import {
  arcFromTo,
  line,
  type Segment,
  tangentAt,
} from "../../geometry/segment.js";
import { along, type Vec } from "../../geometry/vec.js";
import { standOffDistance } from "../entry/stand-off.js";
import type { Job } from "../job/job.js";
import { edgesNearer, type Surroundings } from "../surroundings.js";
import {
  offSpot,
  type Spot,
  spotNormal,
  spotPoint,
  type Track,
} from "../track/track.js";

/** Does the arc come before a stroke, from behind its foot, or follow it? In the track's direction. */
export type ArcSide = "in" | "out";

export interface LeadArc {
  /** At the pass's offset, in the track's direction. */
  readonly path: Segment;
  /** On the outline, for a control that offsets by itself. */
  readonly outline: Segment;
  /** Where the wire stands off, square to the arc's far end. */
  readonly off: Vec;
}

export function leadArc(
  track: Track,
  spot: Spot,
  side: ArcSide,
  offset: number,
  job: Job,
): LeadArc {
  const { radius } = job.lead;
  const sign = side === "in" ? -1 : 1;
  const tangent = tangentAt(
    track.contour.segments[spot.index] as Segment,
    spot.t,
  );
  const normal = spotNormal(track, spot);
  const center = along(spotPoint(track, spot), normal, radius);
  const arc = (r: number): Segment => {
    const foot = along(center, normal, -r);
    const far = along(center, tangent, sign * r);
    return side === "in"
      ? arcFromTo(center, far, foot, true)
      : arcFromTo(center, foot, far, true);
  };
  return {
    path: arc(radius - offset),
    outline: arc(radius),
    off: along(center, tangent, sign * (radius - standOffDistance(job))),
  };
}

/**
 * Has the wire room for the arc on every pass, and for the way to it from off another spot? Beside the outline it runs at the
 * pass's offset; on the straight ways nothing says which pass burns, and the widest gap must have room.
 */
export function arcIsClear(
  track: Track,
  around: Surroundings,
  from: Spot,
  spot: Spot,
  side: ArcSide,
  job: Job,
): boolean {
  const before = offSpot(track, from, standOffDistance(job));
  const widest = Math.max(...job.passes.map(({ gap }) => gap));
  const sweep = job.wire.diameter / 2 + widest;
  return track.passes.every(({ pass: { offset } }) => {
    const { path, off } = leadArc(track, spot, side, offset, job);
    const far = side === "in" ? path.start : path.end;
    const isClear = (way: Segment, room: number): boolean =>
      edgesNearer(around.edges, way, room - 10 * SAME_POINT).length === 0;
    return (
      isClear(path, offset) &&
      [line(off, far), line(before, off)].every((way) =>
        isClear(way, Math.max(offset, sweep)),
      )
    );
  });
}
