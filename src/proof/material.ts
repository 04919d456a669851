/** Kerfs as polygons: the only place that uses clipper-lib. Whole numbers on a fine grid about a local origin. */
import ClipperLib from "clipper-lib";
import { KERF_CHORD, KERF_GRID } from "../base/tolerance.js";
import type { Segment } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import { xAt, yAt } from "./stretches.js";

/** A closed polygon, mm; without repeating its first point. */
export type Polygon = readonly Vec[];

export interface Band {
  /** Points of the wire centre's way. */
  readonly points: readonly Vec[];
  readonly radius: number;
}

/** Connected areas, each with its rim and its holes. */
export interface Area {
  readonly rim: Polygon;
  readonly holes: readonly Polygon[];
}

/** Points along a segment whose chords stay within `KERF_CHORD`, without its start. */
export function chordPoints(s: Segment): Vec[] {
  if (s.kind === "line") return [s.end];
  // Sagitta r(1 - cos(a/2)), solved for the angle of one chord.
  const most =
    s.radius > KERF_CHORD ? 2 * Math.acos(1 - KERF_CHORD / s.radius) : Math.PI;
  const n = Math.max(1, Math.ceil(Math.abs(s.sweep) / most));
  return Array.from({ length: n }, (_, k) =>
    k === n - 1 ? s.end : { x: xAt(s, (k + 1) / n), y: yAt(s, (k + 1) / n) },
  );
}

interface Grid {
  readonly origin: Vec;
}

const toGrid = (g: Grid, p: Vec): ClipperLib.IntPoint => ({
  X: Math.round((p.x - g.origin.x) / KERF_GRID),
  Y: Math.round((p.y - g.origin.y) / KERF_GRID),
});

const fromGrid = (g: Grid, path: ClipperLib.Path): Polygon =>
  path.map((p) => ({
    x: p.X * KERF_GRID + g.origin.x,
    y: p.Y * KERF_GRID + g.origin.y,
  }));

/** All that the bands sweep, as areas with holes. */
export function sweptAreas(bands: readonly Band[], origin: Vec): Area[] {
  const g = { origin };
  return areasOf(unionOf(sweep(bands, g)), g);
}

/** What is left of a block when the bands are swept out of it. */
export function remainingAreas(
  block: Polygon,
  bands: readonly Band[],
  origin: Vec,
): Area[] {
  const g = { origin };
  const clipper = new ClipperLib.Clipper();
  clipper.AddPath(
    block.map((p) => toGrid(g, p)),
    ClipperLib.PolyType.ptSubject,
    true,
  );
  clipper.AddPaths(sweep(bands, g), ClipperLib.PolyType.ptClip, true);
  const tree = new ClipperLib.PolyTree();
  clipper.Execute(
    ClipperLib.ClipType.ctDifference,
    tree,
    ClipperLib.PolyFillType.pftNonZero,
    ClipperLib.PolyFillType.pftNonZero,
  );
  return areasOf(tree, g);
}

function sweep(bands: readonly Band[], g: Grid): ClipperLib.Paths {
  const byRadius = new Map<number, ClipperLib.Paths>();
  for (const b of bands) {
    const paths = byRadius.get(b.radius) ?? [];
    paths.push(b.points.map((p) => toGrid(g, p)));
    byRadius.set(b.radius, paths);
  }
  return [...byRadius].flatMap(([radius, paths]) => {
    const offset = new ClipperLib.ClipperOffset(2, KERF_CHORD / KERF_GRID);
    offset.AddPaths(
      paths,
      ClipperLib.JoinType.jtRound,
      ClipperLib.EndType.etOpenRound,
    );
    const swept: ClipperLib.Paths = [];
    offset.Execute(swept, radius / KERF_GRID);
    return swept;
  });
}

function unionOf(paths: ClipperLib.Paths): ClipperLib.PolyTree {
  const clipper = new ClipperLib.Clipper();
  clipper.AddPaths(paths, ClipperLib.PolyType.ptSubject, true);
  const tree = new ClipperLib.PolyTree();
  clipper.Execute(
    ClipperLib.ClipType.ctUnion,
    tree,
    ClipperLib.PolyFillType.pftNonZero,
    ClipperLib.PolyFillType.pftNonZero,
  );
  return tree;
}

function areasOf(tree: ClipperLib.PolyTree, g: Grid): Area[] {
  const areas: Area[] = [];
  const visit = (node: ClipperLib.PolyNode): void => {
    for (const rim of node.Childs()) {
      const holes = rim.Childs();
      areas.push({
        rim: fromGrid(g, rim.Contour()),
        holes: holes.map((h) => fromGrid(g, h.Contour())),
      });
      for (const h of holes) visit(h);
    }
  };
  visit(tree);
  return areas;
}

/** mm², whichever way round. */
export function polygonArea(p: Polygon): number {
  const first = p[0];
  if (!first) return 0;
  let twice = 0;
  for (let k = 1; k + 1 < p.length; k++) {
    const a = p[k] as Vec;
    const b = p[k + 1] as Vec;
    twice +=
      (a.x - first.x) * (b.y - first.y) - (a.y - first.y) * (b.x - first.x);
  }
  return Math.abs(twice) / 2;
}

export function polygonLength(p: Polygon): number {
  let sum = 0;
  p.forEach((a, k) => {
    const b = p[(k + 1) % p.length] as Vec;
    sum += Math.sqrt((a.x - b.x) ** 2 + (a.y - b.y) ** 2);
  });
  return sum;
}

/** Even-odd rule. */
export function inPolygon(polygon: Polygon, p: Vec): boolean {
  let inside = false;
  polygon.forEach((a, k) => {
    const b = polygon[(k + 1) % polygon.length] as Vec;
    if (
      a.y > p.y !== b.y > p.y &&
      p.x < a.x + ((p.y - a.y) / (b.y - a.y)) * (b.x - a.x)
    )
      inside = !inside;
  });
  return inside;
}

/** A point well inside: the middle of the widest stretch on a few level lines, clear of the holes. */
export function insidePoint(area: Area): Vec {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const p of area.rim) {
    low = Math.min(low, p.y);
    high = Math.max(high, p.y);
  }
  let best: { at: Vec; width: number } | null = null;
  for (const share of [0.5, 0.31, 0.69, 0.13, 0.87]) {
    const y = low + share * (high - low);
    const xs: number[] = [];
    for (const polygon of [area.rim, ...area.holes])
      polygon.forEach((a, k) => {
        const b = polygon[(k + 1) % polygon.length] as Vec;
        if (a.y > y !== b.y > y)
          xs.push(a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x));
      });
    xs.sort((p, q) => p - q);
    for (let k = 0; k + 1 < xs.length; k += 2) {
      const width = (xs[k + 1] as number) - (xs[k] as number);
      if (!best || width > best.width)
        best = {
          at: { x: ((xs[k] as number) + (xs[k + 1] as number)) / 2, y },
          width,
        };
    }
  }
  return best?.at ?? (area.rim[0] as Vec);
}
