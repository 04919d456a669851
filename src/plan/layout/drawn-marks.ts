/** What the drawing says beside its outlines: holes that are there, places for tabs, edges to keep off. */
import { SAME_POINT } from "../../base/tolerance.js";
import type { Drawing } from "../../drawing/drawing.js";
import { areaMoments, type Contour } from "../../geometry/contour.js";
import { distance, type Vec } from "../../geometry/vec.js";
import type { DrawnHole, Layout, Role } from "../feature.js";
import type { Job } from "../job/job.js";
import { sameLayer } from "./layer-choice.js";

/** Role of a drawn outline; "hole": a start hole; "mark": a tab's place, or a line along an edge to keep off. */
export type OutlineRole = Role | "hole" | "mark";

/** The role of what is drawn on a layer that the job names for holes or marks. */
export function markRole(
  layer: string,
  { startHoles, tabs }: Job,
): "hole" | "mark" | null {
  if (sameLayer(layer, startHoles.layer)) return "hole";
  return sameLayer(layer, tabs.layer) || sameLayer(layer, tabs.keepOffLayer)
    ? "mark"
    : null;
}

export function drawnMarks(
  { outlines, open, points }: Drawing,
  roles: readonly OutlineRole[],
  { startHoles, tabs }: Job,
): Pick<Layout, "holes" | "tabMarks" | "keepOff"> {
  const pointsOn = (layer: string | null): Vec[] =>
    points.filter((p) => sameLayer(p.layer, layer)).map((p) => p.at);
  const outlinesOn = (layer: string | null): Contour[] =>
    outlines.filter((o) => sameLayer(o.layer, layer)).map((o) => o.contour);
  const keepOff = [
    ...outlinesOn(tabs.keepOffLayer),
    ...open
      .filter((o) => sameLayer(o.layer, tabs.keepOffLayer))
      .map((o) => o.contour),
  ];
  return {
    holes: [
      ...pointsOn(startHoles.layer).map((at) => ({ at, diameter: null })),
      ...outlines
        .filter((_, i) => roles[i] === "hole")
        .map((o) => circleOf(o.contour)),
    ],
    tabMarks: [
      ...pointsOn(tabs.layer),
      ...outlinesOn(tabs.layer).map((c) => circleOf(c).at),
    ],
    keepOff: keepOff.flatMap((c) => c.segments),
  };
}

function circleOf(c: Contour): DrawnHole {
  const first = c.segments[0];
  if (
    first?.kind === "arc" &&
    c.segments.every(
      (s) =>
        s.kind === "arc" &&
        distance(s.center, first.center) < SAME_POINT &&
        Math.abs(s.radius - first.radius) < SAME_POINT,
    )
  )
    return { at: first.center, diameter: 2 * first.radius };
  return { at: areaMoments(c).centroid, diameter: null };
}
