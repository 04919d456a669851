/** Slim openings, whose start hole opens into the rough's kerf: is the slug still one piece, held by its tab? */
import {
  type Contour,
  circleContour,
  windingNumber,
} from "../../geometry/contour.js";
import { intersectSegments } from "../../geometry/intersect.js";
import { pointAt, type Segment, tangentAt } from "../../geometry/segment.js";
import { along, distance, dot, negate, sub } from "../../geometry/vec.js";
import type { Site } from "../entry/entry.js";
import type { Place } from "../entry/hole-places.js";
import { LEAST_WEB } from "../entry/stand-off.js";
import { spotPoint } from "../track/track.js";

/**
 * Does a hole that may open into the rough's kerf leave the slug whole, and on the tab's side? A circle that meets
 * the slug's edge four times parts it. One that meets it twice bites a piece out: either on the lead's side, and a
 * web stays on the other; or off the slug's end, and then nothing of the end may stick out of the hole, or hole and
 * lead would cut it off.
 */
export function leavesOneSlug(
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
