/**
 * Distances between lines and arcs in closed form. The proof's own: it shares no code with what planned the path.
 * Square roots instead of Math.hypot, which is several times slower and whose range nobody needs here.
 */
import { SAME_POINT } from "../base/tolerance.js";
import type { Arc, Line, Segment } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";

const TURN = 2 * Math.PI;

const far = (ax: number, ay: number, bx: number, by: number): number =>
  Math.sqrt((ax - bx) * (ax - bx) + (ay - by) * (ay - by));

/** Fraction of an arc at which the direction from its centre to the point is met; over 1 when it is not. */
export function fractionOfArc(a: Arc, x: number, y: number): number {
  const ux = a.start.x - a.center.x;
  const uy = a.start.y - a.center.y;
  const vx = x - a.center.x;
  const vy = y - a.center.y;
  let angle = Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
  if (a.sweep < 0) angle = -angle;
  if (angle < 0) angle += TURN;
  return angle / Math.abs(a.sweep);
}

/** Fraction of a line at which the foot of the point lies; below 0 and over 1 beyond its ends. */
export function fractionOfLine(l: Line, x: number, y: number): number {
  const ux = l.end.x - l.start.x;
  const uy = l.end.y - l.start.y;
  const whole = ux * ux + uy * uy;
  return whole === 0
    ? 0
    : ((x - l.start.x) * ux + (y - l.start.y) * uy) / whole;
}

/** mm from a point to the nearest point of a segment. */
export function pointTo(s: Segment, x: number, y: number): number {
  if (s.kind === "line") {
    const t = fractionOfLine(s, x, y);
    if (t <= 0) return far(x, y, s.start.x, s.start.y);
    if (t >= 1) return far(x, y, s.end.x, s.end.y);
    const ux = s.end.x - s.start.x;
    const uy = s.end.y - s.start.y;
    return (
      Math.abs(ux * (y - s.start.y) - uy * (x - s.start.x)) /
      Math.sqrt(ux * ux + uy * uy)
    );
  }
  const fromCenter = far(x, y, s.center.x, s.center.y);
  if (fromCenter > 0 && fractionOfArc(s, x, y) <= 1)
    return Math.abs(fromCenter - s.radius);
  return Math.min(far(x, y, s.start.x, s.start.y), far(x, y, s.end.x, s.end.y));
}

/** mm from a point to the straight line or the full circle that carries a segment. */
export function toCarrier(s: Segment, x: number, y: number): number {
  if (s.kind === "arc")
    return Math.abs(far(x, y, s.center.x, s.center.y) - s.radius);
  const ux = s.end.x - s.start.x;
  const uy = s.end.y - s.start.y;
  return (
    Math.abs(ux * (y - s.start.y) - uy * (x - s.start.x)) /
    Math.sqrt(ux * ux + uy * uy)
  );
}

/** Two segments at their nearest: how far, and where on the first. */
export interface Nearness {
  readonly distance: number;
  readonly at: Vec;
}

/** The least distance between two segments; 0 where they meet. */
export function between(a: Segment, b: Segment): Nearness {
  const meeting = meet(a, b);
  if (meeting) return { distance: 0, at: meeting };
  let best = pointTo(b, a.start.x, a.start.y);
  let at: Vec = a.start;
  const take = (distance: number, p: Vec): void => {
    if (distance < best) {
      best = distance;
      at = p;
    }
  };
  take(pointTo(b, a.end.x, a.end.y), a.end);
  take(pointTo(a, b.start.x, b.start.y), b.start);
  take(pointTo(a, b.end.x, b.end.y), b.end);
  // Inside both, lines never come nearer than at an end; curves do where the line between them is square to both.
  if (a.kind === "arc" && b.kind === "line") take(...lineToArc(b, a, "arc"));
  if (a.kind === "line" && b.kind === "arc") take(...lineToArc(a, b, "line"));
  if (a.kind === "arc" && b.kind === "arc") {
    const dx = b.center.x - a.center.x;
    const dy = b.center.y - a.center.y;
    const d = Math.sqrt(dx * dx + dy * dy);
    // Circles about one centre are everywhere as far apart as at an end.
    if (d > SAME_POINT)
      for (const sa of [1, -1]) {
        const p = {
          x: a.center.x + (sa * a.radius * dx) / d,
          y: a.center.y + (sa * a.radius * dy) / d,
        };
        if (fractionOfArc(a, p.x, p.y) <= 1) take(pointTo(b, p.x, p.y), p);
      }
  }
  // A foot found from the other segment's end lies off this one: bring it onto it.
  return { distance: best, at: best > 0 ? nearestPoint(a, at) : at };
}

