/** What lies about a slit: kept metal or not, which of its ends lie open, and what it runs into. Lengths mm. */
import { AT_EDGE } from "../../base/tolerance.js";
import { type Contour, windingNumber } from "../../geometry/contour.js";
import { intersectSegments } from "../../geometry/intersect.js";
import { line, type Segment, tangentAt } from "../../geometry/segment.js";
import { along, distance, negate, type Vec } from "../../geometry/vec.js";
import type { Feature, Layout, Slit } from "../feature.js";

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

/** The openings that hold, however deep, the parts in which a slit runs: their slugs are still there when it is cut. */
export function aroundHolders(
  { features }: Layout,
  holders: readonly (string | null)[],
): Feature[] {
  const around: Feature[] = [];
  for (const holder of holders) {
    let at = features.find((f) => f.id === holder);
    while (at) {
      const { parent } = at;
      at = features.find((f) => f.id === parent);
      if (at?.role === "opening") around.push(at);
    }
  }
  return around;
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

/** The line, drawn on at an open end so that it surely crosses the edge it was drawn to. */
export function reaching(
  layout: Layout,
  { contour }: Slit,
): readonly Segment[] {
  const [start, end] = lineEnds(contour).map((e) =>
    beyond(layout, e).kind === "kept"
      ? []
      : [line(e.at, along(e.at, e.out, AT_EDGE))],
  ) as [Segment[], Segment[]];
  return [...start, ...contour.segments, ...end];
}

/** Places, those nearer than `AT_EDGE` to one before left out. */
function distinct(places: readonly Vec[]): Vec[] {
  return places.filter((p, i) =>
    places.slice(0, i).every((q) => distance(p, q) > AT_EDGE),
  );
}

export function meetings(a: readonly Segment[], b: readonly Segment[]): Vec[] {
  return distinct(
    a.flatMap((s) =>
      b.flatMap((q) => intersectSegments(s, q).map((m) => m.at)),
    ),
  );
}

/** An outline or the block’s edge, as a message names it. */
export interface Edge {
  readonly name: string;
  readonly segments: readonly Segment[];
}

/** The block's own last. */
export function edgesOf({ features, stock }: Layout): Edge[] {
  return [
    ...features.map((f) => ({ name: f.id, segments: f.contour.segments })),
    ...(stock
      ? [{ name: "the block\u2019s edge", segments: stock.segments }]
      : []),
  ];
}
