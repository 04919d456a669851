/** Measuring between two points: they snap to corners, to start holes and to edges. */
import type { G } from "@svgdotjs/svg.js";
import {
  type LengthUnit,
  lengthText,
  type Plan,
  type Vec,
} from "../../src/index.js";
import { around, rectOf, touches } from "./box.js";
import { write } from "./labels.js";
import { nearestOf } from "./probe.js";
import { toScreen, type View } from "./view.js";

export interface Measure {
  readonly from: Vec;
  /** null until the second point is set. */
  readonly to: Vec | null;
}

/** The corner or hole within `reach` mm of `p`, else the edge, else `p` itself. */
export function snapped(plan: Plan, p: Vec, reach: number): Vec {
  const near = plan.features.filter((f) =>
    touches(around(p.x, p.y, reach), rectOf(f.contour)),
  );
  const corners = near.flatMap((f) => [
    f.startHole.at,
    ...f.contour.segments.map((s) => s.start),
  ]);
  const stock = plan.stock?.segments ?? [];
  const close = [...corners, ...stock.map((s) => s.start)]
    .map((at) => ({ at, distance: Math.hypot(at.x - p.x, at.y - p.y) }))
    .filter((c) => c.distance <= reach)
    .sort((a, b) => a.distance - b.distance)[0];
  if (close) return close.at;
  const edge = nearestOf(
    [...near.flatMap((f) => f.contour.segments), ...stock],
    p,
  );
  return edge.distance <= reach ? edge.at : p;
}

export function drawMeasure(
  layer: G,
  view: View,
  { from, to }: Measure,
  units: LengthUnit,
): void {
  const a = toScreen(view, from);
  layer.circle(8).center(a.x, a.y).addClass("measure-end");
  if (!to) return;
  const b = toScreen(view, to);
  layer.line(a.x, a.y, b.x, b.y).addClass("measure");
  layer.circle(8).center(b.x, b.y).addClass("measure-end");
  write(
    layer,
    { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 - 8 },
    measureText(from, to, units),
    "label",
  );
}

export function measureText(from: Vec, to: Vec, units: LengthUnit): string {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const text = (mm: number): string => lengthText(mm, units);
  return `${text(Math.hypot(dx, dy))} (ΔX ${text(dx)}, ΔY ${text(dy)})`;
}
