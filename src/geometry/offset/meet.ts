/**
 * Where two curves meet. Three questions, in this order:
 *
 *   1. Does an end of one lie on the other? This settles joints, T-shapes and stretches in common.
 *   2. Two such places, and the curves agree in between: a stretch in common, told by its ends.
 *   3. Where do the two circles (or straight lines) cross, inside both curves?
 *
 * For 3, the origin is put on the flatter curve a, at the foot of b's start, with x along it and y to its left. Then
 * a is  ka(x² + y²) = 2y  and b is  kb(x² + y²) − 2(m·w) + c = 0; their difference is the straight line through both
 * crossings (the radical axis), which is cut with b: one quadratic, solved without cancellation. For a line a the
 * axis is a itself, for two lines the quadratic is linear: one formula for all three cases, exact for flat arcs, too.
 */
import { distanceToCurve, fractionOf, heightOver, squareTo } from "./beside.js";
import { at, type Curves, pointAlong } from "./curves.js";
import type { OffsetTolerance } from "./tolerance.js";

/** Up to six meetings: fractions along both curves, and the place. */
export interface Meetings {
  count: number;
  readonly ta: number[];
  readonly tb: number[];
  readonly x: number[];
  readonly y: number[];
}

export function newMeetings(): Meetings {
  return { count: 0, ta: [], tb: [], x: [], y: [] };
}

/** Finds where curves `a` and `b` meet and puts that into `found`. */
export function meet(
  c: Curves,
  a: number,
  b: number,
  tol: OffsetTolerance,
  found: Meetings,
): void {
  found.count = 0;
  endsOn(c, a, b, tol, found, false);
  endsOn(c, b, a, tol, found, true);
  if (found.count >= 2 && stretchInCommon(c, a, b, tol, found)) return;
  if (Math.abs(at(c.k, a)) <= Math.abs(at(c.k, b)))
    cross(c, a, b, tol, found, false);
  else cross(c, b, a, tol, found, true);
}

function add(
  found: Meetings,
  ta: number,
  tb: number,
  x: number,
  y: number,
  swapped: boolean,
  near: number,
): void {
  for (let i = 0; i < found.count; i++) {
    if (
      Math.abs((found.x[i] as number) - x) <= near &&
      Math.abs((found.y[i] as number) - y) <= near
    )
      return;
  }
  const i = found.count++;
  found.ta[i] = swapped ? tb : ta;
  found.tb[i] = swapped ? ta : tb;
  found.x[i] = x;
  found.y[i] = y;
}

/** Ends of `a` that lie on `b`. */
function endsOn(
  c: Curves,
  a: number,
  b: number,
  tol: OffsetTolerance,
  found: Meetings,
  swapped: boolean,
): void {
  const xs = at(c.x0, a);
  const ys = at(c.y0, a);
  const ts = fractionOn(c, b, xs, ys, tol);
  if (ts >= 0) add(found, 0, ts, xs, ys, swapped, tol.node);
  const xe = at(c.x1, a);
  const ye = at(c.y1, a);
  const te = fractionOn(c, b, xe, ye, tol);
  if (te >= 0) add(found, 1, te, xe, ye, swapped, tol.node);
}

/** Fraction along the curve of a point that lies on it; −1 where it does not. */
function fractionOn(
  c: Curves,
  i: number,
  x: number,
  y: number,
  tol: OffsetTolerance,
): number {
  if (near(x, at(c.x0, i), tol.node) && near(y, at(c.y0, i), tol.node))
    return 0;
  if (near(x, at(c.x1, i), tol.node) && near(y, at(c.y1, i), tol.node))
    return 1;
  if (!squareTo(c, i, x, y, 0) || Math.abs(heightOver(c, i, x, y)) > tol.touch)
    return -1;
  return inside(fractionOf(c, i, x, y));
}

function near(a: number, b: number, reach: number): boolean {
  return Math.abs(a - b) <= reach;
}

function inside(t: number): number {
  return Math.min(1, Math.max(0, t));
}

/** Do the curves agree between the first two places found? */
function stretchInCommon(
  c: Curves,
  a: number,
  b: number,
  tol: OffsetTolerance,
  found: Meetings,
): boolean {
  const t = ((found.ta[0] as number) + (found.ta[1] as number)) / 2;
  const p = pointAlong(c, a, t * at(c.length, a), { x: 0, y: 0 });
  return distanceToCurve(c, b, p.x, p.y) <= tol.touch;
}

