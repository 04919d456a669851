/** SPLINE entities: by control points, knots and weights, or by nothing but points on the curve. World coordinates. */

import { placeText } from "../../base/numbers.js";
import { noStep, type OnStep } from "../../base/pace.js";
import { SAME_POINT } from "../../base/tolerance.js";
import type { Fit } from "../../geometry/fit/fit-arcs.js";
import { EMPTY_BOX, unionBox } from "../../geometry/segment.js";
import { distance, pair, type Vec } from "../../geometry/vec.js";
import { tooLarge } from "../damage.js";
import {
  MAX_CURVE_SIZE,
  MAX_SPLINE_DEGREE,
  MAX_SPLINE_LENGTH,
  MAX_SPLINE_PAIRS,
  MAX_SPLINE_POINTS,
} from "../limits.js";
import { flattened, type Placement, placed, turned } from "../placement.js";
import { isFlat, lacks, type Shape, tooWide } from "../shape.js";
import { splineContour } from "../spline.js";
import { type Entity, number, numbersOf, point, points } from "./entity.js";
import { greatestDistance, interpolate } from "./interpolate.js";
import { bezierSpans, nurbsFault } from "./nurbs.js";

/** Control points rule; fit points are used when there are none. */
export function splineShape(e: Entity, place: Placement, fit: Fit): Shape {
  const control = points(e, 10);
  const through = points(e, 11);
  if (control === null || through === null)
    return lacks("a coordinate of a point");
  if (Math.max(control.length, through.length) > MAX_SPLINE_POINTS)
    return {
      kind: "faulty",
      why: `it has more than ${MAX_SPLINE_POINTS} points`,
    };
  const world = (control.length > 0 ? control : through).map((p) =>
    placed(place, p),
  );
  const first = world[0];
  if (first === undefined) return { kind: "faulty", why: "it has no points" };
  if (!isFlat(world.map((p) => p.z))) return { kind: "not-flat" };
  const flat = world.map(flattened);
  const box = flat.reduce(
    (b, p) => unionBox(b, { minX: p.x, minY: p.y, maxX: p.x, maxY: p.y }),
    EMPTY_BOX,
  );
  if (Math.hypot(box.maxX - box.minX, box.maxY - box.minY) > MAX_CURVE_SIZE)
    return tooWide();
  const way = flat.reduce(
    (sum, p, i) => sum + distance(p, flat[i - 1] ?? p),
    0,
  );
  if (way > MAX_SPLINE_LENGTH)
    return {
      kind: "faulty",
      why: `its points lead over more than ${MAX_SPLINE_LENGTH / 1000} m`,
    };
  const counted = { ...fit, onStep: notTooWild(flat[0] as Vec, fit.onStep) };
  return control.length > 0
    ? byControlPoints(e, flat, first.z, counted)
    : byFitPoints(e, flat, first.z, place, counted);
}

/** Only fitting tells how wild a curve is, so it is ended while at it. */
function notTooWild(start: Vec, onStep: OnStep = noStep): OnStep {
  let pairs = 0;
  return (more = 1) => {
    pairs += more;
    if (pairs > MAX_SPLINE_PAIRS)
      throw tooLarge(
        `has a spline, from ${placeText(pair(start))}, that would become more than ${2 * MAX_SPLINE_PAIRS} arcs`,
      );
    onStep(more);
  };
}

function byControlPoints(
  e: Entity,
  control: readonly Vec[],
  z: number,
  fit: Fit,
): Shape {
  const degree = number(e, 71, 3);
  if (degree > MAX_SPLINE_DEGREE)
    return { kind: "faulty", why: `its degree is ${degree}` };
  const weights = numbersOf(e, 41);
  const nurbs = {
    degree,
    points: control,
    knots: padded(numbersOf(e, 40), control.length + degree + 1),
    weights: weights.length > 0 ? weights : control.map(() => 1),
  };
  const fault = nurbsFault(nurbs);
  if (fault !== null) return { kind: "faulty", why: fault };
  const contour = splineContour(bezierSpans(nurbs), fit);
  return contour === null
    ? { kind: "nothing", at: control[0] as Vec }
    : { kind: "strand", contour, z };
}

/** Some programs leave out the first and last knot, which no point of the curve depends on. */
function padded(knots: number[], wanted: number): number[] {
  const first = knots[0];
  const last = knots.at(-1);
  if (knots.length !== wanted - 2 || first === undefined || last === undefined)
    return knots;
  return [first, ...knots, last];
}

const CLOSED = 1;

/** What runs between the points is each program's own choice, so ours is told, and how far another lies from it. */
function byFitPoints(
  e: Entity,
  through: readonly Vec[],
  z: number,
  place: Placement,
  fit: Fit,
): Shape {
  const first = through[0] as Vec;
  const meets = distance(first, through.at(-1) as Vec) <= SAME_POINT;
  const closes = (number(e, 70, 0) & CLOSED) !== 0 && !meets;
  const course = closes ? [...through, first] : through;
  const start = tangent(e, 12, place);
  const end = tangent(e, 13, place);
  const spans = interpolate(course, start, end);
  const contour = splineContour(spans, fit);
  if (contour === null) return { kind: "nothing", at: first };
  const other = interpolate(course, start, end, "roots");
  const ends =
    start || end
      ? "with the end tangents the drawing gives"
      : closes || meets
        ? "closing smoothly"
        : "with no curvature at its ends";
  return {
    kind: "strand",
    contour,
    z,
    byFitPoints: {
      course: `the cubic spline through them by chord lengths, ${ends}`,
      doubt: greatestDistance(spans, other),
    },
  };
}

function tangent(e: Entity, code: number, place: Placement): Vec | null {
  const direction = point(e, code);
  if (direction === null) return null;
  const flat = flattened(turned(place, direction));
  return distance(flat, { x: 0, y: 0 }) > 0 ? flat : null;
}
