/** Where a block or an entity's own coordinate system lies in the world: affine maps of space, seen from above (+z). */
import { ROUNDING } from "../base/tolerance.js";
import type { Vec } from "../geometry/vec.js";

export interface Vec3 {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** p ↦ origin + p.x·u + p.y·v + p.z·w */
export interface Placement {
  readonly u: Vec3;
  readonly v: Vec3;
  readonly w: Vec3;
  readonly origin: Vec3;
}

const ORIGIN: Vec3 = { x: 0, y: 0, z: 0 };
const X_AXIS: Vec3 = { x: 1, y: 0, z: 0 };
const Y_AXIS: Vec3 = { x: 0, y: 1, z: 0 };
const Z_AXIS: Vec3 = { x: 0, y: 0, z: 1 };

export const IDENTITY: Placement = {
  u: X_AXIS,
  v: Y_AXIS,
  w: Z_AXIS,
  origin: ORIGIN,
};

/** Linear part only: what happens to a direction. */
export function turned(m: Placement, d: Vec3): Vec3 {
  return {
    x: m.u.x * d.x + m.v.x * d.y + m.w.x * d.z,
    y: m.u.y * d.x + m.v.y * d.y + m.w.y * d.z,
    z: m.u.z * d.x + m.v.z * d.y + m.w.z * d.z,
  };
}

export function placed(m: Placement, p: Vec3): Vec3 {
  const d = turned(m, p);
  return { x: m.origin.x + d.x, y: m.origin.y + d.y, z: m.origin.z + d.z };
}

/** First `inner`, then `outer`. */
export function compose(outer: Placement, inner: Placement): Placement {
  return {
    u: turned(outer, inner.u),
    v: turned(outer, inner.v),
    w: turned(outer, inner.w),
    origin: placed(outer, inner.origin),
  };
}

export function scaling(x: number, y: number, z: number): Placement {
  return {
    u: { x, y: 0, z: 0 },
    v: { x: 0, y, z: 0 },
    w: { x: 0, y: 0, z },
    origin: ORIGIN,
  };
}

export function translation(origin: Vec3): Placement {
  return { ...IDENTITY, origin };
}

/** Counter-clockwise about z, degrees; whole quarters exactly, so that square drawings stay square. */
export function rotation(degrees: number): Placement {
  const c = cosDegrees(degrees);
  const s = sinDegrees(degrees);
  return {
    u: { x: c, y: s, z: 0 },
    v: { x: -s, y: c, z: 0 },
    w: Z_AXIS,
    origin: ORIGIN,
  };
}

export function cosDegrees(degrees: number): number {
  return sinDegrees(degrees + 90);
}

export function sinDegrees(degrees: number): number {
  const turn = ((degrees % 360) + 360) % 360;
  if (turn === 0 || turn === 180) return 0;
  if (turn === 90) return 1;
  if (turn === 270) return -1;
  return Math.sin((degrees * Math.PI) / 180);
}

/**
 * The object coordinate system of an extrusion direction: the arbitrary axis algorithm of the DXF reference. A
 * direction of no length is taken for +z.
 */
export function objectSystem(extrusion: Vec3): Placement {
  const w = unit3(extrusion) ?? Z_AXIS;
  const nearZ = Math.abs(w.x) < 1 / 64 && Math.abs(w.y) < 1 / 64;
  const u = unit3(cross3(nearZ ? Y_AXIS : Z_AXIS, w)) ?? X_AXIS;
  return { u, v: cross3(w, u), w, origin: ORIGIN };
}

function cross3(a: Vec3, b: Vec3): Vec3 {
  return {
    x: a.y * b.z - a.z * b.y,
    y: a.z * b.x - a.x * b.z,
    z: a.x * b.y - a.y * b.x,
  };
}

function unit3(a: Vec3): Vec3 | null {
  const l = Math.hypot(a.x, a.y, a.z);
  return l > 0 ? { x: a.x / l, y: a.y / l, z: a.z / l } : null;
}

/** +1 when the plane z = const of `m` is seen from its upper side, −1 when from below: mirrored. */
export function handedness(m: Placement): 1 | -1 {
  return m.u.x * m.v.y - m.u.y * m.v.x < 0 ? -1 : 1;
}

/** Seen from above. */
export function flattened(p: Vec3): Vec {
  return { x: p.x, y: p.y };
}

/** Whether circles of the plane z = const stay circles: both axes as long, and square to each other. */
export function isSimilarity({ u, v }: Placement): boolean {
  const uu = u.x * u.x + u.y * u.y;
  const vv = v.x * v.x + v.y * v.y;
  const uv = u.x * v.x + u.y * v.y;
  const noise = ROUNDING * (uu + vv);
  return Math.abs(uu - vv) <= noise && Math.abs(uv) <= noise;
}
