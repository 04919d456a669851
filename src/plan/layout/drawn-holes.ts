/** What is to be said of the holes that are drawn: those that nothing uses, and those that harm. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { HOLDING_WEB } from "../../base/tolerance.js";
import { circleContour } from "../../geometry/contour.js";
import { intersectSegments } from "../../geometry/intersect.js";
import { distance, pair, type Vec } from "../../geometry/vec.js";
import type { Job } from "../job/job.js";
import { holeSizes } from "../job/start-holes.js";
import { entriesOf, type PlannedSlit } from "../plan.js";
import type { Planned } from "../plan-feature.js";
import { insideKerf } from "../slug/slug.js";
import { inWasteOf, type Surroundings } from "../surroundings.js";

export function drawnHoleFindings(
  planned: readonly Planned[],
  slits: readonly PlannedSlit[],
  around: Surroundings,
  job: Job,
): Finding[] {
  return around.layout.holes.flatMap(({ at, diameter }) => {
    const wide = diameter ?? (holeSizes(job)[0] as number);
    const isUsed = planned.some(({ feature }) =>
      entriesOf(feature).some(
        ({ startHole: h }) => h.drawn && distance(h.at, at) === 0,
      ),
    );
    // A slit's wire is threaded on its line, which need not run through the middle.
    const servesSlit = slits.some(
      ({ startHole: h }) => h.drawn && distance(h.at, at) <= wide / 2,
    );
    return (
      (isUsed ? null : acrossEdge(at, wide, around)) ??
      partsSlug(at, wide, planned, around, job) ??
      (isUsed || servesSlit ? [] : [unused(at, wide)])
    );
  });
}

function acrossEdge(
  at: Vec,
  wide: number,
  { outlines, owner, layout }: Surroundings,
): Finding[] | null {
  const near = outlines.nearest(at, wide / 2);
  if (!near) return null;
  const id = layout.features[owner[near.segment] as number]?.id ?? "";
  return [
    {
      code: "start-hole/close",
      severity: "error",
      message: `the hole drawn at ${placeText(pair(at))}, ${trimmed(wide, 3)} mm, goes ${trimmed(wide / 2 - near.distance, 3)} mm across the edge of ${id}; move it, or make it smaller`,
      where: pair(at),
      feature: id,
    },
  ];
}

/** A hole that reaches the rough's kerf on two sides, like a second cut. */
function partsSlug(
  at: Vec,
  wide: number,
  planned: readonly Planned[],
  around: Surroundings,
  job: Job,
): Finding[] | null {
  const rim = circleContour(at, wide / 2 + HOLDING_WEB).segments;
  const cut = planned.find(({ feature, track }) => {
    if (feature.tab === null) return false;
    const self = around.layout.features.findIndex((f) => f.id === feature.id);
    if (!inWasteOf(around, self, at)) return false;
    const passes = track.passes.map((p) => p.pass);
    const edge = insideKerf(track.contour, { ...job, passes });
    const meetings = edge.flatMap((c) =>
      c.segments.flatMap((s) => rim.flatMap((r) => intersectSegments(s, r))),
    );
    return meetings.length > 2;
  });
  if (!cut) return null;
  const { id, role } = cut.feature;
  const [what, other] =
    role === "part"
      ? [`the waste around ${id}`, "away from the corners of the part"]
      : [`the slug of ${id}`, "to an end of the opening"];
  return [
    {
      code: "start-hole/parts-slug",
      severity: "error",
      message: `the hole drawn at ${placeText(pair(at))}, ${trimmed(wide, 3)} mm, is so wide that the rough meets it on either side: ${what} would come apart, and a piece without a tab would fall with nobody there. Make it smaller, or move it ${other}`,
      where: pair(at),
      feature: id,
    },
  ];
}

function unused(at: Vec, wide: number): Finding {
  return {
    code: "start-hole/unused",
    severity: "note",
    message: `the hole drawn at ${placeText(pair(at))}, ${trimmed(wide, 3)} mm, serves nothing: no straight lead-in from there meets an outline square and clear of other edges, or another hole serves it better`,
    where: pair(at),
  };
}
