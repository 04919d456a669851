/** An elliptical arc given by its ends becomes one given by its centre (SVG 1.1, appendix F.6). */

import { along, scale, type Vec } from "../../geometry/vec.js";
import type { EllipseArc } from "../ellipse.js";
import { cosDegrees, sinDegrees } from "../placement.js";

/** In user units, from where the step before ends. */
export interface EndpointArc {
  readonly rx: number;
  readonly ry: number;
  /** Degrees from the x axis to the ellipse's own. */
  readonly rotation: number;
  readonly large: boolean;
  readonly sweep: boolean;
  readonly to: Vec;
}

/** `null` when a radius is 0, which stands for a straight line. Radii too small to reach are enlarged until they do. */
export function ellipseThrough(
  from: Vec,
  { rx, ry, rotation, large, sweep, to }: EndpointArc,
): EllipseArc | null {
  if (rx === 0 || ry === 0) return null;
  const c = cosDegrees(rotation);
  const s = sinDegrees(rotation);
  // Half the way from end to start, in the ellipse's own axes, as shares of its radii: there it is a unit circle.
  const hx = (from.x - to.x) / 2;
  const hy = (from.y - to.y) / 2;
  const half = { x: (c * hx + s * hy) / rx, y: (c * hy - s * hx) / ry };
  const reach = Math.hypot(half.x, half.y);
  const enlarged = Math.max(1, reach);
  const p = scale(half, 1 / enlarged);
  const off = Math.min(1, Math.hypot(p.x, p.y));
  // The centre lies square to the chord; on which side, the two flags say.
  const rise = Math.sqrt((1 - off) * (1 + off)) / (off || 1);
  const center = scale({ x: p.y, y: -p.x }, large === sweep ? -rise : rise);
  const u = scale({ x: c, y: s }, rx * enlarged);
  const v = scale({ x: -s, y: c }, ry * enlarged);
  const begin = Math.atan2(p.y - center.y, p.x - center.x);
  const end = Math.atan2(-p.y - center.y, -p.x - center.x);
  const turn = sweep ? end - begin : begin - end;
  const fullTurn = 2 * Math.PI;
  const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 };
  return {
    center: along(along(middle, u, center.x), v, center.y),
    u,
    v: sweep ? v : scale(v, -1),
    from: sweep ? begin : -begin,
    sweep: turn > 0 ? turn : turn + fullTurn,
  };
}
