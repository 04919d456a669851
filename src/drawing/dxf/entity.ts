/** Reading the group codes of one entity: numbers in order, points, and POLYLINE put together with its vertices. */

import {
  compose,
  objectSystem,
  type Placement,
  type Vec3,
} from "../placement.js";
import type { RawEntity } from "./sections.js";

/** A POLYLINE holds its VERTEX entities; other entities have none. */
export interface Entity extends RawEntity {
  readonly vertices?: readonly RawEntity[];
}

/** The first number with the code, or what stands in for it. */
export function number<T>(
  { numbers }: RawEntity,
  code: number,
  otherwise: T,
): number | T {
  for (let i = 0; i < numbers.length; i += 2)
    if (numbers[i] === code) return numbers[i + 1] as number;
  return otherwise;
}

/** Every number with the code, in order. */
export function numbersOf({ numbers }: RawEntity, code: number): number[] {
  return numbers.filter((_, i) => i % 2 === 1 && numbers[i - 1] === code);
}

/** The point that begins with `code` (10 for 10, 20, 30); z may be missing, x and y may not. */
export function point(e: RawEntity, code: number): Vec3 | null {
  const x = number(e, code, null);
  const y = number(e, code + 10, null);
  return x === null || y === null ? null : { x, y, z: number(e, code + 20, 0) };
}

/** Every point that begins with `code`, or `null` when an x lacks its y. */
export function points(e: RawEntity, code: number): Vec3[] | null {
  const found: { x: number; y: number | null; z: number }[] = [];
  for (let i = 0; i < e.numbers.length; i += 2) {
    const own = e.numbers[i] as number;
    const value = e.numbers[i + 1] as number;
    const last = found.at(-1);
    if (own === code) found.push({ x: value, y: null, z: 0 });
    else if (own === code + 10 && last) last.y = value;
    else if (own === code + 20 && last) last.z = value;
  }
  const whole = found.filter((p): p is Vec3 => p.y !== null);
  return whole.length === found.length ? whole : null;
}

/** The direction of the entity's own z axis (group 210), the world's when it says nothing. */
export function extrusion(e: RawEntity): Vec3 {
  return {
    x: number(e, 210, 0),
    y: number(e, 220, 0),
    z: number(e, 230, 1),
  };
}

/** Where the entity's own coordinate system lies, inside what is placed so. */
export function ownPlacement(e: RawEntity, place: Placement): Placement {
  const up = extrusion(e);
  if (up.x === 0 && up.y === 0 && up.z > 0) return place;
  return compose(place, objectSystem(up));
}

/**
 * VERTEX entities go to the POLYLINE before them. SEQEND is a mark, not an entity, and may be missing; a VERTEX
 * without a POLYLINE stays, to be told of.
 */
export function groupVertices(flat: readonly RawEntity[]): Entity[] {
  const grouped: Entity[] = [];
  let vertices: RawEntity[] | null = null;
  for (const raw of flat) {
    if (raw.type === "POLYLINE") {
      vertices = [];
      grouped.push({ ...raw, vertices });
    } else if (raw.type === "VERTEX" && vertices) vertices.push(raw);
    else {
      vertices = null;
      if (raw.type !== "SEQEND") grouped.push(raw);
    }
  }
  return grouped;
}
