/** Winding number by halving: an opinion that shares nothing with the closed form in `src/geometry/contour.ts`. */
import type { Contour } from "../../src/geometry/contour.js";
import type { Segment } from "../../src/geometry/segment.js";
import type { Vec } from "../../src/geometry/vec.js";

/** How often a closed contour goes round `p`, which must not lie on it. */
export function windingByHalving(c: Contour, p: Vec): number {
  const n = c.segments.length;
  let winding = 0;
  c.segments.forEach((s, i) => {
    // The next start, not the own end: no gap for a ray to slip through.
    const end = (c.segments[(i + 1) % n] as Segment).start;
    winding +=
      s.kind === "line"
        ? passes(s.start, end, p)
        : arcPasses(s.center, s.radius, s.start, end, s.sweep, p);
  });
  return winding;
}

/** Does the way from `a` to `b` pass the ray from `p` to +x: +1 upwards, −1 downwards. */
function passes(a: Vec, b: Vec, p: Vec): number {
  if (a.y <= p.y === b.y <= p.y) return 0;
  const side = (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
  if (b.y > a.y) return side > 0 ? 1 : 0;
  return side < 0 ? -1 : 0;
}

/** An arc is its chord once `p` cannot lie between the two; until then it is halved. */
function arcPasses(
  center: Vec,
  radius: number,
  a: Vec,
  b: Vec,
  sweep: number,
  p: Vec,
): number {
  const from = Math.atan2(a.y - center.y, a.x - center.x);
  const middle = {
    x: center.x + radius * Math.cos(from + sweep / 2),
    y: center.y + radius * Math.sin(from + sweep / 2),
  };
  // All of the arc and its chord lie within half the arc's length of its middle.
  const reach = (radius * Math.abs(sweep)) / 2;
  const far = Math.hypot(p.x - middle.x, p.y - middle.y);
  if (far > reach * (1 + 1e-9) || reach < 1e-13) return passes(a, b, p);
  return (
    arcPasses(center, radius, a, middle, sweep / 2, p) +
    arcPasses(center, radius, middle, b, sweep / 2, p)
  );
}
