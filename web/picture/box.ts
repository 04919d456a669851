/** How large a plan's picture is. Pure. */
import { type Contour, contourBox, type Plan } from "../../src/index.js";
import type { Rect } from "./view.js";

/** The box of everything drawn, mm; a blank sheet of 10 mm when there is nothing. */
export function boxOf(plan: Plan): Rect {
  const outlines: readonly Contour[] = [
    ...(plan.stock ? [plan.stock] : []),
    ...[...plan.features, ...plan.slits].map((f) => f.contour),
    ...plan.unplanned,
  ];
  const holes = [...plan.features, ...plan.slits].map(
    ({ startHole: { at, diameter } }) => around(at.x, at.y, diameter / 2),
  );
  const all = [...outlines.map(rectOf), ...holes];
  if (all.length === 0) return around(0, 0, 10);
  const box = all.reduce((a, b) => ({
    minX: Math.min(a.minX, b.minX),
    minY: Math.min(a.minY, b.minY),
    maxX: Math.max(a.maxX, b.maxX),
    maxY: Math.max(a.maxY, b.maxY),
  }));
  // Where no block is drawn its metal goes on: some of it is shown.
  const air = plan.stock
    ? 0
    : 0.08 * Math.max(box.maxX - box.minX, box.maxY - box.minY);
  return {
    minX: box.minX - air,
    minY: box.minY - air,
    maxX: box.maxX + air,
    maxY: box.maxY + air,
  };
}

const rects = new WeakMap<Contour, Rect>();

/** A contour's box, measured once. */
export function rectOf(contour: Contour): Rect {
  const known = rects.get(contour);
  if (known) return known;
  const rect = contourBox(contour);
  rects.set(contour, rect);
  return rect;
}

export function around(x: number, y: number, r: number): Rect {
  return { minX: x - r, minY: y - r, maxX: x + r, maxY: y + r };
}

export function touches(a: Rect, b: Rect): boolean {
  return (
    a.minX <= b.maxX && a.maxX >= b.minX && a.minY <= b.maxY && a.maxY >= b.minY
  );
}
