/** The shapes of SVG: each is defined by the path it stands for (SVG 1.1, 9); ellipses are taken whole. */

import { SAME_DRAWN } from "../../base/tolerance.js";
import type { Fit } from "../../geometry/fit/fit-arcs.js";
import type { Vec } from "../../geometry/vec.js";
import { ellipseContour } from "../ellipse.js";
import { MAX_CURVE_SIZE, MAX_POINTS_PER_ENTITY } from "../limits.js";
import { flattened, type Placement, placed, turned } from "../placement.js";
import { unknownLength } from "./findings.js";
import {
  type Along,
  parseLength,
  parseNumbers,
  userUnits,
  type Viewport,
} from "./length.js";
import { pathSteps } from "./path-data.js";
import {
  type Drawn,
  drawSteps,
  isFar,
  SPANS_TOO_MUCH,
  type Step,
  TOO_FAR,
} from "./steps.js";
import type { SvgElement } from "./tree.js";

export const SHAPES: ReadonlySet<string> = new Set([
  "path",
  "rect",
  "circle",
  "ellipse",
  "line",
  "polyline",
  "polygon",
]);

export interface ShapeContext {
  /** User units to mm, y upwards. */
  readonly place: Placement;
  readonly viewport: Viewport | null;
  readonly fit: Fit;
  /** mm */
  readonly gap: number;
}

/** @returns a text that says why, when the shape cannot be drawn. */
export function drawShape(
  e: SvgElement,
  context: ShapeContext,
): Drawn | string {
  try {
    const shape = shapeOf(e, context.viewport);
    return "center" in shape
      ? drawEllipse(shape, context)
      : drawSteps(shape, context.place, context.fit, context.gap);
  } catch (error) {
    if (error instanceof Fault) return error.message;
    throw error;
  }
}

/** Why a shape cannot be drawn; never leaves this file. */
class Fault extends Error {}

interface Ellipse {
  readonly center: Vec;
  readonly rx: number;
  readonly ry: number;
}

function shapeOf(
  e: SvgElement,
  viewport: Viewport | null,
): readonly Step[] | Ellipse {
  const given = (name: string, along: Along): number | null => {
    const text = e.attributes.get(name);
    if (text === undefined || text.trim() === "auto") return null;
    const length = parseLength(text);
    const value = length && userUnits(length, along, viewport);
    if (value === null) throw new Fault(unknownLength(name, text));
    return value;
  };
  const x = (name: string): number => given(name, "x") ?? 0;
  const y = (name: string): number => given(name, "y") ?? 0;
  const size = (name: string, along: Along): number | null => {
    const value = given(name, along);
    if (value !== null && value < 0) throw new Fault(`its ${name} is negative`);
    return value;
  };
  switch (e.name) {
    case "rect": {
      const rx = size("rx", "x");
      const ry = size("ry", "y");
      return rectangle(
        { x: x("x"), y: y("y") },
        size("width", "x") ?? 0,
        size("height", "y") ?? 0,
        rx ?? ry ?? 0,
        ry ?? rx ?? 0,
      );
    }
    case "circle": {
      const r = size("r", "diagonal") ?? 0;
      return { center: { x: x("cx"), y: y("cy") }, rx: r, ry: r };
    }
    case "ellipse": {
      const rx = size("rx", "x");
      const ry = size("ry", "y");
      return {
        center: { x: x("cx"), y: y("cy") },
        rx: rx ?? ry ?? 0,
        ry: ry ?? rx ?? 0,
      };
    }
    case "line":
      return polyline([
        { x: x("x1"), y: y("y1") },
        { x: x("x2"), y: y("y2") },
      ]);
    case "polyline":
      return polyline(pointsOf(e));
    case "polygon": {
      const points = pointsOf(e);
      return points.length === 0
        ? []
        : [...polyline(points), { kind: "close" }];
    }
    default: {
      const steps = pathSteps(e.attributes.get("d") ?? "");
      if (typeof steps === "string") throw new Fault(steps);
      return steps;
    }
  }
}

function pointsOf({ attributes }: SvgElement): Vec[] {
  const numbers = parseNumbers(attributes.get("points") ?? "");
  if (numbers === null) throw new Fault("its points are not all numbers");
  if (numbers.length % 2 === 1)
    throw new Fault("its last point lacks a coordinate");
  if (numbers.length > 2 * MAX_POINTS_PER_ENTITY)
    throw new Fault(`it has more than ${MAX_POINTS_PER_ENTITY} points`);
  return Array.from({ length: numbers.length / 2 }, (_, i) => ({
    x: numbers[2 * i] as number,
    y: numbers[2 * i + 1] as number,
  }));
}

function polyline(points: readonly Vec[]): Step[] {
  return points.map((to, i) => ({ kind: i === 0 ? "move" : "line", to }));
}

/** Radii are at most half the sides. */
function rectangle(
  { x, y }: Vec,
  w: number,
  h: number,
  drawnRx: number,
  drawnRy: number,
): Step[] {
  const rx = Math.min(drawnRx, w / 2);
  const ry = Math.min(drawnRy, h / 2);
  const corner = (toX: number, toY: number): Step[] =>
    rx === 0 || ry === 0
      ? []
      : [
          {
            kind: "arc",
            rx,
            ry,
            rotation: 0,
            large: false,
            sweep: true,
            to: { x: toX, y: toY },
          },
        ];
  const side = (toX: number, toY: number): Step => ({
    kind: "line",
    to: { x: toX, y: toY },
  });
  const [inX, inY] = rx === 0 || ry === 0 ? [0, 0] : [rx, ry];
  return [
    { kind: "move", to: { x: x + inX, y } },
    side(x + w - inX, y),
    ...corner(x + w, y + inY),
    side(x + w, y + h - inY),
    ...corner(x + w - inX, y + h),
    side(x + inX, y + h),
    ...corner(x, y + h - inY),
    side(x, y + inY),
    ...corner(x + inX, y),
    { kind: "close" },
  ];
}

function drawEllipse(
  { center, rx, ry }: Ellipse,
  { place, fit }: ShapeContext,
): Drawn | string {
  const at = flattened(placed(place, { ...center, z: 0 }));
  const u = flattened(turned(place, { x: rx, y: 0, z: 0 }));
  const v = flattened(turned(place, { x: 0, y: ry, z: 0 }));
  if (isFar(at)) return TOO_FAR;
  const nothing = { contours: [], nothing: [at], closed: [] };
  if (Math.min(Math.hypot(u.x, u.y), Math.hypot(v.x, v.y)) <= SAME_DRAWN)
    return nothing;
  if (2 * Math.hypot(u.x, u.y, v.x, v.y) > MAX_CURVE_SIZE)
    return SPANS_TOO_MUCH;
  const contour = ellipseContour(
    { center: at, u, v, from: 0, sweep: 2 * Math.PI },
    fit,
  );
  return contour === null
    ? nothing
    : { contours: [contour], nothing: [], closed: [] };
}
