/**
 * What metal hangs together once the kerf is swept out of it: the only place that uses clipper-lib. The plane about a
 * cluster of kerf is cut into tiles with few bands each, since polygon clipping slows down with the square of its
 * corners; tiles are clipped one by one, and what touches across their borders is one area.
 */
import ClipperLib from "clipper-lib";
import { KERF_GRID } from "../base/tolerance.js";
import type { Box } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import { type Band, bandsOf, type Swath, toGrid } from "./bands.js";
import {
  type BorderEdge,
  borderEdges,
  borderLine,
  joinParts,
} from "./borders.js";
import { frameOf, type Tile, tilesOf } from "./tiles.js";
import { trimmedTo } from "./trimmed.js";

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

interface Part {
  readonly rim: ClipperLib.Path;
  readonly holes: readonly ClipperLib.Path[];
}

export interface Metal {
  /** What hangs together. */
  readonly areas: readonly Area[];
  /** mm² that the kerf has turned to dust, however often it went over it. */
  readonly swept: number;
}

/** Metal around a kerf; `block` (null: metal without end) is what there was before. */
export function metalAround(
  kerf: readonly Swath[],
  block: Polygon | null,
): Metal {
  const first = kerf[0];
  if (!first) return { areas: [], swept: 0 };
  const origin = first.segment.start;
  const bands = bandsOf(kerf, origin);
  const blockPath = block?.map((p) => toGrid(p, origin)) ?? null;
  const frame = frameOf(bands, blockPath);
  const parts: TilePart[] = [];
  const edges: BorderEdge[] = [];
  for (const tile of tilesOf(frame, bands, origin))
    for (const part of clipTile(tile, bands, blockPath)) {
      for (const path of [part.rim, ...part.holes])
        edges.push(...borderEdges(path, tile, parts.length));
      parts.push({ ...part, tile });
    }
  const areas = joinParts(parts.length, edges).map((members) =>
    areaOf(
      members.map((k) => parts[k] as TilePart),
      frame,
      origin,
    ),
  );
  const before = blockPath
    ? gridArea(blockPath)
    : (frame.maxX - frame.minX) * (frame.maxY - frame.minY);
  const left = areas.reduce((sum, a) => sum + a.size, 0);
  return { areas, swept: before * KERF_GRID * KERF_GRID - left };
}

/** A tile's metal: its square, within the block, less the kerf. */
function clipTile(
  tile: Tile,
  bands: readonly Band[],
  block: ClipperLib.Path | null,
): Part[] {
  const square = [
    { X: tile.minX, Y: tile.minY },
    { X: tile.maxX, Y: tile.minY },
    { X: tile.maxX, Y: tile.maxY },
    { X: tile.minX, Y: tile.maxY },
  ];
  if (!block && tile.bands.length === 0) return [{ rim: square, holes: [] }];
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
  for (const k of tile.bands)
    for (const path of (bands[k] as Band).paths)
      clipper.AddPath(trimmedTo(tile, path), ClipperLib.PolyType.ptClip, true);
  const tree = new ClipperLib.PolyTree();
  clipper.Execute(
    ClipperLib.ClipType.ctDifference,
    tree,
    ClipperLib.PolyFillType.pftNonZero,
    ClipperLib.PolyFillType.pftNonZero,
  );
  return partsOf(tree);
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
