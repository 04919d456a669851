/** The piece that comes loose: what is left of an opening's inside once the rough's kerf is gone, or the part. */
import { HOLDING_WEB } from "../base/tolerance.js";
import {
  areaMoments,
  type Contour,
  contourArea,
  contourBox,
} from "../geometry/contour.js";
import { loopContour, offsetLeft } from "../geometry/offset.js";
import { unionBox } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import { pieceMass } from "../process/materials.js";
import { type TabNeeds, tabNeeds } from "../process/tabs.js";
import type { Feature } from "./feature.js";
import { crumbArea, type Job, type Pass, roughKerf } from "./job.js";
import { trackContour } from "./track.js";

export interface Slug {
  readonly mass: number;
  readonly cg: Vec;
  readonly area: number;
  /** Width and height of its box, seen from above. */
  readonly size: readonly [width: number, height: number];
  /** Radians it can lean over until it is wedged; null: it can turn right over (see `leanAngle`). */
  readonly lean: number | null;
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
  const [first, ...others] = body.map(contourBox);
  if (area <= 0 || !first) return noSlug(areaMoments(feature.contour).centroid);
  const box = others.reduce(unionBox, first);
  const size = [box.maxX - box.minX, box.maxY - box.minY] as const;
  return {
    area,
    cg: { x: mx / area, y: my / area },
    size,
    lean: leanAngle(Math.max(...size), job.stock.thickness, roughKerf(job)),
    mass: pieceMass(area, job.stock.thickness, job.process.material.density),
  };
}

/** Nothing comes loose; `cg` says where it would have. */
export function noSlug(cg: Vec): Slug {
  return { mass: 0, cg, area: 0, size: [0, 0], lean: null };
}

/** What is left between the walls of an opening once the rough has gone round. */
export function insideKerf(track: Contour, job: Job): Contour[] {
  return offsetLeft([track], kerfDepth(job)).map(loopContour);
}

/**
 * The pieces that the rough parts an opening's slug into. A web that breaks by itself holds nothing together; crumbs are
 * left out.
 */
export function partedWaste(track: Contour, job: Job): Contour[] {
  return offsetLeft([track], kerfDepth(job) + HOLDING_WEB)
    .map(loopContour)
    .filter((c) => contourArea(c) > crumbArea(job));
}

/**
 * Angle (rad) a loose piece of `width` and `height` can lean in its opening, which is a kerf wider on either side:
 * then an upper and the opposite lower corner touch both walls and it is wedged. Leaning by a, the piece is
 * width · cos a + height · sin a wide (geometry); null where even its diagonal is no wider than the opening.
 */
export function leanAngle(
  width: number,
  height: number,
  kerf: number,
): number | null {
  const diagonal = Math.hypot(width, height);
  const opening = width + 2 * kerf;
  return diagonal <= opening
    ? null
    : Math.atan2(height, width) - Math.acos(opening / diagonal);
}

/** The tab that the piece wants, by practice and strength. */
export function needsOf(slug: Slug, { stock, process }: Job): TabNeeds {
  return tabNeeds(
    slug,
    process.material,
    stock.thickness,
    process.flushing,
    process.tabs,
  );
}

/** How far (mm) the rough's kerf reaches into the waste, from the outline. */
export function kerfDepth({ passes, wire }: Job): number {
  const rough = passes[0] as Pass;
  return rough.offset + wire.diameter / 2 + rough.gap;
}
