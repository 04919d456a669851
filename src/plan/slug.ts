/** The piece that comes loose: what is left of an opening's inside once the rough's kerf is gone, or the part. */
import { areaMoments, type Contour } from "../geometry/contour.js";
import { loopContour, offsetLeft } from "../geometry/offset.js";
import type { Vec } from "../geometry/vec.js";
import { pieceMass } from "../process/materials.js";
import type { Feature } from "./feature.js";
import type { Job, Pass } from "./job.js";
import { trackContour } from "./track.js";

export interface Slug {
  readonly mass: number;
  readonly cg: Vec;
  readonly area: number;
}

/** `within`: the outlines cut out of this feature's piece before it comes loose. */
export function slugOf(
  feature: Feature,
  within: readonly Contour[],
  job: Job,
): Slug {
  const body =
    feature.role === "part"
      ? [feature.contour]
      : insideKerf(trackContour(feature), job);
  let area = 0;
  let mx = 0;
  let my = 0;
  const take = (c: Contour, sign: number): void => {
    const m = areaMoments(c);
    area += sign * m.area;
    mx += sign * m.area * m.centroid.x;
    my += sign * m.area * m.centroid.y;
  };
  for (const c of body) take(c, 1);
  for (const c of within) take(c, -1);
  if (area <= 0)
    return { mass: 0, cg: areaMoments(feature.contour).centroid, area: 0 };
  const cg = { x: mx / area, y: my / area };
  return {
    area,
    cg,
    mass: pieceMass(area, job.stock.thickness, job.process.material.density),
  };
}

/** What is left between the walls of an opening once the rough has gone round. */
export function insideKerf(track: Contour, job: Job): Contour[] {
  return offsetLeft([track], kerfDepth(job)).map(loopContour);
}

/** How far (mm) the rough's kerf reaches into the waste, from the outline. */
export function kerfDepth({ passes, wire }: Job): number {
  const rough = passes[0] as Pass;
  return rough.offset + wire.diameter / 2 + rough.gap;
}
