/** The plane about a cluster of kerf cut into tiles on a whole-number grid, each with few bands of it. */
import { KERF_CHORD, KERF_GRID } from "../base/tolerance.js";
import { type Box, EMPTY_BOX, segmentLength } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import type { Band, GridPath } from "./bands.js";
import { pointTo } from "./measure.js";

/** Tiles with more bands than this are halved… */
const BANDS_IN_A_TILE = 50;
/** …and those swept so often over, since a smaller one is likely to be swept whole… */
const LAYERS_IN_A_TILE = 3;
/** …unless they are this small (grid steps): bands that lie so close cannot be parted by halving. */
const SMALLEST_TILE = 200;

/** Grid steps between all metal and kerf and the frame about them. */
const FRAME_MARGIN = 1000;

/** A whole number of grid steps on every side. */
export interface Tile extends Box {
  readonly bands: readonly number[];
}

/** A box well around all kerf and all of the block, in grid steps. */
export function frameOf(
  bands: readonly Band[],
  block: Readonly<GridPath> | null,
): Box {
  let { minX, minY, maxX, maxY } = EMPTY_BOX;
  for (const { box } of bands) {
    minX = Math.min(minX, box.minX);
    maxX = Math.max(maxX, box.maxX);
    minY = Math.min(minY, box.minY);
    maxY = Math.max(maxY, box.maxY);
  }
  for (const { X, Y } of block ?? []) {
    minX = Math.min(minX, X);
    maxX = Math.max(maxX, X);
    minY = Math.min(minY, Y);
    maxY = Math.max(maxY, Y);
  }
  return {
    minX: minX - FRAME_MARGIN,
    minY: minY - FRAME_MARGIN,
    maxX: maxX + FRAME_MARGIN,
    maxY: maxY + FRAME_MARGIN,
  };
}

/** Tiles in which metal may be left; one that the wire has swept whole is none. `origin`: the grid's, mm. */
export function tilesOf(
  frame: Box,
  bands: readonly Band[],
  origin: Vec,
): Tile[] {
  const tiles: Tile[] = [];
  const split = (box: Box, candidates: readonly number[]): void => {
    const members = membersOf(box, candidates, bands, origin);
    if (members === "swept") return;
    const wide = box.maxX - box.minX;
    const high = box.maxY - box.minY;
    if (
      (members.length <= BANDS_IN_A_TILE && !isThick(box, members, bands)) ||
      Math.max(wide, high) <= SMALLEST_TILE
    ) {
      tiles.push({ ...box, bands: members });
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
    for (const half of halves) split(half, members);
  };
  split(
    frame,
    bands.map((_, k) => k),
  );
  return tiles;
}

/** Is a box that one band could sweep whole, were it halved once more, swept over and over? */
function isThick(
  { minX, minY, maxX, maxY }: Box,
  members: readonly number[],
  bands: readonly Band[],
): boolean {
  const wide = (maxX - minX) * KERF_GRID;
  const high = (maxY - minY) * KERF_GRID;
  const across = Math.sqrt(wide * wide + high * high);
  let swept = 0;
  let widest = 0;
  for (const k of members) {
    const { segment, radius } = (bands[k] as Band).swath;
    swept += 2 * radius * Math.min(across, segmentLength(segment));
    widest = Math.max(widest, radius);
  }
  return across > widest && swept > LAYERS_IN_A_TILE * wide * high;
}

/** The bands that come into a box, or that the wire has swept all of it on its way along one of them. */
function membersOf(
  box: Box,
  candidates: readonly number[],
  bands: readonly Band[],
  origin: Vec,
): readonly number[] | "swept" {
  const x = origin.x + ((box.minX + box.maxX) / 2) * KERF_GRID;
  const y = origin.y + ((box.minY + box.maxY) / 2) * KERF_GRID;
  const wide = (box.maxX - box.minX) * KERF_GRID;
  const high = (box.maxY - box.minY) * KERF_GRID;
  const corner = Math.sqrt(wide * wide + high * high) / 2;
  const members: number[] = [];
  for (const k of candidates) {
    const { box: own, swath } = bands[k] as Band;
    if (
      own.minX > box.maxX ||
      own.maxX < box.minX ||
      own.minY > box.maxY ||
      own.maxY < box.minY
    )
      continue;
    const far = pointTo(swath.segment, x, y);
    // Chords put a band's rim this far off the wire's sweep at the most, rounding included.
    if (far - corner > swath.radius + 2 * KERF_CHORD) continue;
    if (far + corner < swath.radius - 2 * KERF_CHORD) return "swept";
    members.push(k);
  }
  return members;
}
