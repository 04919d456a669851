/** Layouts made by hand for planner and proof tests. */
import type { Contour } from "../../src/geometry/contour.js";
import { polygonContour } from "../../src/geometry/contour.js";
import type { CutRole, Feature, Layout } from "../../src/plan/feature.js";

export function rectangle(x: number, y: number, w: number, h: number): Contour {
  return polygonContour([
    { x, y },
    { x: x + w, y },
    { x: x + w, y: y + h },
    { x, y: y + h },
  ]);
}

export function feature(
  id: string,
  role: CutRole,
  contour: Contour,
  parent: Feature | null = null,
): Feature {
  return {
    id,
    role,
    layer: "0",
    contour,
    depth: parent ? parent.depth + 1 : 0,
    parent: parent?.id ?? null,
  };
}

export function layoutOf(...features: Feature[]): Layout {
  return {
    features,
    slits: [],
    stock: null,
    holes: [],
    tabMarks: [],
    keepOff: [],
  };
}
