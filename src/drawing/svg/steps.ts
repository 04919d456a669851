/** The steps of a path, as every straight-sided or curved shape of SVG is defined, become contours in mm. */

import { SAME_DRAWN, SAME_POINT } from "../../base/tolerance.js";
import { betweenEnds } from "../../geometry/chain/joint.js";
import { type Contour, contourLength } from "../../geometry/contour.js";
import type { Fit } from "../../geometry/fit/fit-arcs.js";
import { line, type Segment } from "../../geometry/segment.js";
import { distance, type Vec } from "../../geometry/vec.js";
import type { BezierSpan } from "../dxf/nurbs.js";
import { type EllipseArc, ellipseContour } from "../ellipse.js";
import { MAX_COORDINATE, MAX_CURVE_SIZE } from "../limits.js";
import {
  flattened,
  isSimilarity,
  type Placement,
  placed,
  turned,
} from "../placement.js";
import { splineContour } from "../spline.js";
import { type EndpointArc, ellipseThrough } from "./elliptical-arc.js";

/** In user units; every step but `move` and `close` starts where the one before ends. */
export type Step =
  | { readonly kind: "move" | "line"; readonly to: Vec }
  /** Bézier curve of degree 2 or 3; the last of the points is its end. */
  | { readonly kind: "curve"; readonly points: readonly Vec[] }
  | ({ readonly kind: "arc" } & EndpointArc)
  | { readonly kind: "close" };

export interface Drawn {
  readonly contours: readonly Contour[];
  /** Where something without length was drawn. */
  readonly nothing: readonly Vec[];
  /** Where a closed path missed its start by a hair. */
  readonly closed: readonly { readonly at: Vec; readonly size: number }[];
}

/**
 * One contour per subpath. `gap` (mm) is how far from its start a closed path may end without a line being meant.
 *
 * @returns a text that says why, when it cannot be drawn.
 */
export function drawSteps(
  steps: readonly Step[],
  place: Placement,
  fit: Fit,
  gap: number,
): Drawn | string {
  const contours: Contour[] = [];
  const nothing: Vec[] = [];
  const closed: { at: Vec; size: number }[] = [];
  let start: Vec = { x: 0, y: 0 };
  let at: Vec = start;
  let segments: Segment[] = [];
  let curves: (readonly Vec[])[] = [];
  let drew = false;
  /** The ellipse that the subpath has followed so far, as long as it is nothing but one arc. */
  let onlyArc: EllipseArc | null = null;
  const world = (p: Vec): Vec => flattened(placed(place, { ...p, z: 0 }));

  const flushCurves = (): void => {
    const fitted = curves.length > 0 && splineContour(spansOf(curves), fit);
    if (fitted) segments.push(...fitted.segments);
    curves = [];
  };
  const finish = (asClosed: boolean): void => {
    flushCurves();
    const first = segments[0];
    if (first) contours.push({ closed: asClosed, segments });
    else if (drew) nothing.push(world(start));
    segments = [];
    drew = false;
    onlyArc = null;
  };
  const close = (): void => {
    flushCurves();
    const from = world(at);
    const to = world(start);
    const size = distance(from, to);
    const last = segments.at(-1);
    const meant = contourLength({ closed: false, segments }) > 4 * gap;
    const meets = size <= (meant ? gap : SAME_DRAWN);
    const whole =
      onlyArc &&
      meets &&
      ellipseContour({ ...onlyArc, sweep: 2 * Math.PI }, fit);
    if (whole) {
      // One arc cannot go all the way round, so circles are drawn as one that falls short by a hair.
      segments = [...whole.segments];
      if (size > SAME_DRAWN) closed.push({ at: to, size });
    } else if (last && meets) {
      segments[segments.length - 1] = betweenEnds(last, last.start, to);
      if (size > SAME_DRAWN) closed.push({ at: to, size });
    } else if (size > SAME_POINT) segments.push(line(from, to));
    finish(true);
    at = start;
  };

  for (const step of steps) {
    if (reaches(step).some((p) => isFar(world(p)))) return TOO_FAR;
    switch (step.kind) {
      case "move":
        finish(false);
        start = step.to;
        at = start;
        break;
      case "line": {
        flushCurves();
        const from = world(at);
        const to = world(step.to);
        if (distance(from, to) > SAME_POINT) segments.push(line(from, to));
        at = step.to;
        drew = true;
        onlyArc = null;
        break;
      }
      case "curve": {
        const points = [at, ...step.points];
        const fault = sizeFault(points.map(world));
        if (fault !== null) return fault;
        curves.push(points.map(world));
        at = step.points.at(-1) as Vec;
        drew = true;
        onlyArc = null;
        break;
      }
      case "arc": {
        flushCurves();
        const arc = arcSegments(at, step, place, fit);
        if (typeof arc === "string") return arc;
        onlyArc = drew ? null : arc.ellipse;
        segments.push(...arc.segments);
        at = step.to;
        drew = true;
        break;
      }
      case "close":
        drew = true;
        close();
        break;
    }
  }
  finish(false);
  return { contours, nothing, closed };
}

