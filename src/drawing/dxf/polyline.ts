/** LWPOLYLINE and POLYLINE: vertices with bulges, in the entity's own coordinate system or, in space, the world's. */

import { SAME_POINT } from "../../base/tolerance.js";
import type { Fit } from "../../geometry/fit/fit-arcs.js";
import {
  line,
  type Segment,
  segmentFromBulge,
} from "../../geometry/segment.js";
import { distance, sub, type Vec } from "../../geometry/vec.js";
import { ellipseContour } from "../ellipse.js";
import { MAX_BULGE, MAX_POINTS_PER_ENTITY } from "../limits.js";
import {
  flattened,
  handedness,
  isSimilarity,
  type Placement,
  placed,
  turned,
  type Vec3,
} from "../placement.js";
import { isFlat, lacks, type Shape } from "../shape.js";
import { type Entity, number, ownPlacement, point } from "./entity.js";

interface Vertex {
  readonly at: Vec3;
  /** tan(sweep / 4) of the way to the next vertex. */
  readonly bulge: number;
}

/** The vertices are the pairs of groups 10 and 20; the count (90) and the vertex ids (91) tell nothing more. */
export function lightPolyline(e: Entity, place: Placement, fit: Fit): Shape {
  const z = number(e, 38, 0);
  const vertices: {
    at: { x: number; y: number | null; z: number };
    bulge: number;
  }[] = [];
  for (let i = 0; i < e.numbers.length; i += 2) {
    const code = e.numbers[i];
    const value = e.numbers[i + 1] as number;
    const last = vertices.at(-1);
    if (code === 10) vertices.push({ at: { x: value, y: null, z }, bulge: 0 });
    else if (code === 20 && last) last.at.y = value;
    else if (code === 42 && last) last.bulge = value;
  }
  if (vertices.some((v) => v.at.y === null))
    return lacks("a coordinate of a vertex");
  const own = ownPlacement(e, place);
  return vertexShape(
    vertices as Vertex[],
    (number(e, 70, 0) & 1) !== 0,
    own,
    fit,
  );
}

const CLOSED = 1;
const IN_SPACE = 8;
const MESH = 16 | 64;
const SPLINE_FRAME = 16;

/** With its VERTEX entities; the control points of a smoothed polyline are not on it. */
export function polyline(e: Entity, place: Placement, fit: Fit): Shape {
  const flags = number(e, 70, 0);
  if ((flags & MESH) !== 0) return { kind: "unread", as: "POLYLINE mesh" };
  const inSpace = (flags & IN_SPACE) !== 0;
  const height = number(e, 30, 0);
  const vertices: Vertex[] = [];
  for (const v of e.vertices ?? []) {
    if ((number(v, 70, 0) & SPLINE_FRAME) !== 0) continue;
    const at = point(v, 10);
    if (at === null) return lacks("a coordinate of a vertex");
    vertices.push(
      inSpace
        ? { at, bulge: 0 }
        : { at: { ...at, z: height }, bulge: number(v, 42, 0) },
    );
  }
  const own = inSpace ? place : ownPlacement(e, place);
  return vertexShape(vertices, (flags & CLOSED) !== 0, own, fit);
}

function vertexShape(
  vertices: readonly Vertex[],
  closed: boolean,
  own: Placement,
  fit: Fit,
): Shape {
  if (vertices.length > MAX_POINTS_PER_ENTITY)
    return {
      kind: "faulty",
      why: `it has more than ${MAX_POINTS_PER_ENTITY} vertices`,
    };
  const blown = vertices.find((v) => Math.abs(v.bulge) > MAX_BULGE);
  if (blown)
    return { kind: "faulty", why: `a bulge (group 42) is ${blown.bulge}` };
  const world = vertices.map((v) => placed(own, v.at));
  const first = world[0];
  if (first === undefined) return { kind: "faulty", why: "it has no vertices" };
  if (!isFlat(world.map((p) => p.z))) return { kind: "not-flat" };
  const at = world.map(flattened);
  const segments: Segment[] = [];
  const steps = closed ? at.length : at.length - 1;
  for (let i = 0; i < steps; i++) {
    const next = (i + 1) % at.length;
    const start = at[i] as Vec;
    const end = at[next] as Vec;
    // Many programs repeat the first vertex at the end of a closed polyline.
    if (next === 0 && distance(start, end) <= SAME_POINT) continue;
    segments.push(...step(vertices, i, next, start, end, own, fit));
  }
  if (segments.length === 0) return { kind: "nothing", at: flattened(first) };
  // The repeated vertex was left out, so the last segment must end on the first vertex itself.
  const last = segments.at(-1) as Segment;
  if (closed) segments[segments.length - 1] = { ...last, end: at[0] as Vec };
  return { kind: "strand", contour: { closed, segments }, z: first.z };
}

function step(
  vertices: readonly Vertex[],
  i: number,
  next: number,
  start: Vec,
  end: Vec,
  own: Placement,
  fit: Fit,
): Segment[] {
  const { at: a, bulge } = vertices[i] as Vertex;
  const { at: b } = vertices[next] as Vertex;
  // The bulge is the sagitta over half the chord. No higher than a point, the arc is a line: a bulge of 1e-312, from a
  // spoilt file, has no radius.
  if ((Math.abs(bulge) * distance(start, end)) / 2 <= SAME_POINT)
    return [line(start, end)];
  if (isSimilarity(own)) {
    const arc = segmentFromBulge(start, end, bulge * handedness(own));
    return [arc ?? line(start, end)];
  }
  // Scaled unevenly, the arc is part of an ellipse: u leads to its start, v is u turned the way it runs.
  const arc = segmentFromBulge({ x: a.x, y: a.y }, { x: b.x, y: b.y }, bulge);
  if (arc?.kind !== "arc") return [line(start, end)];
  const u = sub(arc.start, arc.center);
  const way = Math.sign(arc.sweep);
  const contour = ellipseContour(
    {
      center: flattened(placed(own, { ...arc.center, z: a.z })),
      u: flattened(turned(own, { ...u, z: 0 })),
      v: flattened(turned(own, { x: -u.y * way, y: u.x * way, z: 0 })),
      from: 0,
      sweep: Math.abs(arc.sweep),
    },
    fit,
  );
  if (contour === null || contour.segments.length === 0)
    return [line(start, end)];
  const last = contour.segments.length - 1;
  return contour.segments.map((s, k) => ({
    ...s,
    start: k === 0 ? start : s.start,
    end: k === last ? end : s.end,
  }));
}
