/** Splines that a drawing gives by fit points only: a cubic through them. */
import { SAME_POINT } from "../../base/tolerance.js";
import { distanceToSegment } from "../../geometry/distance.js";
import { line } from "../../geometry/segment.js";
import { distance, scale, sub, unit, type Vec } from "../../geometry/vec.js";
import { type BezierSpan, spanPoint } from "./nurbs.js";

/** What the parameter of the cubic runs by: the chord lengths, or their square roots ("centripetal"). */
export type Spacing = "chords" | "roots";

/**
 * Cubic through `points`, twice continuously differentiable, chord lengths as parameter. Ends follow the given
 * tangents; without them the curvature is zero there ("natural"), and a ring of points closes smoothly.
 */
export function interpolate(
  points: readonly Vec[],
  startTangent: Vec | null,
  endTangent: Vec | null,
  spacing: Spacing = "chords",
): BezierSpan[] {
  const fit = points.filter(
    (p, i) => i === 0 || distance(p, points[i - 1] as Vec) > SAME_POINT,
  );
  if (fit.length < 2) return [];
  const chords = fit.slice(1).map((p, i) => distance(p, fit[i] as Vec));
  const h = spacing === "chords" ? chords : chords.map(Math.sqrt);
  const ring =
    fit.length > 3 && distance(fit[0] as Vec, fit.at(-1) as Vec) <= SAME_POINT;
  const slopes =
    ring && !startTangent && !endTangent
      ? ringSlopes(fit, h)
      : openSlopes(
          fit,
          h,
          startTangent && endSlope(startTangent, chords[0], h[0]),
          endTangent && endSlope(endTangent, chords.at(-1), h.at(-1)),
        );
  let t = 0;
  return h.map((step, i) => {
    const a = fit[i] as Vec;
    const b = fit[i + 1] as Vec;
    const ma = slopes[i] as Vec;
    const mb = slopes[i + 1] as Vec;
    const from = t;
    t += step;
    const k = step / 3;
    return {
      from,
      to: t,
      points: [
        [a.x, a.y, 1],
        [a.x + ma.x * k, a.y + ma.y * k, 1],
        [b.x - mb.x * k, b.y - mb.y * k, 1],
        [b.x, b.y, 1],
      ],
    };
  });
}

/** As fast at the end as the chord beside it is long. */
function endSlope(tangent: Vec, chord = 1, step = 1): Vec {
  return scale(unit(tangent), chord / step);
}

/** Points of a span at which two courses are compared; chords of the first are 4 times as many. */
const SAMPLES = 8;

/** Greatest distance (mm) between two cubics through the same points, to about a hundredth of itself. */
export function greatestDistance(
  one: readonly BezierSpan[],
  other: readonly BezierSpan[],
): number {
  let worst = 0;
  one.forEach((span, i) => {
    const chords = Array.from({ length: 4 * SAMPLES + 1 }, (_, k) =>
      spanPoint(span, k / (4 * SAMPLES)),
    );
    for (let k = 1; k < SAMPLES; k++) {
      const p = spanPoint(other[i] as BezierSpan, k / SAMPLES);
      const off = chords
        .slice(1)
        .map((b, j) => distanceToSegment(line(chords[j] as Vec, b), p.x, p.y));
      worst = Math.max(worst, Math.min(...off));
    }
  });
  return worst;
}

/**
 * First derivatives at the points: h[i]·m[i−1] + 2(h[i−1] + h[i])·m[i] + h[i−1]·m[i+1] = 3(h[i]·q[i−1] + h[i−1]·q[i])
 * with q the chord slopes (de Boor, A Practical Guide to Splines, IV); ends clamped or natural.
 */
