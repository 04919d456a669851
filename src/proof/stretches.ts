/**
 * Stretches of a segment, as fractions of its way, and which of them lie within a distance of another segment: the
 * question that coverage, reach and kerf all ask. Closed form: the places where the distance is just met are found,
 * and between two of them one look decides.
 */
import { type Line, type Segment, segmentLength } from "../geometry/segment.js";
import { fractionOfArc, fractionOfLine, pointTo } from "./measure.js";

/** From `from` to `to`, fractions in 0…1. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

export const WHOLE: Stretch = { from: 0, to: 1 };

/** The stretches of `q` whose points lie no farther than `d` from `s`, in order. */
export function stretchesWithin(
  q: Segment,
  s: Segment,
  d: number,
): readonly Stretch[] {
  const plain = plainAnswer(q, s, d);
  if (plain) return plain;
  const cuts: number[] = [];
  cutByCircle(q, s.start.x, s.start.y, d, cuts);
  cutByCircle(q, s.end.x, s.end.y, d, cuts);
  if (s.kind === "arc") {
    cutByCircle(q, s.center.x, s.center.y, s.radius + d, cuts);
    cutByCircle(q, s.center.x, s.center.y, s.radius - d, cuts);
  } else cutByParallels(q, s, d, cuts);
  if (cuts.length === 0)
    return pointTo(s, xAt(q, 0.5), yAt(q, 0.5)) <= d ? [WHOLE] : [];
  sortFew(cuts);
  const stretches: Stretch[] = [];
  let from = 0;
  let open = -1;
  for (let k = 0; k <= cuts.length; k++) {
    const to = k < cuts.length ? (cuts[k] as number) : 1;
    if (to <= from) continue;
    const t = (from + to) / 2;
    const within = pointTo(s, xAt(q, t), yAt(q, t)) <= d;
    if (within && open < 0) open = from;
    if (!within && open >= 0) {
      stretches.push({ from: open, to: from });
      open = -1;
    }
    from = to;
  }
  if (open >= 0) stretches.push({ from: open, to: 1 });
  return stretches;
}

/** A handful of numbers in order, in place: the array's own sort makes two more arrays of them. */
function sortFew(numbers: number[]): void {
  for (let k = 1; k < numbers.length; k++) {
    const n = numbers[k] as number;
    let i = k;
    for (; i > 0 && (numbers[i - 1] as number) > n; i--)
      numbers[i] = numbers[i - 1] as number;
    numbers[i] = n;
  }
}

const NONE: readonly Stretch[] = [];
const ALL: readonly Stretch[] = [WHOLE];

/** The two answers that most pairs give, without looking for places in between; null when it takes that. */
function plainAnswer(
  q: Segment,
  s: Segment,
  d: number,
): readonly Stretch[] | null {
  if (q.kind === "line" && s.kind === "line") {
    const ux = s.end.x - s.start.x;
    const uy = s.end.y - s.start.y;
    const far = d * Math.sqrt(ux * ux + uy * uy);
    const a = ux * (q.start.y - s.start.y) - uy * (q.start.x - s.start.x);
    const b = ux * (q.end.y - s.start.y) - uy * (q.end.x - s.start.x);
    if ((a > far && b > far) || (a < -far && b < -far)) return NONE;
    // All that is near a line is convex: with both ends in it, so is the way between.
    return pointTo(s, q.start.x, q.start.y) <= d &&
      pointTo(s, q.end.x, q.end.y) <= d
      ? ALL
      : null;
  }
  if (q.kind === "arc" && s.kind === "arc") {
    const dx = q.center.x - s.center.x;
    const dy = q.center.y - s.center.y;
    const apart = Math.sqrt(dx * dx + dy * dy);
    const rings = Math.abs(q.radius - s.radius);
    if (rings - apart > d) return NONE;
    if (rings + apart > d) return null;
    const from = fractionOfArc(s, q.start.x, q.start.y);
    const to = fractionOfArc(s, q.end.x, q.end.y);
    // Between its ends q turns the same way and as far as it runs along s: it never leaves it.
    const along = (to - from) * s.sweep;
    return from <= 1 && to <= 1 && Math.abs(along - q.sweep) < 0.1 ? ALL : null;
  }
  return null;
}

