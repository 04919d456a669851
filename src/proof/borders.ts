/** What hangs together across the borders between tiles. */
import { KERF_CHORD, KERF_GRID } from "../base/tolerance.js";
import type { Box } from "../geometry/segment.js";
import type { GridPoint } from "./bands.js";

/** An edge of a part that lies on the border of its tile, as a stretch of that line. */
export interface BorderEdge {
  readonly line: string;
  readonly from: number;
  readonly to: number;
  readonly part: number;
}

export function borderEdges(
  path: readonly GridPoint[],
  tile: Box,
  part: number,
): BorderEdge[] {
  const edges: BorderEdge[] = [];
  path.forEach((a, k) => {
    const b = path[(k + 1) % path.length] as GridPoint;
    const line = borderLine(a, b, tile);
    if (line === null) return;
    const [p, q] = a.X === b.X ? [a.Y, b.Y] : [a.X, b.X];
    edges.push({ line, from: Math.min(p, q), to: Math.max(p, q), part });
  });
  return edges;
}

/** Name of the tile's border that an edge lies on, or null. */
export function borderLine(
  a: GridPoint,
  b: GridPoint,
  tile: Box,
): string | null {
  if (a.X === b.X && (a.X === tile.minX || a.X === tile.maxX)) return `x${a.X}`;
  if (a.Y === b.Y && (a.Y === tile.minY || a.Y === tile.maxY)) return `y${a.Y}`;
  return null;
}

/** Groups of parts that meet across a border, over more than the rounding of their corners. */
export function joinParts(
  parts: number,
  edges: readonly BorderEdge[],
): number[][] {
  const parent = Array.from({ length: parts }, (_, k) => k);
  const root = (k: number): number => {
    let r = k;
    while (parent[r] !== r) r = parent[r] as number;
    parent[k] = r;
    return r;
  };
  const lines = new Map<string, BorderEdge[]>();
  for (const e of edges) {
    const list = lines.get(e.line);
    if (list) list.push(e);
    else lines.set(e.line, [e]);
  }
  for (const list of lines.values()) {
    list.sort((a, b) => a.from - b.from);
    let last: BorderEdge | null = null;
    for (const e of list) {
      if (last && Math.min(last.to, e.to) - e.from > KERF_CHORD / KERF_GRID)
        parent[root(e.part)] = root(last.part);
      if (!last || e.to > last.to) last = e;
    }
  }
  const groups = new Map<number, number[]>();
  for (let k = 0; k < parts; k++) {
    const r = root(k);
    const list = groups.get(r);
    if (list) list.push(k);
    else groups.set(r, [k]);
  }
  return [...groups.values()];
}
