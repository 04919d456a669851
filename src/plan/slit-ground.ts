/** What lies about a slit: kept metal or not, and which of its ends lie open. Lengths mm. */
import { AT_EDGE } from "../base/tolerance.js";
import { type Contour, windingNumber } from "../geometry/contour.js";
import { type Segment, tangentAt } from "../geometry/segment.js";
import { along, negate, type Vec } from "../geometry/vec.js";
import type { Feature, Layout } from "./feature.js";

/** `opening`: inside one, whose slug comes out; `waste`: about a part; `air`: outside the block. */
export interface Region {
  readonly kind: "kept" | "opening" | "waste" | "air";
  /** The innermost outline around it. */
  readonly feature: Feature | null;
}

export function regionOf({ features, stock }: Layout, p: Vec): Region {
  const feature = features
    .filter((f) => windingNumber(f.contour, p) !== 0)
    .reduce<Feature | null>((a, b) => (a && a.depth > b.depth ? a : b), null);
  if (feature)
    return { kind: feature.role === "part" ? "kept" : "opening", feature };
  if (stock && windingNumber(stock, p) === 0) return { kind: "air", feature };
  // Around parts lies the rest of the block; a plate with openings only is kept itself.
  const parts = features.some((f) => f.depth === 0 && f.role === "part");
  return { kind: parts ? "waste" : "kept", feature };
}

/** An end of a line, and the way on from there. */
export interface LineEnd {
  readonly at: Vec;
  /** Of length 1. */
  readonly out: Vec;
}

/** Where the line begins as drawn, and where it ends. */
export function lineEnds({ segments }: Contour): readonly [LineEnd, LineEnd] {
  const first = segments[0] as Segment;
  const last = segments.at(-1) as Segment;
  return [
    { at: first.start, out: negate(tangentAt(first, 0)) },
    { at: last.end, out: tangentAt(last, 1) },
  ];
}

/** What the line comes into at its end. */
export function beyond(layout: Layout, { at, out }: LineEnd): Region {
  return regionOf(layout, along(at, out, AT_EDGE));
}
