/** What an entity turns out to be, seen from above. */
import { OUT_OF_PLANE } from "../base/tolerance.js";
import type { Contour } from "../geometry/contour.js";
import type { Vec } from "../geometry/vec.js";

export type Shape =
  | {
      readonly kind: "strand";
      readonly contour: Contour;
      readonly byFitPoints?: true;
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
