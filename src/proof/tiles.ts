/** The plane about a cluster of kerf cut into tiles on a whole-number grid, each with few chords. */
import { KERF_GRID } from "../base/tolerance.js";
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

/** A place on the grid, in steps from an origin. */
export interface GridPoint {
  X: number;
  Y: number;
}

/** Tiles with more chords than this are halved… */
const CHORDS_IN_A_TILE = 150;
/** …unless they are this small (grid steps): chords that lie so close cannot be parted by halving. */
const SMALLEST_TILE = 2000;

/** A whole number of grid steps on every side. */
export interface Tile extends Box {
  readonly chords: readonly number[];
}

export const toGrid = (p: Vec, origin: Vec): GridPoint => ({
  X: Math.round((p.x - origin.x) / KERF_GRID),
  Y: Math.round((p.y - origin.y) / KERF_GRID),
});

/** A box well around all kerf and all of the block, in grid steps. */
export function frameOf(
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

export function tilesOf(
  frame: Box,
  chords: readonly Chord[],
  origin: Vec,
): Tile[] {
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
