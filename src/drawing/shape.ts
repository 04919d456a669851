/** What an entity turns out to be, seen from above. */
import { OUT_OF_PLANE } from "../base/tolerance.js";
import type { Contour } from "../geometry/contour.js";
import type { Vec } from "../geometry/vec.js";
import { MAX_CURVE_SIZE } from "./limits.js";

/** A curve that the drawing gives only by points on it. */
export interface FitPoints {
  /** Where it was taken to run, in words. */
  readonly course: string;
  /** How far (mm) another usual course through the same points runs from it. */
  readonly doubt: number;
}

export type Shape =
  | {
      readonly kind: "strand";
      readonly contour: Contour;
      /** Height above the plane of the drawing, mm. */
      readonly z: number;
      readonly byFitPoints?: FitPoints;
    }
  | { readonly kind: "point"; readonly at: Vec }
  /** Drawn, but without length: a line from a place to itself, a circle of radius 0. */
  | { readonly kind: "nothing"; readonly at: Vec }
  /** Not parallel to the plane of the drawing. */
  | { readonly kind: "not-flat" }
  /** Of a kind that has no outline to cut. */
  | { readonly kind: "unread"; readonly as: string }
  /** Cannot be what it claims to be. */
  | { readonly kind: "faulty"; readonly why: string };

export function lacks(what: string): Shape {
  return { kind: "faulty", why: `it lacks ${what}` };
}

export function tooWide(): Shape {
  return {
    kind: "faulty",
    why: `it is more than ${MAX_CURVE_SIZE / 1000} m across; check the unit of the drawing`,
  };
}

/** Whether heights agree well enough for an outline seen from above. */
export function isFlat(heights: readonly number[]): boolean {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const z of heights) {
    low = Math.min(low, z);
    high = Math.max(high, z);
  }
  return high - low <= OUT_OF_PLANE;
}
