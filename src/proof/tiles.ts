/** The plane about a cluster of kerf cut into tiles on a whole-number grid, each with few bands of it. */
import { type Box, EMPTY_BOX } from "../geometry/segment.js";
import type { Band, GridPath } from "./bands.js";

/** Tiles with more bands than this are halved… */
const BANDS_IN_A_TILE = 50;
/** …unless they are this small (grid steps): bands that lie so close cannot be parted by halving. */
const SMALLEST_TILE = 2000;

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

export function tilesOf(frame: Box, bands: readonly Band[]): Tile[] {
  const tiles: Tile[] = [];
  const split = (box: Box, members: readonly number[]): void => {
    const wide = box.maxX - box.minX;
    const high = box.maxY - box.minY;
    if (
      members.length <= BANDS_IN_A_TILE ||
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
    for (const half of halves)
      split(
        half,
        members.filter((k) => {
          const b = (bands[k] as Band).box;
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
    bands.map((_, k) => k),
  );
  return tiles;
}
