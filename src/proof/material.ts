/**
 * What metal hangs together once the kerf is swept out of it: the only place that uses clipper-lib. The plane about a
 * cluster of kerf is cut into tiles with few chords each, since polygon clipping slows down with the square of its
 * corners; tiles are clipped one by one, and what touches across their borders is one area.
 */
import ClipperLib from "clipper-lib";
import { KERF_CHORD, KERF_GRID } from "../base/tolerance.js";
import { type Box, EMPTY_BOX } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";

/** A straight piece of kerf. */
export interface Chord {
  readonly start: Vec;
  readonly end: Vec;
  readonly radius: number;
}

/** A closed polygon, mm; without repeating its first point. */
export type Polygon = readonly Vec[];

/** Metal that hangs together. */
export interface Area {
  /** Its share of each tile: rim and holes. */
  readonly parts: readonly {
    readonly rim: Polygon;
    readonly holes: readonly Polygon[];
  }[];
  /** mm² */
  readonly size: number;
  /** mm of rim and holes, without the borders between tiles. */
  readonly rimLength: number;
  /** mm along the frame around all kerf (and all of the block): more than 0 where the metal goes on. */
  readonly onFrame: number;
}

/** Tiles with more chords than this are halved… */
const CHORDS_IN_A_TILE = 150;
/** …unless they are this small (grid steps): chords that lie so close cannot be parted by halving. */
const SMALLEST_TILE = 2000;

/** A whole number of grid steps on every side. */
interface Tile extends Box {
  readonly chords: readonly number[];
}

interface Part {
  readonly rim: ClipperLib.Path;
  readonly holes: readonly ClipperLib.Path[];
}

/** Metal around `chords` as connected areas; `block` (null: metal without end) is what there was before. */
export function metalAreas(
  chords: readonly Chord[],
  block: Polygon | null,
): Area[] {
  const first = chords[0];
  if (!first) return [];
  const origin = first.start;
  const frame = frameOf(chords, block, origin);
  const blockPath = block?.map((p) => toGrid(p, origin)) ?? null;
  const parts: TilePart[] = [];
  const edges: BorderEdge[] = [];
  for (const tile of tilesOf(frame, chords, origin))
    for (const part of clipTile(tile, chords, origin, blockPath)) {
      for (const path of [part.rim, ...part.holes])
        edges.push(...borderEdges(path, tile, parts.length));
      parts.push({ ...part, tile });
    }
  return joinParts(parts.length, edges).map((members) =>
    areaOf(
      members.map((k) => parts[k] as TilePart),
      frame,
      origin,
    ),
  );
}

const toGrid = (p: Vec, origin: Vec): ClipperLib.IntPoint => ({
  X: Math.round((p.x - origin.x) / KERF_GRID),
  Y: Math.round((p.y - origin.y) / KERF_GRID),
});

/** A box well around all kerf and all of the block, in grid steps. */
function frameOf(
  chords: readonly Chord[],
  block: Polygon | null,
  origin: Vec,
): Box {
  let { minX, minY, maxX, maxY } = EMPTY_BOX;
  let widest = 0;
  for (const { start, end, radius } of chords) {
    minX = Math.min(minX, start.x, end.x);
    maxX = Math.max(maxX, start.x, end.x);
    minY = Math.min(minY, start.y, end.y);
    maxY = Math.max(maxY, start.y, end.y);
    widest = Math.max(widest, radius);
  }
  for (const { x, y } of block ?? []) {
    minX = Math.min(minX, x);
    maxX = Math.max(maxX, x);
    minY = Math.min(minY, y);
    maxY = Math.max(maxY, y);
  }
  const margin = 2 * widest;
  return {
    minX: Math.floor((minX - margin - origin.x) / KERF_GRID),
    minY: Math.floor((minY - margin - origin.y) / KERF_GRID),
    maxX: Math.ceil((maxX + margin - origin.x) / KERF_GRID),
    maxY: Math.ceil((maxY + margin - origin.y) / KERF_GRID),
  };
}

