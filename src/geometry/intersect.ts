/**
 * Where two segments meet, in closed form. Ends count; a touch is one meeting; a stretch in common is told by
 * its two ends. Two curves nearer than `touch` at their closest approach count as touching: computing the two
 * crossings there would only magnify rounding (their spread is √(2·r·touch)).
 */
import { SAME_POINT } from "../base/tolerance.js";
import { type Arc, arcFraction, type Line, type Segment } from "./segment.js";
import { cross, dot, sub, type Vec } from "./vec.js";

export interface Meeting {
  readonly at: Vec;
  /** Fractions along the first and the second segment, 0 to 1. */
  readonly ta: number;
  readonly tb: number;
}

/** How near is touching (mm): `touch` across the curves, `snap` along them at their ends. */
export interface MeetingTolerance {
  readonly touch: number;
  readonly snap: number;
}

const DRAWN: MeetingTolerance = { touch: SAME_POINT / 100, snap: SAME_POINT };

export function intersectSegments(
  a: Segment,
  b: Segment,
  tolerance = DRAWN,
): Meeting[] {
  if (a.kind === "line") {
    if (b.kind === "line") return lineLine(a, b, tolerance);
    return lineArc(a, b, tolerance);
  }
  if (b.kind === "arc") return arcArc(a, b, tolerance);
  return lineArc(b, a, tolerance).map(({ at, ta, tb }) => ({
    at,
    ta: tb,
    tb: ta,
  }));
}

function lineLine(a: Line, b: Line, tol: MeetingTolerance): Meeting[] {
  const u = sub(a.end, a.start);
  const v = sub(b.end, b.start);
  const w = sub(b.start, a.start);
  const lu = Math.hypot(u.x, u.y);
  const lv = Math.hypot(v.x, v.y);
  const area = cross(u, v);
  // Parallel when the shorter one, laid along the longer, leaves it by less than `touch`.
  if (Math.abs(area) <= tol.touch * Math.max(lu, lv)) {
    if (Math.abs(cross(u, w)) > tol.touch * lu) return [];
    return commonStretch(a, b, tol, [
      [a.start, 0, fractionOnLine(b, a.start)],
      [a.end, 1, fractionOnLine(b, a.end)],
      [b.start, fractionOnLine(a, b.start), 0],
      [b.end, fractionOnLine(a, b.end), 1],
    ]);
  }
  return keepOnBoth(a, b, tol, [
    {
      x: a.start.x + (u.x * cross(w, v)) / area,
      y: a.start.y + (u.y * cross(w, v)) / area,
    },
  ]);
}

function lineArc(a: Line, b: Arc, tol: MeetingTolerance): Meeting[] {
  const u = sub(a.end, a.start);
  const l = Math.hypot(u.x, u.y);
  const ux = u.x / l;
  const uy = u.y / l;
  const wx = b.center.x - a.start.x;
  const wy = b.center.y - a.start.y;
  const foot = wx * ux + wy * uy;
  const height = Math.abs(ux * wy - uy * wx);
  if (height > b.radius + tol.touch) return [];
  const half =
    height >= b.radius - tol.touch
      ? 0
      : Math.sqrt((b.radius - height) * (b.radius + height));
  const at = (s: number): Vec => ({
    x: a.start.x + ux * s,
    y: a.start.y + uy * s,
  });
  return keepOnBoth(
    a,
    b,
    tol,
    half === 0 ? [at(foot)] : [at(foot - half), at(foot + half)],
  );
}

function arcArc(a: Arc, b: Arc, tol: MeetingTolerance): Meeting[] {
  const w = sub(b.center, a.center);
  const d = Math.hypot(w.x, w.y);
  const differ = Math.abs(a.radius - b.radius);
  if (d + differ <= tol.touch) {
    return commonStretch(a, b, tol, [
      [a.start, 0, arcFraction(b, a.start)],
      [a.end, 1, arcFraction(b, a.end)],
      [b.start, arcFraction(a, b.start), 0],
      [b.end, arcFraction(a, b.end), 1],
    ]);
  }
  if (d > a.radius + b.radius + tol.touch || d < differ - tol.touch) return [];
  const ux = w.x / d;
  const uy = w.y / d;
  // Distance from a's centre to the common chord, and half the chord (two triangles over the centre line).
  const foot = (d + ((a.radius - b.radius) * (a.radius + b.radius)) / d) / 2;
  const touching =
    d >= a.radius + b.radius - tol.touch ||
    d <= differ + tol.touch ||
    Math.abs(foot) >= a.radius;
  if (touching) {
    const s = Math.sign(foot) * a.radius;
    return keepOnBoth(a, b, tol, [
      { x: a.center.x + ux * s, y: a.center.y + uy * s },
    ]);
  }
  const half = Math.sqrt((a.radius - foot) * (a.radius + foot));
  const mx = a.center.x + ux * foot;
  const my = a.center.y + uy * foot;
  return keepOnBoth(a, b, tol, [
    { x: mx - uy * half, y: my + ux * half },
    { x: mx + uy * half, y: my - ux * half },
  ]);
}

/** Of the points where the whole curves meet, those on both segments; fractions pulled onto near ends. */
function keepOnBoth(
  a: Segment,
  b: Segment,
  tol: MeetingTolerance,
  points: Vec[],
): Meeting[] {
  const meetings: Meeting[] = [];
  for (const p of points) {
    const ta = fractionOn(a, p, tol.snap);
    const tb = fractionOn(b, p, tol.snap);
    if (ta !== null && tb !== null)
      meetings.push({ at: endOr(a, ta, endOr(b, tb, p)), ta, tb });
  }
  return meetings;
}

/** The ends that lie on the other segment, each place once. */
function commonStretch(
  a: Segment,
  b: Segment,
  tol: MeetingTolerance,
  ends: [Vec, number, number][],
): Meeting[] {
  const meetings: Meeting[] = [];
  for (const [p] of ends) {
    const ta = fractionOn(a, p, tol.snap);
    const tb = fractionOn(b, p, tol.snap);
    if (ta === null || tb === null) continue;
    if (meetings.some((m) => m.ta === ta && m.tb === tb)) continue;
    meetings.push({ at: p, ta, tb });
  }
  return meetings;
}

function endOr(s: Segment, t: number, p: Vec): Vec {
  return t === 0 ? s.start : t === 1 ? s.end : p;
}

/** Fraction of a point that lies on the segment's curve, `null` when it lies beyond the ends by over `snap`. */
function fractionOn(s: Segment, p: Vec, snap: number): number | null {
  if (near(p, s.start, snap)) return 0;
  if (near(p, s.end, snap)) return 1;
  const t = s.kind === "line" ? fractionOnLine(s, p) : arcFraction(s, p);
  return t > 0 && t < 1 ? t : null;
}

function near(p: Vec, q: Vec, snap: number): boolean {
  return Math.abs(p.x - q.x) <= snap && Math.abs(p.y - q.y) <= snap;
}

function fractionOnLine(l: Line, p: Vec): number {
  const u = sub(l.end, l.start);
  return dot(sub(p, l.start), u) / dot(u, u);
}