/** Neighbouring Bézier curves as the spans of one, so that pairs of arcs may reach across smooth joints. */
function spansOf(curves: readonly (readonly Vec[])[]): BezierSpan[] {
  return curves.map((points, i) => ({
    from: i,
    to: i + 1,
    points: points.map(({ x, y }) => [x, y, 1] as const),
  }));
}

/** The arc's segments, and the ellipse it lies on unless it is straight; a text when it cannot be drawn. */
function arcSegments(
  from: Vec,
  step: Step & { kind: "arc" },
  place: Placement,
  fit: Fit,
): { segments: Segment[]; ellipse: EllipseArc | null } | string {
  const start = flattened(placed(place, { ...from, z: 0 }));
  const end = flattened(placed(place, { ...step.to, z: 0 }));
  if (distance(start, end) <= SAME_POINT)
    return { segments: [], ellipse: null };
  const straight = { segments: [line(start, end)], ellipse: null };
  const drawn = ellipseThrough(from, step);
  if (drawn === null) return straight;
  const u = flattened(turned(place, { ...drawn.u, z: 0 }));
  const v = flattened(turned(place, { ...drawn.v, z: 0 }));
  const center = flattened(placed(place, { ...drawn.center, z: 0 }));
  const circular = step.rx === step.ry && isSimilarity(place);
  if (2 * Math.hypot(u.x, u.y, v.x, v.y) > MAX_CURVE_SIZE && !circular)
    return SPANS_TOO_MUCH;
  if (isFar(center)) return TOO_FAR;
  const ellipse = { ...drawn, center, u, v };
  const segments = [...(ellipseContour(ellipse, fit)?.segments ?? [])];
  // The ellipse passes both ends but for rounding; neighbours must share them to the last bit.
  const first = segments[0];
  if (first) segments[0] = betweenEnds(first, start, first.end);
  const last = segments.at(-1);
  if (!last) return straight;
  segments[segments.length - 1] = betweenEnds(last, last.start, end);
  return { segments, ellipse };
}

function reaches(step: Step): readonly Vec[] {
  if (step.kind === "close") return [];
  return step.kind === "curve" ? step.points : [step.to];
}

/** Beyond, doubles no longer hold a place to the nanometre, and what is fitted there has no end. */
export function isFar({ x, y }: Vec): boolean {
  return !(Math.abs(x) <= MAX_COORDINATE && Math.abs(y) <= MAX_COORDINATE);
}

export const TOO_FAR = `it lies more than ${MAX_COORDINATE / 1e6} km from the origin; check its unit, or move it`;

export const SPANS_TOO_MUCH = `it is more than ${MAX_CURVE_SIZE / 1000} m across; check the unit of the drawing`;

function sizeFault(points: readonly Vec[]): string | null {
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  const width = Math.max(...xs) - Math.min(...xs);
  const height = Math.max(...ys) - Math.min(...ys);
  return Math.hypot(width, height) <= MAX_CURVE_SIZE ? null : SPANS_TOO_MUCH;
}
