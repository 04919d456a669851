/** Splines by control points, knots and weights, taken apart into rational Bézier spans. */
import { SAME_POINT } from "../../base/tolerance.js";
import { sub, unit, type Vec } from "../../geometry/vec.js";
import { MAX_WEIGHT_RATIO } from "../limits.js";

export interface Nurbs {
  readonly degree: number;
  readonly knots: readonly number[];
  readonly points: readonly Vec[];
  /** One per point; all 1 when the spline is not rational. */
  readonly weights: readonly number[];
}

/** Homogeneous control point: (x·w, y·w, w). */
type Homogeneous = readonly [x: number, y: number, w: number];

/** One analytic piece, control points over the parameter interval. */
export interface BezierSpan {
  readonly from: number;
  readonly to: number;
  readonly points: readonly Homogeneous[];
}

/** Why a spline cannot be a curve, or `null` when it can. */
export function nurbsFault({
  degree,
  knots,
  points,
  weights,
}: Nurbs): string | null {
  if (degree < 1) return `its degree is ${degree}`;
  if (points.length <= degree)
    return `it has ${points.length} control points, too few for degree ${degree}`;
  if (knots.length !== points.length + degree + 1)
    return `it has ${knots.length} knots; ${points.length} control points of degree ${degree} need ${points.length + degree + 1}`;
  if (weights.length !== points.length)
    return `it has ${weights.length} weights for ${points.length} control points`;
  const lightest = weights.reduce((a, b) => Math.min(a, b));
  if (!(lightest > 0)) return "a weight is not greater than 0";
  if (weights.some((w) => w > MAX_WEIGHT_RATIO * lightest))
    return `its weights differ more than ${MAX_WEIGHT_RATIO} times`;
  if (knots.some((k, i) => i > 0 && k < (knots[i - 1] as number)))
    return "its knots do not rise";
  if (!((knots[points.length] as number) > (knots[degree] as number)))
    return "its knots span nothing";
  return null;
}

/**
 * The spans between distinct knots of the domain [knots[p], knots[n]] (clamped, unclamped or periodic alike), by
 * blossoming: Bézier point j of the span [a, b] is the polar value at a, p − j times, and b, j times (Ramshaw 1989).
 */
export function bezierSpans({
  degree: p,
  knots,
  points,
  weights,
}: Nurbs): BezierSpan[] {
  const control = points.map((q, i): Homogeneous => {
    const w = weights[i] as number;
    return [q.x * w, q.y * w, w];
  });
  const spans: BezierSpan[] = [];
  for (let k = p; k < points.length; k++) {
    const from = knots[k] as number;
    const to = knots[k + 1] as number;
    if (to <= from) continue;
    const bezier: Homogeneous[] = [];
    for (let j = 0; j <= p; j++) {
      const polar = Array.from({ length: p }, (_, i) =>
        i < p - j ? from : to,
      );
      bezier.push(blossom(control.slice(k - p, k + 1), knots, k, polar));
    }
    spans.push({ from, to, points: bezier });
  }
  return spans;
}

function blossom(
  local: readonly Homogeneous[],
  knots: readonly number[],
  k: number,
  polar: readonly number[],
): Homogeneous {
  const p = local.length - 1;
  let d = [...local];
  for (let r = 1; r <= p; r++) {
    const u = polar[r - 1] as number;
    d = d.slice(1).map((right, i) => {
      const leftPoint = d[i] as Homogeneous;
      const index = k - p + r + i;
      const low = knots[index] as number;
      const high = knots[index + p + 1 - r] as number;
      return mix(leftPoint, right, (u - low) / (high - low));
    });
  }
  return d[0] as Homogeneous;
}

const mix = (a: Homogeneous, b: Homogeneous, t: number): Homogeneous => [
  a[0] + (b[0] - a[0]) * t,
  a[1] + (b[1] - a[1]) * t,
  a[2] + (b[2] - a[2]) * t,
];

/** Point at fraction `t` of a span, by de Casteljau. */
export function spanPoint(span: BezierSpan, t: number): Vec {
  let d = [...span.points];
  if (t === 0) return project(d[0] as Homogeneous);
  if (t === 1) return project(d.at(-1) as Homogeneous);
  while (d.length > 1)
    d = d.slice(1).map((b, i) => mix(d[i] as Homogeneous, b, t));
  return project(d[0] as Homogeneous);
}

/**
 * Unit tangent at fraction `t`. The last two points of de Casteljau's scheme give it; at an end the first control
 * point that differs does, so control points drawn on top of each other do no harm.
 */
export function spanTangent(span: BezierSpan, t: number): Vec {
  const points = span.points;
  if (t <= 0 || t >= 1) {
    const ordered = t <= 0 ? points : [...points].reverse();
    const end = project(ordered[0] as Homogeneous);
    for (const h of ordered) {
      const d = sub(project(h), end);
      if (Math.hypot(d.x, d.y) > SAME_POINT)
        return unit(t <= 0 ? d : { x: -d.x, y: -d.y });
    }
    return { x: 1, y: 0 };
  }
  let d = [...points];
  while (d.length > 2)
    d = d.slice(1).map((b, i) => mix(d[i] as Homogeneous, b, t));
  return unit(sub(project(d[1] as Homogeneous), project(d[0] as Homogeneous)));
}

export const project = ([x, y, w]: Homogeneous): Vec => ({
  x: x / w,
  y: y / w,
});