function openSlopes(
  points: readonly Vec[],
  h: readonly number[],
  startSlope: Vec | null,
  endSlope: Vec | null,
): Vec[] {
  const n = points.length;
  const rows = points.map((_, i): Row => {
    if (i === 0)
      return startSlope
        ? { below: 0, middle: 1, above: 0, right: startSlope }
        : {
            below: 0,
            middle: 2,
            above: 1,
            right: scale(slope(points, h, 0), 3),
          };
    if (i === n - 1)
      return endSlope
        ? { below: 0, middle: 1, above: 0, right: endSlope }
        : {
            below: 1,
            middle: 2,
            above: 0,
            right: scale(slope(points, h, n - 2), 3),
          };
    return innerRow(points, h, i - 1, i);
  });
  return solveTridiagonal(rows);
}

interface Row {
  readonly below: number;
  readonly middle: number;
  readonly above: number;
  readonly right: Vec;
}

function slope(points: readonly Vec[], h: readonly number[], i: number): Vec {
  return scale(
    sub(points[i + 1] as Vec, points[i] as Vec),
    1 / (h[i] as number),
  );
}

/** Continuity of the second derivative where chord `before` meets chord `after`. */
function innerRow(
  points: readonly Vec[],
  h: readonly number[],
  before: number,
  after: number,
): Row {
  const h0 = h[before] as number;
  const h1 = h[after] as number;
  const q0 = slope(points, h, before);
  const q1 = slope(points, h, after);
  return {
    below: h1,
    middle: 2 * (h0 + h1),
    above: h0,
    right: { x: 3 * (h1 * q0.x + h0 * q1.x), y: 3 * (h1 * q0.y + h0 * q1.y) },
  };
}

function solveTridiagonal(rows: readonly Row[]): Vec[] {
  const above: number[] = [];
  const right: Vec[] = [];
  rows.forEach((row, i) => {
    const a = above[i - 1] ?? 0;
    const r = right[i - 1] ?? { x: 0, y: 0 };
    const pivot = row.middle - row.below * a;
    above.push(row.above / pivot);
    right.push({
      x: (row.right.x - row.below * r.x) / pivot,
      y: (row.right.y - row.below * r.y) / pivot,
    });
  });
  for (let i = rows.length - 2; i >= 0; i--) {
    const next = right[i + 1] as Vec;
    const r = right[i] as Vec;
    const a = above[i] as number;
    right[i] = { x: r.x - a * next.x, y: r.y - a * next.y };
  }
  return right;
}

/** The cyclic system, solved as one longer open one by the Sherman–Morrison formula. */
function ringSlopes(points: readonly Vec[], h: readonly number[]): Vec[] {
  const n = points.length - 1;
  const rows = Array.from({ length: n }, (_, i) =>
    innerRow(points, h, (i + n - 1) % n, i),
  );
  const first = rows[0] as Row;
  const last = rows[n - 1] as Row;
  // A = B + u·vᵀ with u = (γ, 0, …, last.above), v = (1, 0, …, first.below / γ).
  const gamma = -first.middle;
  const open = rows.map((row, i) => {
    if (i === 0) return { ...row, below: 0, middle: row.middle - gamma };
    if (i === n - 1)
      return {
        ...row,
        above: 0,
        middle: row.middle - (last.above * first.below) / gamma,
      };
    return row;
  });
  const x = solveTridiagonal(open);
  const z = solveTridiagonal(
    open.map((row, i) => ({
      ...row,
      right: { x: i === 0 ? gamma : i === n - 1 ? last.above : 0, y: 0 },
    })),
  ).map((p) => p.x);
  const v = first.below / gamma;
  const x0 = x[0] as Vec;
  const xn = x[n - 1] as Vec;
  const scaleBy = 1 + (z[0] as number) + v * (z[n - 1] as number);
  const kx = (x0.x + v * xn.x) / scaleBy;
  const ky = (x0.y + v * xn.y) / scaleBy;
  const slopes = x.map((p, i) => ({
    x: p.x - kx * (z[i] as number),
    y: p.y - ky * (z[i] as number),
  }));
  return [...slopes, slopes[0] as Vec];
}
