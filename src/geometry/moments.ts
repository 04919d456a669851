/**
 * Second moments of the area inside closed contours, in closed form for lines and arcs.
 *
 * The area is the sum of a triangle from a fixed point to each chord and of the cap between each chord and its arc. A
 * triangle's moments are polynomials in its corners. A cap is symmetric to the normal of its chord: its moments about
 * the chord's middle are turned and moved into place (parallel axes). O(n). Plane geometry; for the polygon part see
 * Steger, "On the calculation of moments of polygons" (1996).
 */
import { capMoments } from "./cap.js";
import { areaMoments, type Contour } from "./contour.js";
import { tangentAt } from "./segment.js";
import type { Vec } from "./vec.js";

/** About the centroid, mm⁴: xx = ∫x², yy = ∫y², xy = ∫xy. Negative for a clockwise contour, as its area is. */
export interface SecondMoments {
  readonly area: number;
  readonly centroid: Vec;
  readonly xx: number;
  readonly yy: number;
  readonly xy: number;
}

export function secondMoments(c: Contour): SecondMoments {
  const { area, centroid: o } = areaMoments(c);
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (const s of c.segments) {
    const ax = s.start.x - o.x;
    const ay = s.start.y - o.y;
    const bx = s.end.x - o.x;
    const by = s.end.y - o.y;
    const twice = ax * by - ay * bx;
    xx += (twice * (ax * ax + ax * bx + bx * bx)) / 12;
    yy += (twice * (ay * ay + ay * by + by * by)) / 12;
    xy += (twice * (2 * ax * ay + ax * by + bx * ay + 2 * bx * by)) / 24;
    if (s.kind === "line") continue;
    const cap = capMoments(s);
    // Along the chord (u) and out from it (v), to the right of travel for a left turn.
    const { x: ux, y: uy } = tangentAt(s, 0.5);
    const mx = (ax + bx) / 2;
    const my = (ay + by) / 2;
    // x = mx + ux·u + uy·v and y = my + uy·u − ux·v, multiplied out; ∫u and ∫uv are 0.
    xx +=
      mx * mx * cap.area +
      2 * mx * uy * cap.v +
      ux * ux * cap.uu +
      uy * uy * cap.vv;
    yy +=
      my * my * cap.area -
      2 * my * ux * cap.v +
      uy * uy * cap.uu +
      ux * ux * cap.vv;
    xy +=
      mx * my * cap.area +
      (my * uy - mx * ux) * cap.v +
      ux * uy * (cap.uu - cap.vv);
  }
  return { area, centroid: o, xx, yy, xy };
}

/** The directions in which the area is widest and slimmest, and its moments ∫(distance across)² about them. */
export interface PrincipalAxes {
  /** rad, direction of the long axis, in (−π/2, π/2]. */
  readonly angle: number;
  /** Second moments about the long axis (the smaller one) and about the short axis through the centroid, mm⁴. */
  readonly aboutLong: number;
  readonly aboutShort: number;
}

/** Of a counter-clockwise contour. A circle has no long axis: angle 0 (Mohr's circle of inertia). */
export function principalAxes({ xx, yy, xy }: SecondMoments): PrincipalAxes {
  const middle = (xx + yy) / 2;
  const half = Math.hypot((xx - yy) / 2, xy);
  return {
    angle: Math.atan2(2 * xy, xx - yy) / 2,
    aboutLong: middle - half,
    aboutShort: middle + half,
  };
}