function tilesOf(frame: Box, chords: readonly Chord[], origin: Vec): Tile[] {
  const boxes = chords.map(({ start, end, radius }) => ({
    minX: (Math.min(start.x, end.x) - radius - origin.x) / KERF_GRID - 1,
    maxX: (Math.max(start.x, end.x) + radius - origin.x) / KERF_GRID + 1,
    minY: (Math.min(start.y, end.y) - radius - origin.y) / KERF_GRID - 1,
    maxY: (Math.max(start.y, end.y) + radius - origin.y) / KERF_GRID + 1,
  }));
  const tiles: Tile[] = [];
  const split = (box: Box, members: readonly number[]): void => {
    const wide = box.maxX - box.minX;
    const high = box.maxY - box.minY;
    if (
      members.length <= CHORDS_IN_A_TILE ||
      Math.max(wide, high) <= SMALLEST_TILE
    ) {
      tiles.push({ ...box, chords: members });
      return;
    }
    const halves: Box[] =
      wide >= high
        ? [
            { ...box, maxX: Math.round((box.minX + box.maxX) / 2) },
            { ...box, minX: Math.round((box.minX + box.maxX) / 2) },
          ]
        : [
            { ...box, maxY: Math.round((box.minY + box.maxY) / 2) },
            { ...box, minY: Math.round((box.minY + box.maxY) / 2) },
          ];
    for (const half of halves)
      split(
        half,
        members.filter((k) => {
          const b = boxes[k] as Box;
          return (
            b.minX <= half.maxX &&
            b.maxX >= half.minX &&
            b.minY <= half.maxY &&
            b.maxY >= half.minY
          );
        }),
      );
  };
  split(
    frame,
    chords.map((_, k) => k),
  );
  return tiles;
}

/** A tile's metal: its square, within the block, less the kerf. */
function clipTile(
  tile: Tile,
  chords: readonly Chord[],
  origin: Vec,
  block: ClipperLib.Path | null,
): Part[] {
  const square = [
    { X: tile.minX, Y: tile.minY },
    { X: tile.maxX, Y: tile.minY },
    { X: tile.maxX, Y: tile.maxY },
    { X: tile.minX, Y: tile.maxY },
  ];
  if (!block && tile.chords.length === 0) return [{ rim: square, holes: [] }];
  let metal: ClipperLib.Paths = [square];
  if (block) {
    const clipper = new ClipperLib.Clipper();
    clipper.AddPath(block, ClipperLib.PolyType.ptSubject, true);
    clipper.AddPath(square, ClipperLib.PolyType.ptClip, true);
    metal = [];
    clipper.Execute(
      ClipperLib.ClipType.ctIntersection,
      metal,
      ClipperLib.PolyFillType.pftNonZero,
      ClipperLib.PolyFillType.pftNonZero,
    );
  }
  const clipper = new ClipperLib.Clipper();
  clipper.AddPaths(metal, ClipperLib.PolyType.ptSubject, true);
  clipper.AddPaths(
    sweep(
      tile.chords.map((k) => chords[k] as Chord),
      origin,
    ),
    ClipperLib.PolyType.ptClip,
    true,
  );
  const tree = new ClipperLib.PolyTree();
  clipper.Execute(
    ClipperLib.ClipType.ctDifference,
    tree,
    ClipperLib.PolyFillType.pftNonZero,
    ClipperLib.PolyFillType.pftNonZero,
  );
  return partsOf(tree);
}

