/** Chains of lines and arcs as SVG path data in the picture's own coordinates: mm from `origin`, y up. */
import type { Segment, Vec } from "../../src/index.js";

/** Ten nanometres: finer than any zoom shows. */
const DIGITS = 1e5;

/** Screens draw with 32-bit numbers, so places are counted from a point inside the drawing. */
export type Origin = Vec;

function n(value: number): number {
  return Math.round(value * DIGITS) / DIGITS;
}

export function at(o: Origin, p: Vec): string {
  return `${n(p.x - o.x)} ${n(p.y - o.y)}`;
}

export function chainPath(
  o: Origin,
  segments: readonly Segment[],
  closed = false,
): string {
  const first = segments[0];
  if (!first) return "";
  return `M${at(o, first.start)}${segments.map((s) => segmentPath(o, s)).join("")}${closed ? "Z" : ""}`;
}

/** One segment on from where the path stands. */
export function segmentPath(o: Origin, s: Segment): string {
  if (s.kind === "line") return `L${at(o, s.end)}`;
  const large = Math.abs(s.sweep) > Math.PI ? 1 : 0;
  return `A${n(s.radius)} ${n(s.radius)} 0 ${large} ${s.sweep > 0 ? 1 : 0} ${at(o, s.end)}`;
}

export function linesPath(o: Origin, points: readonly Vec[]): string {
  return points.map((p, i) => `${i === 0 ? "M" : "L"}${at(o, p)}`).join("");
}

export function circlePath(o: Origin, center: Vec, radius: number): string {
  const r = n(radius);
  const left = at(o, { x: center.x - radius, y: center.y });
  const right = at(o, { x: center.x + radius, y: center.y });
  return `M${left}A${r} ${r} 0 1 0 ${right}A${r} ${r} 0 1 0 ${left}Z`;
}