function cutAt(q: Segment, x: number, y: number, cuts: number[]): void {
  const t =
    q.kind === "line" ? fractionOfLine(q, x, y) : fractionOfArc(q, x, y);
  if (t > 0 && t < 1) cuts.push(t);
}

/** Fractions at which `q` meets a circle. By differences, so that small and nearly equal circles keep their digits. */
function cutByCircle(
  q: Segment,
  cx: number,
  cy: number,
  radius: number,
  cuts: number[],
): void {
  if (radius <= 0) return;
  if (q.kind === "line") {
    const ux = q.end.x - q.start.x;
    const uy = q.end.y - q.start.y;
    const long = Math.sqrt(ux * ux + uy * uy);
    if (long === 0) return;
    const sx = cx - q.start.x;
    const sy = cy - q.start.y;
    const h = (ux * sy - uy * sx) / long;
    const half2 = (radius - h) * (radius + h);
    if (half2 < 0) return;
    const half = Math.sqrt(half2) / long;
    const foot = (ux * sx + uy * sy) / (long * long);
    if (foot - half > 0 && foot - half < 1) cuts.push(foot - half);
    if (foot + half > 0 && foot + half < 1) cuts.push(foot + half);
    return;
  }
  const dx = cx - q.center.x;
  const dy = cy - q.center.y;
  const d = Math.sqrt(dx * dx + dy * dy);
  if (d === 0) return;
  // Distance from q's centre to the common chord is r - short; half chord² = short · (2r - short).
  const short = ((radius + q.radius - d) * (radius + d - q.radius)) / (2 * d);
  const half2 = short * (2 * q.radius - short);
  if (!(half2 >= 0)) return;
  const half = Math.sqrt(half2) / d;
  const foot = (q.radius - short) / d;
  const fx = q.center.x + foot * dx;
  const fy = q.center.y + foot * dy;
  cutAt(q, fx - half * dy, fy + half * dx, cuts);
  cutAt(q, fx + half * dy, fy - half * dx, cuts);
}

/** Fractions at which `q` meets the two lines at `d` beside a line. */
function cutByParallels(q: Segment, s: Line, d: number, cuts: number[]): void {
  const ux = s.end.x - s.start.x;
  const uy = s.end.y - s.start.y;
  const long = Math.sqrt(ux * ux + uy * uy);
  if (long === 0) return;
  const nx = -uy / long;
  const ny = ux / long;
  if (q.kind === "line") {
    const h0 = (q.start.x - s.start.x) * nx + (q.start.y - s.start.y) * ny;
    const h1 = (q.end.x - s.start.x) * nx + (q.end.y - s.start.y) * ny;
    if (h0 === h1) return;
    const a = (d - h0) / (h1 - h0);
    const b = (-d - h0) / (h1 - h0);
    if (a > 0 && a < 1) cuts.push(a);
    if (b > 0 && b < 1) cuts.push(b);
    return;
  }
  const h0 = (q.center.x - s.start.x) * nx + (q.center.y - s.start.y) * ny;
  for (let sign = -1; sign <= 1; sign += 2) {
    const rise = sign * d - h0;
    const half2 = (q.radius - rise) * (q.radius + rise);
    if (half2 < 0) continue;
    const half = Math.sqrt(half2);
    const px = q.center.x + rise * nx;
    const py = q.center.y + rise * ny;
    cutAt(q, px + half * ny, py - half * nx, cuts);
    cutAt(q, px - half * ny, py + half * nx, cuts);
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

/** What is in both; both in order and free of overlap. */
export function common(
  a: readonly Stretch[],
  b: readonly Stretch[],
): Stretch[] {
  return a.flatMap((s) =>
    b.flatMap((t) => {
      const [from, to] = [Math.max(s.from, t.from), Math.min(s.to, t.to)];
      return from < to ? [{ from, to }] : [];
    }),
  );
}

/** mm that the stretches of a segment come to. */
export function stretchLength(s: Segment, list: readonly Stretch[]): number {
  return segmentLength(s) * list.reduce((sum, p) => sum + p.to - p.from, 0);
}