/** The kerf of chords, as polygons: runs of one width are widened at once. */
function sweep(chords: readonly Chord[], origin: Vec): ClipperLib.Paths {
  const byRadius = new Map<number, ClipperLib.Paths>();
  let before: Chord | null = null;
  let path: ClipperLib.Path = [];
  for (const c of chords) {
    const goesOn =
      before !== null &&
      before.radius === c.radius &&
      before.end.x === c.start.x &&
      before.end.y === c.start.y;
    if (!goesOn) {
      path = [toGrid(c.start, origin)];
      const paths = byRadius.get(c.radius) ?? [];
      paths.push(path);
      byRadius.set(c.radius, paths);
    }
    path.push(toGrid(c.end, origin));
    before = c;
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

function partsOf(tree: ClipperLib.PolyTree): Part[] {
  const parts: Part[] = [];
  const visit = (node: ClipperLib.PolyNode): void => {
    for (const rim of node.Childs()) {
      const holes = rim.Childs();
      parts.push({
        rim: rim.Contour(),
        holes: holes.map((h) => h.Contour()),
      });
      for (const h of holes) visit(h);
    }
  };
  visit(tree);
  return parts;
}

/** An edge of a part that lies on the border of its tile, as a stretch of that line. */
interface BorderEdge {
  readonly line: string;
  readonly from: number;
  readonly to: number;
  readonly part: number;
}

function borderEdges(
  path: ClipperLib.Path,
  tile: Box,
  part: number,
): BorderEdge[] {
  const edges: BorderEdge[] = [];
  path.forEach((a, k) => {
    const b = path[(k + 1) % path.length] as ClipperLib.IntPoint;
    const line = borderLine(a, b, tile);
    if (line === null) return;
    const [p, q] = a.X === b.X ? [a.Y, b.Y] : [a.X, b.X];
    edges.push({ line, from: Math.min(p, q), to: Math.max(p, q), part });
  });
  return edges;
}

/** Name of the tile's border that an edge lies on, or null. */
function borderLine(
  a: ClipperLib.IntPoint,
  b: ClipperLib.IntPoint,
  tile: Box,
): string | null {
  if (a.X === b.X && (a.X === tile.minX || a.X === tile.maxX)) return `x${a.X}`;
  if (a.Y === b.Y && (a.Y === tile.minY || a.Y === tile.maxY)) return `y${a.Y}`;
  return null;
}

/** Groups of parts that meet across a border, over more than the rounding of their corners. */
function joinParts(parts: number, edges: readonly BorderEdge[]): number[][] {
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

interface TilePart extends Part {
  readonly tile: Box;
}

function areaOf(parts: readonly TilePart[], frame: Box, origin: Vec): Area {
  let size = 0;
  let rimLength = 0;
  let onFrame = 0;
  for (const { rim, holes, tile } of parts) {
    size += gridArea(rim) - holes.reduce((sum, h) => sum + gridArea(h), 0);
    for (const path of [rim, ...holes])
      path.forEach((a, k) => {
        const b = path[(k + 1) % path.length] as ClipperLib.IntPoint;
        const long = Math.sqrt((a.X - b.X) ** 2 + (a.Y - b.Y) ** 2);
        if (borderLine(a, b, frame) !== null) onFrame += long;
        else if (borderLine(a, b, tile) === null) rimLength += long;
      });
  }
  return {
    parts: parts.map(({ rim, holes }) => ({
      rim: fromGrid(rim, origin),
      holes: holes.map((h) => fromGrid(h, origin)),
    })),
    size: size * KERF_GRID * KERF_GRID,
    rimLength: rimLength * KERF_GRID,
    onFrame: onFrame * KERF_GRID,
  };
}

function fromGrid(path: ClipperLib.Path, origin: Vec): Polygon {
  return path.map((p) => ({
    x: p.X * KERF_GRID + origin.x,
    y: p.Y * KERF_GRID + origin.y,
  }));
}

/** Whichever way round; about the first corner, so that no digits are lost. */
function gridArea(path: ClipperLib.Path): number {
  const first = path[0] as ClipperLib.IntPoint;
  let twice = 0;
  for (let k = 1; k + 1 < path.length; k++) {
    const a = path[k] as ClipperLib.IntPoint;
    const b = path[k + 1] as ClipperLib.IntPoint;
    twice +=
      (a.X - first.X) * (b.Y - first.Y) - (a.Y - first.Y) * (b.X - first.X);
  }
  return Math.abs(twice) / 2;
}
