/** Curves are fitted once for all insertions of a block that differ only in their place: fitting is the costly part. */
import type { Fit } from "../geometry/fit/fit-arcs.js";
import type { Segment } from "../geometry/segment.js";
import { add, type Vec } from "../geometry/vec.js";
import type { Entity } from "./dxf/entity.js";
import { entityShape } from "./dxf/shapes.js";
import {
  flattened,
  isSimilarity,
  type Placement,
  type Vec3,
} from "./placement.js";
import type { Shape } from "./shape.js";

/** Like `entityShape`, with a memory of the last placement of each curve. */
export function shapeReader(fit: Fit): (e: Entity, place: Placement) => Shape {
  const last = new Map<Entity, { place: Placement; shape: Shape }>();
  return (e, place) => {
    if (!isFitted(e, place)) return entityShape(e, place, fit);
    let known = last.get(e);
    if (!known || !sameTurn(known.place, place)) {
      const atOrigin = { ...place, origin: { x: 0, y: 0, z: 0 } };
      known = { place, shape: entityShape(e, atOrigin, fit) };
      last.set(e, known);
    }
    return moved(known.shape, place.origin);
  };
}

function isFitted(e: Entity, place: Placement): boolean {
  return (
    e.type === "ELLIPSE" ||
    e.type === "SPLINE" ||
    (e.type !== "LINE" && e.type !== "POINT" && !isSimilarity(place))
  );
}

function sameTurn(a: Placement, b: Placement): boolean {
  return same(a.u, b.u) && same(a.v, b.v) && same(a.w, b.w);
}

function same(a: Vec3, b: Vec3): boolean {
  return a.x === b.x && a.y === b.y && a.z === b.z;
}

function moved(shape: Shape, origin: Vec3): Shape {
  const by = flattened(origin);
  switch (shape.kind) {
    case "strand": {
      const segments = shape.contour.segments.map((s) => movedSegment(s, by));
      const contour = { ...shape.contour, segments };
      return { ...shape, contour, z: shape.z + origin.z };
    }
    case "nothing":
    case "point":
      return { ...shape, at: add(shape.at, by) };
    default:
      return shape;
  }
}

function movedSegment(s: Segment, by: Vec): Segment {
  const ends = { start: add(s.start, by), end: add(s.end, by) };
  return s.kind === "line"
    ? { ...s, ...ends }
    : { ...s, ...ends, center: add(s.center, by) };
}