function lineToArc(l: Line, a: Arc, give: "line" | "arc"): [number, Vec] {
  const t = fractionOfLine(l, a.center.x, a.center.y);
  if (t <= 0 || t >= 1) return [Number.POSITIVE_INFINITY, l.start];
  const p = {
    x: l.start.x + t * (l.end.x - l.start.x),
    y: l.start.y + t * (l.end.y - l.start.y),
  };
  const distance = pointTo(a, p.x, p.y);
  return [distance, give === "line" ? p : nearestPoint(a, p)];
}

/** The point of a segment nearest to `p`. */
export function nearestPoint(s: Segment, p: Vec): Vec {
  if (s.kind === "line") {
    const t = Math.min(1, Math.max(0, fractionOfLine(s, p.x, p.y)));
    return {
      x: s.start.x + t * (s.end.x - s.start.x),
      y: s.start.y + t * (s.end.y - s.start.y),
    };
  }
  const d = far(p.x, p.y, s.center.x, s.center.y);
  // Within rounding of the centre every point is equally near.
  if (d > Number.EPSILON * s.radius && fractionOfArc(s, p.x, p.y) <= 1)
    return {
      x: s.center.x + ((p.x - s.center.x) * s.radius) / d,
      y: s.center.y + ((p.y - s.center.y) * s.radius) / d,
    };
  return far(p.x, p.y, s.start.x, s.start.y) <= far(p.x, p.y, s.end.x, s.end.y)
    ? s.start
    : s.end;
}

/** A point where the two cross or touch, if there is one. */
function meet(a: Segment, b: Segment): Vec | null {
  for (const p of crossings(a, b))
    if (
      pointTo(a, p.x, p.y) <= SAME_POINT &&
      pointTo(b, p.x, p.y) <= SAME_POINT
    )
      return p;
  return null;
}

/** Where the straight lines and full circles that carry two segments cross: none, one or two points. */
export function crossings(a: Segment, b: Segment): Vec[] {
  if (a.kind === "line")
    return b.kind === "line"
      ? lineLine(a, b)
      : lineCircle(a, b.center, b.radius);
  if (b.kind === "line") return lineCircle(b, a.center, a.radius);
  return circleCircle(a.center, a.radius, b.center, b.radius);
}

function lineLine(a: Line, b: Line): Vec[] {
  const ux = a.end.x - a.start.x;
  const uy = a.end.y - a.start.y;
  const vx = b.end.x - b.start.x;
  const vy = b.end.y - b.start.y;
  const area = ux * vy - uy * vx;
  if (area === 0) return [];
  const t =
    ((b.start.x - a.start.x) * vy - (b.start.y - a.start.y) * vx) / area;
  return [{ x: a.start.x + t * ux, y: a.start.y + t * uy }];
}

/** By foot and half chord, which keeps its digits for small circles far out on a long line. */
function lineCircle(l: Line, c: Vec, radius: number): Vec[] {
  const ux = l.end.x - l.start.x;
  const uy = l.end.y - l.start.y;
  const long = Math.sqrt(ux * ux + uy * uy);
  if (long === 0) return [];
  const ex = ux / long;
  const ey = uy / long;
  const sx = c.x - l.start.x;
  const sy = c.y - l.start.y;
  const h = ex * sy - ey * sx;
  const half2 = (radius - h) * (radius + h);
  if (half2 < 0) return [];
  const half = Math.sqrt(half2);
  const foot = ex * sx + ey * sy;
  return [foot - half, foot + half].map((t) => ({
    x: l.start.x + t * ex,
    y: l.start.y + t * ey,
  }));
}

/** Written in differences of the radii, so that nearly equal circles keep their digits. */
function circleCircle(c1: Vec, r1: number, c2: Vec, r2: number): Vec[] {
  const dx = c2.x - c1.x;
  const dy = c2.y - c1.y;
  const d = Math.sqrt(dx * dx + dy * dy);
  if (d === 0) return [];
  // Distance from c1 to the chord is r1 - short; half chord² = short · (2·r1 - short).
  const short = ((r2 + r1 - d) * (r2 + d - r1)) / (2 * d);
  const half2 = short * (2 * r1 - short);
  if (!(half2 >= 0)) return [];
  const half = Math.sqrt(half2);
  const ex = dx / d;
  const ey = dy / d;
  const foot = r1 - short;
  return [1, -1].map((s) => ({
    x: c1.x + foot * ex - s * half * ey,
    y: c1.y + foot * ey + s * half * ex,
  }));
}
