/** Chains of segments, each beginning where the one before ends: outlines and wire paths. Closed form, no flattening. */
import { SAME_POINT } from "../base/tolerance.js";
import { capArea, capMoments } from "./cap.js";
import {
  type Box,
  EMPTY_BOX,
  reverseSegment,
  type Segment,
  segmentBox,
  segmentLength,
  tangentAt,
  turnAlong,
} from "./segment.js";
import { angleBetween, type Vec } from "./vec.js";

/** Closed: the last segment ends where the first begins. Interior on the left when counter-clockwise. */
export interface Contour {
  readonly closed: boolean;
  readonly segments: readonly Segment[];
}

export function contourLength(c: Contour): number {
  return c.segments.reduce((sum, s) => sum + segmentLength(s), 0);
}

export function contourBox(c: Contour): Box {
  let { minX, minY, maxX, maxY } = EMPTY_BOX;
  for (const s of c.segments) {
    const b = segmentBox(s);
    minX = Math.min(minX, b.minX);
    minY = Math.min(minY, b.minY);
    maxX = Math.max(maxX, b.maxX);
    maxY = Math.max(maxY, b.maxY);
  }
  return { minX, minY, maxX, maxY };
}

export function reverseContour(c: Contour): Contour {
  return {
    closed: c.closed,
    segments: c.segments.map(reverseSegment).reverse(),
  };
}

/**
 * Signed area of a closed contour, mm², positive when counter-clockwise: shoelace over the chords plus the cap of
 * each arc. Taken about the first point so that far-off drawings keep their digits.
 */
export function contourArea(c: Contour): number {
  const o = c.segments[0]?.start ?? { x: 0, y: 0 };
  let area = 0;
  for (const s of c.segments) {
    area +=
      ((s.start.x - o.x) * (s.end.y - o.y) -
        (s.start.y - o.y) * (s.end.x - o.x)) /
      2;
    if (s.kind === "arc") area += capArea(s);
  }
  return area;
}

/** Whether a closed contour encloses nothing in all: it goes back the way it came, or is a figure of eight. */
export function runsBack(c: Contour): boolean {
  return Math.abs(contourArea(c)) <= SAME_POINT * contourLength(c);
}

/** Centre of the area of a closed contour. */
export function contourCentroid(c: Contour): Vec {
  return areaMoments(c).centroid;
}

/**
 * Area and centroid of a closed contour, exact for lines and arcs: the triangle from the first point to each chord,
 * and the cap between each chord and its arc.
 */
export function areaMoments(c: Contour): { area: number; centroid: Vec } {
  const first = c.segments[0];
  if (!first) return { area: 0, centroid: { x: 0, y: 0 } };
  const o = first.start;
  let area = 0;
  let mx = 0;
  let my = 0;
  for (const s of c.segments) {
    const ax = s.start.x - o.x;
    const ay = s.start.y - o.y;
    const bx = s.end.x - o.x;
    const by = s.end.y - o.y;
    const triangle = (ax * by - ay * bx) / 2;
    area += triangle;
    mx += (triangle * (ax + bx)) / 3;
    my += (triangle * (ay + by)) / 3;
    if (s.kind === "arc") {
      const cap = capMoments(s);
      const u = tangentAt(s, 0.5);
      area += cap.area;
      mx += (cap.area * (ax + bx)) / 2 + cap.v * u.y;
      my += (cap.area * (ay + by)) / 2 - cap.v * u.x;
    }
  }
  if (area === 0) return { area: 0, centroid: o };
  return { area, centroid: { x: o.x + mx / area, y: o.y + my / area } };
}

/** The contour turned so that it runs counter-clockwise. */
export function counterClockwise(c: Contour): Contour {
  return contourArea(c) < 0 ? reverseContour(c) : c;
}

/** Signed turn at the corner between two consecutive segments, in (-π, π]; 0 where they are tangent. */
export function turnBetween(a: Segment, b: Segment): number {
  return angleBetween(tangentAt(a, 1), tangentAt(b, 0));
}

/** Whole turn of a closed contour, ±2π for a simple one. */
export function totalTurn(c: Contour): number {
  const n = c.segments.length;
  let turn = 0;
  for (let i = 0; i < n; i++) {
    const a = c.segments[i] as Segment;
    const b = c.segments[(i + 1) % n] as Segment;
    turn += turnAlong(a) + turnBetween(a, b);
  }
  return turn;
}

/** A full circle as two counter-clockwise half circles, starting at angle 0. */
export function circleContour(center: Vec, radius: number): Contour {
  const e = { x: center.x + radius, y: center.y };
  const w = { x: center.x - radius, y: center.y };
  const half = (start: Vec, end: Vec): Segment => ({
    kind: "arc",
    start,
    end,
    center,
    radius,
    sweep: Math.PI,
  });
  return { closed: true, segments: [half(e, w), half(w, e)] };
}

/** Closed polygon through the points. */
export function polygonContour(points: readonly Vec[]): Contour {
  const n = points.length;
  return {
    closed: true,
    segments: points.map((start, i) => ({
      kind: "line",
      start,
      end: points[(i + 1) % n] as Vec,
    })),
  };
}

/**
 * Winding number of a closed contour about `p` (0 outside). On the contour itself the answer is either side's.
 * A ray to +x counts the chords; an arc differs from its chord by one wherever p lies between the two, which is in
 * the arc's circle and on the arc's side of the chord (for arcs over π that side holds the centre).
 */
export function windingNumber(c: Contour, p: Vec): number {
  let winding = 0;
  for (const s of c.segments) {
    const ax = s.start.x - p.x;
    const ay = s.start.y - p.y;
    const bx = s.end.x - p.x;
    const by = s.end.y - p.y;
    const side = ax * by - ay * bx;
    if (ay <= 0 !== by <= 0) {
      if (ay <= 0 && side > 0) winding++;
      else if (by <= 0 && side < 0) winding--;
    }
    if (s.kind === "arc") {
      const dx = p.x - s.center.x;
      const dy = p.y - s.center.y;
      if (dx * dx + dy * dy >= s.radius * s.radius) continue;
      // On the chord's line the crossing rule takes p for a hair to its right and, less so, above: so here.
      const chordSide = side || (by !== ay ? ay - by : bx - ax);
      if (s.sweep > 0 && chordSide < 0) winding++;
      else if (s.sweep < 0 && chordSide > 0) winding--;
    }
  }
  return winding;
}
