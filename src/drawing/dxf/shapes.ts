/** One entity becomes lines and arcs in world coordinates, mm, seen from above. */

import {
  OUT_OF_PLANE,
  ROUNDING,
  SAME_DRAWN,
  TURN_OVERSHOOT,
  TURN_ROUNDING,
} from "../../base/tolerance.js";
import type { Fit } from "../../geometry/fit/fit-arcs.js";
import { line } from "../../geometry/segment.js";
import { type EllipseArc, ellipseContour } from "../ellipse.js";
import { MAX_COORDINATE, MAX_CURVE_SIZE } from "../limits.js";
import {
  flattened,
  objectSystem,
  type Placement,
  placed,
  turned,
  type Vec3,
} from "../placement.js";
import { isFlat, lacks, type Shape, tooWide } from "../shape.js";
import {
  type Entity,
  extrusion,
  number,
  ownPlacement,
  point,
} from "./entity.js";
import { lightPolyline, polyline } from "./polyline.js";
import { splineShape } from "./spline-entity.js";

export function entityShape(e: Entity, place: Placement, fit: Fit): Shape {
  switch (e.type) {
    case "LINE":
      return lineShape(e, place);
    case "CIRCLE":
    case "ARC":
      return arcShape(e, place, fit);
    case "ELLIPSE":
      return ellipseShape(e, place, fit);
    case "LWPOLYLINE":
      return lightPolyline(e, place, fit);
    case "POLYLINE":
      return polyline(e, place, fit);
    case "SPLINE":
      return splineShape(e, place, fit);
    case "POINT": {
      const at = point(e, 10);
      if (at === null) return lacks("its place (group 10)");
      return { kind: "point", at: flattened(placed(place, at)) };
    }
    default:
      return { kind: "unread", as: e.type };
  }
}

/** World coordinates; a LINE's extrusion only says which way its thickness goes. */
function lineShape(e: Entity, place: Placement): Shape {
  const from = point(e, 10);
  const to = point(e, 11);
  if (from === null) return lacks("its start (group 10)");
  if (to === null) return lacks("its end (group 11)");
  const a = placed(place, from);
  const b = placed(place, to);
  if (!isFlat([a.z, b.z])) return { kind: "not-flat" };
  const drawn = line(flattened(a), flattened(b));
  const contour = { closed: false, segments: [drawn] };
  return { kind: "strand", contour, z: a.z };
}

/** Circles and arcs lie in the entity's own system; arcs run counter-clockwise there, angles in degrees. */
function arcShape(e: Entity, place: Placement, fit: Fit): Shape {
  const center = point(e, 10);
  const radius = number(e, 40, null);
  if (center === null) return lacks("its centre (group 10)");
  if (radius === null) return lacks("its radius (group 40)");
  if (radius < 0) return { kind: "faulty", why: `its radius is ${radius}` };
  let from = 0;
  let sweep = 360;
  if (e.type === "ARC") {
    const start = number(e, 50, null);
    const end = number(e, 51, null);
    if (start === null || end === null)
      return lacks("an angle (group 50 or 51)");
    from = start;
    sweep = positiveTurn(end - start, 360);
  }
  const own = ownPlacement(e, place);
  return ellipticalShape(
    placed(own, center),
    turned(own, { x: radius, y: 0, z: 0 }),
    turned(own, { x: 0, y: radius, z: 0 }),
    (from * Math.PI) / 180,
    (sweep * Math.PI) / 180,
    fit,
  );
}

/** World coordinates: centre, end of the major axis from there, ratio of the axes, parameters in radians. */
function ellipseShape(e: Entity, place: Placement, fit: Fit): Shape {
  const center = point(e, 10);
  const major = point(e, 11);
  const ratio = number(e, 40, null);
  if (center === null) return lacks("its centre (group 10)");
  if (major === null) return lacks("its major axis (group 11)");
  if (ratio === null) return lacks("its axis ratio (group 40)");
  const { w } = objectSystem(extrusion(e));
  const minor: Vec3 = {
    x: (w.y * major.z - w.z * major.y) * ratio,
    y: (w.z * major.x - w.x * major.z) * ratio,
    z: (w.x * major.y - w.y * major.x) * ratio,
  };
  const from = number(e, 41, 0);
  const sweep = positiveTurn(number(e, 42, 2 * Math.PI) - from, 2 * Math.PI);
  return ellipticalShape(
    placed(place, center),
    turned(place, major),
    turned(place, minor),
    from,
    sweep,
    fit,
  );
}

/**
 * Into (0, full]. Equal start and end mean the whole turn, and so does a little more than a turn: 2π with few digits is
 * 6.28319. A little more than nothing is a short arc: offset outlines have such at their joints.
 */
function positiveTurn(turn: number, full: number): number {
  const part = ((turn % full) + full) % full;
  if (part > full * (1 - TURN_ROUNDING)) return full;
  const begun = part < full * TURN_OVERSHOOT && Math.abs(turn) > full / 2;
  return begun || part < full * ROUNDING ? full : part;
}

function ellipticalShape(
  center: Vec3,
  u: Vec3,
  v: Vec3,
  from: number,
  sweep: number,
  fit: Fit,
): Shape {
  if (Math.hypot(u.z, v.z) > OUT_OF_PLANE) return { kind: "not-flat" };
  const drawn: EllipseArc = {
    center: flattened(center),
    u: flattened(u),
    v: flattened(v),
    from,
    sweep,
  };
  if (Math.max(Math.hypot(u.x, u.y), Math.hypot(v.x, v.y)) <= SAME_DRAWN)
    return { kind: "nothing", at: drawn.center };
  // A flat arc has a radius of many metres and is short all the same.
  const reach = Math.hypot(u.x, u.y, v.x, v.y);
  if (reach * Math.min(2, sweep) > MAX_CURVE_SIZE || reach > MAX_COORDINATE)
    return tooWide();
  const contour = ellipseContour(drawn, fit);
  return contour === null
    ? { kind: "faulty", why: "its axes enclose nothing" }
    : { kind: "strand", contour, z: center.z };
}
