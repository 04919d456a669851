/** Points and vectors of the plane, mm. Counter-clockwise is positive, left of travel is positive. */
import { SAME_POINT } from "../base/tolerance.js";

export interface Vec {
  readonly x: number;
  readonly y: number;
}

export const vec = (x: number, y: number): Vec => ({ x, y });
export const add = (a: Vec, b: Vec): Vec => ({ x: a.x + b.x, y: a.y + b.y });
export const sub = (a: Vec, b: Vec): Vec => ({ x: a.x - b.x, y: a.y - b.y });
export const scale = (a: Vec, k: number): Vec => ({ x: a.x * k, y: a.y * k });
/** a + k·b */
export const along = (a: Vec, b: Vec, k: number): Vec => ({
  x: a.x + b.x * k,
  y: a.y + b.y * k,
});
export const lerp = (a: Vec, b: Vec, t: number): Vec => ({
  x: a.x + (b.x - a.x) * t,
  y: a.y + (b.y - a.y) * t,
});
export const dot = (a: Vec, b: Vec): number => a.x * b.x + a.y * b.y;
/** z of the cross product: positive when b lies left of a. */
export const cross = (a: Vec, b: Vec): number => a.x * b.y - a.y * b.x;
export const length = (a: Vec): number => Math.hypot(a.x, a.y);
export const distance = (a: Vec, b: Vec): number =>
  Math.hypot(a.x - b.x, a.y - b.y);
/** Unit vector of `a`; of a zero vector, the x axis. */
export function unit(a: Vec): Vec {
  const l = length(a);
  return l === 0 ? { x: 1, y: 0 } : { x: a.x / l, y: a.y / l };
}
/** `a` turned left by a quarter. */
export const left = (a: Vec): Vec => ({ x: -a.y, y: a.x });
export const negate = (a: Vec): Vec => ({ x: -a.x, y: -a.y });
/** `a` turned counter-clockwise by `angle` about the origin. */
export function rotate(a: Vec, angle: number): Vec {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return { x: a.x * c - a.y * s, y: a.x * s + a.y * c };
}
/** Signed angle from direction `a` to direction `b`, in (-π, π]. */
export const angleBetween = (a: Vec, b: Vec): number =>
  Math.atan2(cross(a, b), dot(a, b));
/** Orders places from left to right, and upward where neither is farther left; 0 for the same place. */
export function byPlace(a: Vec, b: Vec): number {
  if (Math.abs(a.x - b.x) > SAME_POINT) return a.x - b.x;
  return Math.abs(a.y - b.y) > SAME_POINT ? a.y - b.y : 0;
}
/** The pair that findings and JSON carry. */
export const pair = (a: Vec): readonly [number, number] => [a.x, a.y];
