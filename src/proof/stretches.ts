/**
 * Stretches of a segment, as fractions of its way, and which of them lie within a distance of another segment: the
 * question that coverage, reach and kerf all ask. Closed form: the places where the distance is just met are found,
 * and between two of them one look decides.
 */
import { type Segment, segmentLength } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import {
  circleCircle,
  fractionOfArc,
  fractionOfLine,
  lineCircle,
  pointTo,
} from "./measure.js";

/** From `from` to `to`, fractions in 0…1. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

export const WHOLE: Stretch = { from: 0, to: 1 };

/** The stretches of `q` whose points lie no farther than `d` from `s`, in order. */
export function stretchesWithin(q: Segment, s: Segment, d: number): Stretch[] {
  const cuts = [0, 1];
  const add = (p: Vec): void => {
    const t =
      q.kind === "line"
        ? fractionOfLine(q, p.x, p.y)
        : fractionOfArc(q, p.x, p.y);
    if (t > 0 && t < 1) cuts.push(t);
  };
  const circle = (center: Vec, radius: number): void => {
    if (radius <= 0) return;
    const points =
      q.kind === "line"
        ? lineCircle(q, center, radius)
        : circleCircle(q.center, q.radius, center, radius);
    for (const p of points) add(p);
  };
  circle(s.start, d);
  circle(s.end, d);
  if (s.kind === "arc") {
    circle(s.center, s.radius + d);
    circle(s.center, s.radius - d);
  } else parallels(q, s.start, s.end, d, add);
  cuts.sort((a, b) => a - b);
  const stretches: { from: number; to: number }[] = [];
  for (let k = 1; k < cuts.length; k++) {
    const from = cuts[k - 1] as number;
    const to = cuts[k] as number;
    if (to <= from) continue;
    const x = xAt(q, (from + to) / 2);
    const y = yAt(q, (from + to) / 2);
    if (pointTo(s, x, y) > d) continue;
    const last = stretches.at(-1);
    if (last && last.to === from) last.to = to;
    else stretches.push({ from, to });
  }
  return stretches;
}

/** Where `q` meets the two lines at `d` beside the line from `a` to `b`. */
function parallels(
  q: Segment,
  a: Vec,
  b: Vec,
  d: number,
  add: (p: Vec) => void,
): void {
  const ux = b.x - a.x;
  const uy = b.y - a.y;
  const long = Math.sqrt(ux * ux + uy * uy);
  if (long === 0) return;
  const nx = -uy / long;
  const ny = ux / long;
  if (q.kind === "line") {
    const h0 = (q.start.x - a.x) * nx + (q.start.y - a.y) * ny;
    const h1 = (q.end.x - a.x) * nx + (q.end.y - a.y) * ny;
    if (h0 === h1) return;
    for (const h of [d, -d]) {
      const t = (h - h0) / (h1 - h0);
      if (t > 0 && t < 1)
        add({
          x: q.start.x + t * (q.end.x - q.start.x),
          y: q.start.y + t * (q.end.y - q.start.y),
        });
    }
    return;
  }
  const h0 = (q.center.x - a.x) * nx + (q.center.y - a.y) * ny;
  for (const h of [d, -d]) {
    const rise = h - h0;
    const half2 = (q.radius - rise) * (q.radius + rise);
    if (half2 < 0) continue;
    const half = Math.sqrt(half2);
    for (const side of [half, -half])
      add({
        x: q.center.x + rise * nx + side * ny,
        y: q.center.y + rise * ny - side * nx,
      });
  }
}

/** x of the point at fraction `t`; without making a point, for the inner loops. */
export function xAt(s: Segment, t: number): number {
  if (s.kind === "line") return s.start.x + t * (s.end.x - s.start.x);
  const a = s.sweep * t;
  return (
    s.center.x +
    (s.start.x - s.center.x) * Math.cos(a) -
    (s.start.y - s.center.y) * Math.sin(a)
  );
}

export function yAt(s: Segment, t: number): number {
  if (s.kind === "line") return s.start.y + t * (s.end.y - s.start.y);
  const a = s.sweep * t;
  return (
    s.center.y +
    (s.start.x - s.center.x) * Math.sin(a) +
    (s.start.y - s.center.y) * Math.cos(a)
  );
}

/** All that is in any of the stretches, in order, touching ones joined. */
export function union(stretches: readonly Stretch[]): Stretch[] {
  if (stretches.length < 2) return [...stretches];
  const sorted = [...stretches].sort((a, b) => a.from - b.from);
  const joined: { from: number; to: number }[] = [];
  for (const s of sorted) {
    const last = joined.at(-1);
    if (last && s.from <= last.to) last.to = Math.max(last.to, s.to);
    else joined.push({ ...s });
  }
  return joined;
}

/** What is in `a` and not in `b`; both in order and free of overlap. */
export function without(
  a: readonly Stretch[],
  b: readonly Stretch[],
): Stretch[] {
  const rest: Stretch[] = [];
  for (const s of a) {
    let from = s.from;
    for (const cut of b) {
      if (cut.to <= from || cut.from >= s.to) continue;
      if (cut.from > from) rest.push({ from, to: cut.from });
      from = Math.max(from, cut.to);
    }
    if (from < s.to) rest.push({ from, to: s.to });
  }
  return rest;
}

/** What lies in at least `times` of the stretches. */
export function atLeast(
  stretches: readonly Stretch[],
  times: number,
): Stretch[] {
  if (times <= 1) return union(stretches);
  const edges = stretches
    .flatMap((s) => [
      { t: s.from, step: 1 },
      { t: s.to, step: -1 },
    ])
    .sort((a, b) => a.t - b.t || b.step - a.step);
  const found: Stretch[] = [];
  let depth = 0;
  let from = 0;
  for (const e of edges) {
    const was = depth;
    depth += e.step;
    if (was < times && depth >= times) from = e.t;
    if (was >= times && depth < times) found.push({ from, to: e.t });
  }
  return union(found);
}

/** mm that the stretches of a segment come to. */
export function stretchLength(s: Segment, list: readonly Stretch[]): number {
  return segmentLength(s) * list.reduce((sum, p) => sum + p.to - p.from, 0);
}
