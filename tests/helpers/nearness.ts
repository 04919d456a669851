/** How far a point lies from lines and arcs, by plain plane geometry of its own: a second opinion for tests. */
import type { Contour } from "../../src/geometry/contour.js";
import type { Segment } from "../../src/geometry/segment.js";
import type { Vec } from "../../src/geometry/vec.js";

export function distanceFrom(s: Segment, p: Vec): number {
  const toEnds = Math.min(
    Math.hypot(p.x - s.start.x, p.y - s.start.y),
    Math.hypot(p.x - s.end.x, p.y - s.end.y),
  );
  if (s.kind === "line") {
    const ux = s.end.x - s.start.x;
    const uy = s.end.y - s.start.y;
    const l = Math.hypot(ux, uy);
    const k = ((p.x - s.start.x) * ux + (p.y - s.start.y) * uy) / l;
    // Not a number on a line of no length.
    if (!(k >= 0 && k <= l)) return toEnds;
    return Math.abs((p.x - s.start.x) * uy - (p.y - s.start.y) * ux) / l;
  }
  // On the arc's side when turning from the start by the sweep passes the direction to p.
  const from = Math.atan2(s.start.y - s.center.y, s.start.x - s.center.x);
  const to = Math.atan2(p.y - s.center.y, p.x - s.center.x);
  const turn = (2 * Math.PI + (to - from) * Math.sign(s.sweep)) % (2 * Math.PI);
  if (turn > Math.abs(s.sweep)) return toEnds;
  return Math.min(
    toEnds,
    Math.abs(Math.hypot(p.x - s.center.x, p.y - s.center.y) - s.radius),
  );
}

/** Greatest distance of any of the points from the segments. */
export function worstOff(
  segments: readonly Segment[],
  points: readonly Vec[],
): number {
  return Math.max(
    ...points.map((p) => Math.min(...segments.map((s) => distanceFrom(s, p)))),
  );
}

/** What every chain promises: each segment begins where the one before ends, to the last bit; arcs agree with their ends. */
export function chainFaults(c: Contour): string[] {
  const faults: string[] = [];
  c.segments.forEach((s, i) => {
    const next = c.segments[i + 1] ?? (c.closed ? c.segments[0] : undefined);
    if (next && (next.start.x !== s.end.x || next.start.y !== s.end.y))
      faults.push(`segment ${i} does not end where the next begins`);
    if (s.kind === "line") return;
    const turned = turnedAbout(s.center, s.start, s.sweep);
    const off = Math.hypot(turned.x - s.end.x, turned.y - s.end.y);
    const far = Math.abs(s.center.x) + Math.abs(s.center.y);
    const rounding = 1e-9 * Math.max(1, s.radius) + 1e-15 * far;
    if (off > rounding) faults.push(`arc ${i} misses its end by ${off}`);
    const radius = Math.hypot(s.start.x - s.center.x, s.start.y - s.center.y);
    if (Math.abs(radius - s.radius) > rounding)
      faults.push(`arc ${i} misses its start`);
    if (!(Math.abs(s.sweep) > 0 && Math.abs(s.sweep) < 2 * Math.PI))
      faults.push(`arc ${i} sweeps ${s.sweep}`);
  });
  return faults;
}

function turnedAbout(center: Vec, p: Vec, angle: number): Vec {
  const x = p.x - center.x;
  const y = p.y - center.y;
  return {
    x: center.x + x * Math.cos(angle) - y * Math.sin(angle),
    y: center.y + x * Math.sin(angle) + y * Math.cos(angle),
  };
}

/** Largest turn (rad) of the direction of travel where two segments meet. */
export function sharpestJoint(c: Contour): number {
  const n = c.segments.length;
  let worst = 0;
  for (let i = c.closed ? 0 : 1; i < n; i++) {
    const a = direction(c.segments.at(i - 1) as Segment, "end");
    const b = direction(c.segments[i] as Segment, "start");
    worst = Math.max(
      worst,
      Math.abs(Math.atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y)),
    );
  }
  return worst;
}

function direction(s: Segment, where: "start" | "end"): Vec {
  if (s.kind === "line")
    return { x: s.end.x - s.start.x, y: s.end.y - s.start.y };
  const way = Math.sign(s.sweep);
  return {
    x: -way * (s[where].y - s.center.y),
    y: way * (s[where].x - s.center.x),
  };
}
