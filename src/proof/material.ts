/**
 * What metal hangs together once the kerf is swept out of it: the only place that uses clipper-lib. The plane about a
 * cluster of kerf is cut into tiles with few chords each, since polygon clipping slows down with the square of its
 * corners; tiles are clipped one by one, and what touches across their borders is one area.
 */
import ClipperLib from "clipper-lib";
import { KERF_CHORD, KERF_GRID } from "../base/tolerance.js";
import type { Box } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import {
  type BorderEdge,
  borderEdges,
  borderLine,
  joinParts,
} from "./borders.js";
import {
  type Chord,
  frameOf,
  type Polygon,
  type Tile,
  tilesOf,
  toGrid,
} from "./tiles.js";

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
