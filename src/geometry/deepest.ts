/**
 * The deepest place inside a closed contour: the centre of the largest circle that fits, by quartering boxes and
 * dropping those that cannot hold a deeper point (the method of Mapbox's polylabel, here with exact arcs).
 */
import { type Contour, contourBox } from "./contour.js";
import { signedDistance } from "./inside.js";
import type { Vec } from "./vec.js";

/** How near to the true depth the search goes, as a share of the contour's size; in slots its time goes with 1 / share. */
const PRECISION = 1e-4;

export interface Deepest {
  readonly at: Vec;
  /** mm to the contour from there. */
  readonly distance: number;
  /** mm by which any other place may be deeper at most. */
  readonly precision: number;
}

export function deepestPoint(c: Contour, share = PRECISION): Deepest {
  return search(c, share, Number.POSITIVE_INFINITY);
}

/** Is any place inside deeper than `depth`, to within 1e-4 of the contour's size? Much quicker than to find the deepest. */
export function isDeeperThan(c: Contour, depth: number): boolean {
  return search(c, PRECISION, depth).distance > depth;
}

/** Ends with the first place deeper than `enough`; places that are not are then of no interest. */
function search(c: Contour, share: number, enough: number): Deepest {
  const floor = Number.isFinite(enough) ? enough : Number.NEGATIVE_INFINITY;
  // Inside either way round.
  const depth = signedDistance([c]);
  const box = contourBox(c);
  const width = box.maxX - box.minX;
  const height = box.maxY - box.minY;
  let cells = [
    {
      x: box.minX + width / 2,
      y: box.minY + height / 2,
      half: Math.max(width, height) / 2,
    },
  ];
  const precision = share * Math.max(width, height);
  let best: Deepest = {
    at: { x: cells[0]?.x ?? 0, y: cells[0]?.y ?? 0 },
    distance: Number.NEGATIVE_INFINITY,
    precision,
  };
  while (cells.length > 0) {
    const open: typeof cells = [];
    for (const cell of cells) {
      const here = depth(cell);
      if (here > best.distance)
        best = { at: { x: cell.x, y: cell.y }, distance: here, precision };
      if (best.distance > enough) return best;
      const most = here + cell.half * Math.SQRT2;
      if (most <= Math.max(best.distance, floor) + precision) continue;
      const h = cell.half / 2;
      for (const [dx, dy] of [
        [-h, -h],
        [h, -h],
        [-h, h],
        [h, h],
      ] as const) {
        open.push({ x: cell.x + dx, y: cell.y + dy, half: h });
      }
    }
    cells = open;
  }
  return best;
}
