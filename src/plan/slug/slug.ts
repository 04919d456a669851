/** The piece that comes loose: what the kerfs leave of an opening's inside, or the part. */
import { HOLDING_WEB } from "../../base/tolerance.js";
import {
  areaMoments,
  type Contour,
  contourArea,
  contourBox,
  reverseContour,
} from "../../geometry/contour.js";
import { loopContour, offsetLeft } from "../../geometry/offset.js";
import { unionBox } from "../../geometry/segment.js";
import type { Vec } from "../../geometry/vec.js";
import { pieceMass } from "../../process/materials.js";
import { type TabNeeds, tabNeeds } from "../../process/tabs.js";
import type { Feature } from "../feature.js";
import { crumbArea, type Job, type Pass, roughKerf } from "../job/job.js";
import { trackContour } from "../track/track.js";

export interface Slug {
  readonly mass: number;
  readonly cg: Vec;
  readonly area: number;
  /** Width and height of its box, seen from above. */
  readonly size: readonly [width: number, height: number];
  /** Radians it can lean over until it is wedged; null: it can turn right over (see `leanAngle`). */
  readonly lean: number | null;
}

/**
 * Before the way in to it is cut (see `asTheyFall`).
 *
 * @param within what is cut out of this feature's piece before it comes loose.
 */
export function slugOf(
  feature: Feature,
  within: readonly Feature[],
  job: Job,
): Slug {
  const edges = slugEdges(feature, within, job);
  const { area, cg } = sumOf(edges.map(areaMoments));
  const [first, ...others] = edges
    .filter((c) => contourArea(c) > 0)
    .map(contourBox);
  if (area <= 0 || !first) return noSlug(areaMoments(feature.contour).centroid);
  const box = others.reduce(unionBox, first);
  const size = [box.maxX - box.minX, box.maxY - box.minY] as const;
  return {
    area,
    cg,
    size,
    lean: leanAngle(Math.max(...size), job.stock.thickness, roughKerf(job)),
    mass: massOf(area, job),
  };
}

/** Edges of a feature's piece: counter-clockwise outside, clockwise about what is cut out of it, a part with the kerf about it. */
export function slugEdges(
  feature: Feature,
  within: readonly Feature[],
  job: Job,
): Contour[] {
  const wasteOf = (f: Feature): Contour[] => insideKerf(trackContour(f), job);
  return [
    ...(feature.role === "part" ? [feature.contour] : wasteOf(feature)),
    ...within.flatMap((f) =>
      f.role === "part" ? wasteOf(f) : [reverseContour(f.contour)],
    ),
  ];
}

/** The slug without some of its metal, each given by its area (mm²) and centre. */
export function slugWithout(
  slug: Slug,
  taken: readonly { readonly area: number; readonly centroid: Vec }[],
  job: Job,
): Slug {
  const { area, cg } = sumOf([
    { area: slug.area, centroid: slug.cg },
    ...taken.map((t) => ({ ...t, area: -t.area })),
  ]);
  return area <= 0 ? slug : { ...slug, area, cg, mass: massOf(area, job) };
}

function sumOf(
  shares: readonly { readonly area: number; readonly centroid: Vec }[],
): { readonly area: number; readonly cg: Vec } {
  let [area, mx, my] = [0, 0, 0];
  for (const { area: a, centroid } of shares) {
    area += a;
    mx += a * centroid.x;
    my += a * centroid.y;
  }
  return { area, cg: { x: mx / area, y: my / area } };
}

function massOf(area: number, { stock, process }: Job): number {
  return pieceMass(area, stock.thickness, process.material.density);
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
