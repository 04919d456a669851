/**
 * The two pieces every outline and every wire path is made of: straight lines and circular arcs.
 * An arc never makes a full turn: a circle is two half circles. Lengths mm, angles rad.
 */
import { SAME_POINT } from "../base/tolerance.js";
import {
  add,
  along,
  cross,
  distance,
  dot,
  left,
  lerp,
  rotate,
  scale,
  sub,
  unit,
  type Vec,
} from "./vec.js";

export interface Line {
  readonly kind: "line";
  readonly start: Vec;
  readonly end: Vec;
}

/** Arc from `start` to `end` about `center`. `sweep` > 0 is counter-clockwise; 0 < |sweep| < 2π. */
export interface Arc {
  readonly kind: "arc";
  readonly start: Vec;
  readonly end: Vec;
  readonly center: Vec;
  readonly radius: number;
  readonly sweep: number;
}

export type Segment = Line | Arc;

/** Axis-parallel box. */
export interface Box {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

export function line(start: Vec, end: Vec): Line {
  return { kind: "line", start, end };
}

/** Arc about `center` from angle `from` through `sweep` (rad). */
export function arcAbout(
  center: Vec,
  radius: number,
  from: number,
  sweep: number,
): Arc {
  const at = (a: number): Vec => ({
    x: center.x + radius * Math.cos(a),
    y: center.y + radius * Math.sin(a),
  });
  return {
    kind: "arc",
    start: at(from),
    end: at(from + sweep),
    center,
    radius,
    sweep,
  };
}

/** Arc about `center` from `start` to `end`, the given way round. Coincident ends give a sweep of 0. */
export function arcFromTo(
  center: Vec,
  start: Vec,
  end: Vec,
  counterClockwise: boolean,
): Arc {
  const a = sub(start, center);
  const b = sub(end, center);
  let sweep = Math.atan2(cross(a, b), dot(a, b));
  if (counterClockwise && sweep < 0) sweep += 2 * Math.PI;
  if (!counterClockwise && sweep > 0) sweep -= 2 * Math.PI;
  return {
    kind: "arc",
    start,
    end,
    center,
    radius: distance(center, start),
    sweep,
  };
}

/**
 * Arc that a DXF polyline vertex describes: `bulge` = tan(sweep / 4), +1 is a left-turning half circle
 * (DXF reference). Returns a line when the bulge is 0, `null` when both ends are the same place.
 */
export function segmentFromBulge(
  start: Vec,
  end: Vec,
  bulge: number,
): Segment | null {
  const chord = distance(start, end);
  if (chord <= SAME_POINT) return null;
  if (bulge === 0) return line(start, end);
  // The centre lies on the perpendicular bisector, `rise` chord lengths to the left. Written this way
  // rather than through tan(sweep / 2), which blows up at a half circle.
  const rise = (1 - bulge * bulge) / (4 * bulge);
  const center = along(lerp(start, end, 0.5), left(sub(end, start)), rise);
  const radius = (chord * (1 + bulge * bulge)) / (4 * Math.abs(bulge));
  return {
    kind: "arc",
    start,
    end,
    center,
    radius,
    sweep: 4 * Math.atan(bulge),
  };
}

export function segmentLength(s: Segment): number {
  return s.kind === "line"
    ? distance(s.start, s.end)
    : s.radius * Math.abs(s.sweep);
}

/** Point at fraction `t` of the way (0 start, 1 end). The ends are returned exactly. */
export function pointAt(s: Segment, t: number): Vec {
  if (t === 0) return s.start;
  if (t === 1) return s.end;
  if (s.kind === "line") return lerp(s.start, s.end, t);
  return add(s.center, rotate(sub(s.start, s.center), s.sweep * t));
}

/** Unit direction of travel at fraction `t`. */
export function tangentAt(s: Segment, t: number): Vec {
  if (s.kind === "line") return unit(sub(s.end, s.start));
  const radial = unit(rotate(sub(s.start, s.center), s.sweep * t));
  return scale(left(radial), Math.sign(s.sweep));
}

/** Signed turn of the direction of travel along the segment: the sweep of an arc, 0 for a line. */
export function turnAlong(s: Segment): number {
  return s.kind === "line" ? 0 : s.sweep;
}

export function reverseSegment(s: Segment): Segment {
  return s.kind === "line"
    ? { kind: "line", start: s.end, end: s.start }
    : {
        kind: "arc",
        start: s.end,
        end: s.start,
        center: s.center,
        radius: s.radius,
        sweep: -s.sweep,
      };
}

/** The piece between fractions `from` < `to`. */
export function subSegment(s: Segment, from: number, to: number): Segment {
  if (from === 0 && to === 1) return s;
  const start = pointAt(s, from);
  const end = pointAt(s, to);
  return s.kind === "line"
    ? { kind: "line", start, end }
    : {
        kind: "arc",
        start,
        end,
        center: s.center,
        radius: s.radius,
        sweep: s.sweep * (to - from),
      };
}

/**
 * Fraction along the arc's turn at which the direction from its centre to `p` is met; 0 ≤ t ≤ 1 on the arc,
 * above 1 in the gap that completes the circle.
 */
export function arcFraction(a: Arc, p: Vec): number {
  const u = sub(a.start, a.center);
  const v = sub(p, a.center);
  let angle = Math.atan2(cross(u, v), dot(u, v)) * Math.sign(a.sweep);
  if (angle < 0) angle += 2 * Math.PI;
  return angle / Math.abs(a.sweep);
}

/** Does the direction (dx, dy) from the arc's centre point into its sweep? By side of the two radii, no angles. */
export function isWithinSweep(a: Arc, dx: number, dy: number): boolean {
  const turn = a.sweep > 0 ? 1 : -1;
  const sx = a.start.x - a.center.x;
  const sy = a.start.y - a.center.y;
  const ex = a.end.x - a.center.x;
  const ey = a.end.y - a.center.y;
  const afterStart = (sx * dy - sy * dx) * turn >= 0;
  const beforeEnd = (dx * ey - dy * ex) * turn >= 0;
  return Math.abs(a.sweep) <= Math.PI
    ? afterStart && beforeEnd
    : afterStart || beforeEnd;
}

export function segmentBox(s: Segment): Box {
  let minX = Math.min(s.start.x, s.end.x);
  let maxX = Math.max(s.start.x, s.end.x);
  let minY = Math.min(s.start.y, s.end.y);
  let maxY = Math.max(s.start.y, s.end.y);
  if (s.kind === "arc") {
    const { center: c, radius: r } = s;
    if (isOnSide(s, c.x + r, c.y)) maxX = Math.max(maxX, c.x + r);
    if (isOnSide(s, c.x - r, c.y)) minX = Math.min(minX, c.x - r);
    if (isOnSide(s, c.x, c.y + r)) maxY = Math.max(maxY, c.y + r);
    if (isOnSide(s, c.x, c.y - r)) minY = Math.min(minY, c.y - r);
  }
  return { minX, minY, maxX, maxY };
}

/** Whether a point lies on the arc's side of its chord: a point of the circle that does is on the arc. */
function isOnSide({ start, end, sweep }: Arc, x: number, y: number): boolean {
  const side =
    (end.x - start.x) * (y - start.y) - (end.y - start.y) * (x - start.x);
  return sweep > 0 ? side <= 0 : side >= 0;
}

export const EMPTY_BOX: Box = {
  minX: Number.POSITIVE_INFINITY,
  minY: Number.POSITIVE_INFINITY,
  maxX: Number.NEGATIVE_INFINITY,
  maxY: Number.NEGATIVE_INFINITY,
};

export function unionBox(a: Box, b: Box): Box {
  return {
    minX: Math.min(a.minX, b.minX),
    minY: Math.min(a.minY, b.minY),
    maxX: Math.max(a.maxX, b.maxX),
    maxY: Math.max(a.maxY, b.maxY),
  };
}

export function boxesTouch(a: Box, b: Box): boolean {
  return (
    a.minX <= b.maxX && a.maxX >= b.minX && a.minY <= b.maxY && a.maxY >= b.minY
  );
}

export function grownBox({ minX, minY, maxX, maxY }: Box, by: number): Box {
  return {
    minX: minX - by,
    minY: minY - by,
    maxX: maxX + by,
    maxY: maxY + by,
  };
}
