/**
 * Gear-like outlines with any number of teeth, four segments each: flank, half-round tip, flank, half-round root.
 * Half lines and half arcs, all joints tangent but for rounding: what a wire meets every day.
 *
 *     _     _
 *    / \   / \       flanks 0.45 mm, roots 0.5 mm wide, tips 0.6 mm ("clean")
 *   |   |_|   |_     or 0.15 to 0.95 mm ("vanish": offset inward by 0.15 mm, a fifth of the teeth disappear)
 */
import type { Contour } from "../src/geometry/contour.js";
import { bulged, random } from "../tests/helpers/shapes.js";

export type Gear = "clean" | "vanish";

const FLANK = 0.45;
const ROOT = 0.5;

/** Counter-clockwise, about the origin; `segments` is rounded down to whole teeth. */
export function gearOutline(kind: Gear, segments: number): Contour {
  const rnd = random(5);
  const tips = Array.from({ length: Math.floor(segments / 4) }, () =>
    kind === "clean" ? 0.6 : 0.15 + 0.8 * rnd(),
  );
  const round = tips.reduce((sum, tip) => sum + tip + ROOT, 0);
  const inner = round / (2 * Math.PI);
  const outer = inner + FLANK;
  const points: [number, number, number][] = [];
  const put = (r: number, angle: number, sweep: number): void => {
    points.push([
      r * Math.cos(angle),
      r * Math.sin(angle),
      Math.tan(sweep / 4),
    ]);
  };
  let angle = 0;
  for (const tip of tips) {
    const across = tip / inner;
    const gap = ROOT / inner;
    put(inner, angle, 0);
    // Flanks are radial: a tip turns by half a turn and the angle between them, a root by that much less.
    put(outer, angle, Math.PI + across);
    put(outer, angle + across, 0);
    put(inner, angle + across, gap - Math.PI);
    angle += across + gap;
  }
  return bulged(points);
}