/** Crossings and touches of the circles of `a`, the flatter one, and `b`. */
function cross(
  c: Curves,
  a: number,
  b: number,
  tol: OffsetTolerance,
  found: Meetings,
  swapped: boolean,
): void {
  const ka = at(c.k, a);
  const kb = at(c.k, b);
  // The foot of b's start on a's circle is the origin; (nx, ny) is a's normal there, h the height of b's start.
  const wx = at(c.x0, b) - at(c.x0, a);
  const wy = at(c.y0, b) - at(c.y0, a);
  const vx = -at(c.ty0, a) - ka * wx;
  const vy = at(c.tx0, a) - ka * wy;
  const root = Math.sqrt(vx * vx + vy * vy);
  // Near a's centre every foot is as good: a's own start.
  const foot = root > 0.5;
  const nx = foot ? vx / root : -at(c.ty0, a);
  const ny = foot ? vy / root : at(c.tx0, a);
  const h = heightOver(c, a, at(c.x0, b), at(c.y0, b));
  const ox = foot ? at(c.x0, b) - h * nx : at(c.x0, a);
  const oy = foot ? at(c.y0, b) - h * ny : at(c.y0, a);
  // b's start (sx, sy) and normal (bx, by) here: kb·w² − 2 m·w + free = 0.
  const sx = foot ? 0 : wx * ny - wy * nx;
  const sy = foot ? h : wx * nx + wy * ny;
  const bx = -at(c.ty0, b) * ny - at(c.tx0, b) * nx;
  const by = at(c.tx0, b) * ny - at(c.ty0, b) * nx;
  const mx = bx + kb * sx;
  const my = by + kb * sy;
  const free = kb * (sx * sx + sy * sy) + 2 * (bx * sx + by * sy);
  // The radical axis: through (x0, y0), along (ex, ey).
  let x0 = 0;
  let y0 = 0;
  let ex = 1;
  let ey = 0;
  if (ka !== 0) {
    const gx = ka * mx;
    const gy = ka * my - kb;
    const g = Math.sqrt(gx * gx + gy * gy);
    if (g === 0) return;
    const rise = (ka * free) / (2 * g);
    x0 = (gx / g) * rise;
    y0 = (gy / g) * rise;
    ex = -gy / g;
    ey = gx / g;
  }
  const half = mx * ex + my * ey;
  const rest = kb * (x0 * x0 + y0 * y0) - 2 * (mx * x0 + my * y0) + free;
  const axis: Axis = { a, b, swapped, ox, oy, nx, ny, x0, y0, ex, ey };
  if (kb === 0) {
    if (half !== 0) report(c, axis, rest / (2 * half), tol, found);
    return;
  }
  const disc = half * half - kb * rest;
  const middle = half / kb;
  // Near a touch the half chord is √(2·depth / relative bend).
  const mnx = -ka * (x0 + middle * ex);
  const mny = 1 - ka * (y0 + middle * ey);
  const alike =
    mnx * (mx - kb * (x0 + middle * ex)) + mny * (my - kb * (y0 + middle * ey));
  const bend = Math.abs(ka - (alike >= 0 ? kb : -kb));
  // On circles that all but agree the middle of a long chord is on neither: its height over the arc tells.
  const height = Math.abs(disc / (2 * kb));
  if ((height * bend) / Math.abs(kb) <= tol.touch && height <= tol.node) {
    report(c, axis, middle, tol, found);
    return;
  }
  if (disc < 0) return;
  const sum = half + (half >= 0 ? 1 : -1) * Math.sqrt(disc);
  report(c, axis, sum / kb, tol, found);
  report(c, axis, rest / sum, tol, found);
}

/** The straight line through both crossings, in the frame of curve `a`. */
interface Axis {
  readonly a: number;
  readonly b: number;
  readonly swapped: boolean;
  readonly ox: number;
  readonly oy: number;
  readonly nx: number;
  readonly ny: number;
  readonly x0: number;
  readonly y0: number;
  readonly ex: number;
  readonly ey: number;
}

/** The place that an end is united to may be off by a node, and this much again; a small curve has less to give. */
function slackOf(c: Curves, i: number, tol: OffsetTolerance): number {
  return Math.min(2 * tol.node, at(c.length, i) / 8);
}

/** Adds the point `way` along the axis if it is within both curves. */
function report(
  c: Curves,
  { a, b, swapped, ox, oy, nx, ny, x0, y0, ex, ey }: Axis,
  way: number,
  tol: OffsetTolerance,
  found: Meetings,
): void {
  const lx = x0 + way * ex;
  const ly = y0 + way * ey;
  // x runs along a: its unit vector is the normal turned right.
  const x = ox + lx * ny + ly * nx;
  const y = oy - lx * nx + ly * ny;
  if (
    !squareTo(c, a, x, y, slackOf(c, a, tol)) ||
    !squareTo(c, b, x, y, slackOf(c, b, tol))
  )
    return;
  const ta = inside(fractionOf(c, a, x, y));
  const tb = inside(fractionOf(c, b, x, y));
  add(found, ta, tb, x, y, swapped, tol.node);
}
