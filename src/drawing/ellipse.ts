/** Ellipses, and circles seen through a placement: exact arcs where they are circles, fitted arcs where they are not. */
import { ROUNDING, SAME_POINT, TURN_ROUNDING } from "../base/tolerance.js";
import { shareEnds } from "../geometry/chain/joint.js";
import type { Contour } from "../geometry/contour.js";
import { type Fit, fitArcs } from "../geometry/fit/fit-arcs.js";
import { arcAbout, type Segment } from "../geometry/segment.js";
import {
  along,
  cross,
  dot,
  length,
  scale,
  unit,
  type Vec,
} from "../geometry/vec.js";

/** center + cos(t)·u + sin(t)·v for t from `from` through `sweep` > 0 (rad). The axes need not be square. */
export interface EllipseArc {
  readonly center: Vec;
  readonly u: Vec;
  readonly v: Vec;
  readonly from: number;
  readonly sweep: number;
}

const FULL_TURN = 2 * Math.PI;

/** `null` when the axes enclose nothing: no curve, or one seen edge on. */
export function ellipseContour(e: EllipseArc, fit: Fit): Contour | null {
  const closed = e.sweep >= FULL_TURN - TURN_ROUNDING;
  const sweep = closed ? FULL_TURN : e.sweep;
  const axes = principalAxes(e);
  if (axes === null) return null;
  const { major, minor, shift } = axes;
  const from = (e.from - shift) % FULL_TURN;
  const a = length(major);
  const b = length(minor);
  if (a - b > SAME_POINT) {
    // All the way round it begins at a vertex, wherever the drawing does: no joint more than it takes.
    const begin = closed ? 0 : from;
    const arcs = fittedArcs(e.center, major, minor, begin, sweep, fit);
    return { closed, segments: shareEnds(arcs, closed) };
  }
  const arcs = circularArcs(e.center, major, minor, from, sweep);
  return { closed, segments: closed ? closeExactly(arcs) : arcs };
}

/**
 * Square half axes of the same ellipse, the longer first: with t = s + shift, u cos t + v sin t = major cos s +
 * minor sin s, and tan 2·shift = 2 u·v / (u² − v²) (Rytz's problem by calculus). A near circle keeps its own axes.
 */
function principalAxes({
  u,
  v,
}: EllipseArc): { major: Vec; minor: Vec; shift: number } | null {
  const uu = dot(u, u);
  const vv = dot(v, v);
  const uv = dot(u, v);
  if (Math.abs(cross(u, v)) <= SAME_POINT * Math.sqrt(Math.max(uu, vv)))
    return null;
  const square = Math.abs(uv) <= ROUNDING * (uu + vv);
  const shift = square
    ? uu >= vv
      ? 0
      : Math.PI / 2
    : Math.atan2(2 * uv, uu - vv) / 2;
  const c = shift === Math.PI / 2 ? 0 : Math.cos(shift);
  const s = Math.sin(shift);
  return {
    major: along(scale(u, c), v, s),
    minor: along(scale(v, c), u, -s),
    shift,
  };
}

function circularArcs(
  center: Vec,
  u: Vec,
  v: Vec,
  from: number,
  sweep: number,
): Segment[] {
  const radius = (length(u) + length(v)) / 2;
  const side = cross(u, v) > 0 ? 1 : -1;
  const start = Math.atan2(u.y, u.x) + side * from;
  const halves = sweep > Math.PI + TURN_ROUNDING ? 2 : 1;
  const turn = (side * sweep) / halves;
  const arcs = [arcAbout(center, radius, start, turn)];
  const first = arcs[0];
  if (halves === 2 && first)
    arcs.push({
      ...arcAbout(center, radius, start + turn, turn),
      start: first.end,
    });
  return arcs;
}

/** Joints at the vertices, where the curvature turns: between them each pair of arcs follows a spiral. */
function fittedArcs(
  center: Vec,
  major: Vec,
  minor: Vec,
  from: number,
  sweep: number,
  fit: Fit,
): Segment[] {
  const quarter = Math.PI / 2;
  const knots = [from];
  for (
    let k = Math.floor(from / quarter) + 1;
    k * quarter < from + sweep - TURN_ROUNDING;
    k++
  )
    if (k * quarter > from + TURN_ROUNDING) knots.push(k * quarter);
  knots.push(from + sweep);
  const at = (t: number): Vec =>
    along(along(center, major, Math.cos(t)), minor, Math.sin(t));
  const tangent = (t: number): Vec =>
    unit(along(scale(major, -Math.sin(t)), minor, Math.cos(t)));
  return knots.slice(1).flatMap((to, k) => {
    const quarterTurn = { knots: [knots[k] as number, to], at, tangent };
    return fitArcs(quarterTurn, fit);
  });
}

/** Rounding of the full turn must not leave a gap. */
function closeExactly(segments: readonly Segment[]): Segment[] {
  const first = segments[0] as Segment;
  return segments.map((s, i) =>
    i === segments.length - 1 ? { ...s, end: first.start } : s,
  );
}
