/** The edge of a random heap of grid cells: every width a multiple of the cell. */
import type { Corner } from "./offset-case.js";

/**
 * Cells are added beside cells, never so that two touch in a corner only or that a hole closes. `cut` ≠ 0 rounds every
 * corner off by a quarter of the cell with that bulge.
 */
export function polyomino(
  rnd: () => number,
  cells: number,
  size: number,
  cut: number,
): Corner[] {
  const filled = new Set(["0,0"]);
  const has = (x: number, y: number): boolean => filled.has(`${x},${y}`);
  for (let tries = 0; filled.size < cells && tries < 40 * cells; tries++) {
    const from = [...filled][Math.floor(rnd() * filled.size)] as string;
    const [fx, fy] = from.split(",").map(Number) as [number, number];
    const [dx, dy] = [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ][Math.floor(rnd() * 4)] as [number, number];
    if (!has(fx + dx, fy + dy) && staysSimple(has, fx + dx, fy + dy))
      filled.add(`${fx + dx},${fy + dy}`);
  }
  return edge(has, size, cut);
}

/** The eight cells around form one run: then adding the cell closes no hole and touches no corner. */
function staysSimple(
  has: (x: number, y: number) => boolean,
  x: number,
  y: number,
): boolean {
  const ring = [
    [1, 0],
    [1, 1],
    [0, 1],
    [-1, 1],
    [-1, 0],
    [-1, -1],
    [0, -1],
    [1, -1],
  ].map(([dx, dy]) => has(x + (dx as number), y + (dy as number)));
  const runs = ring.filter((r, i) => r && !ring.at(i - 1)).length;
  const corners = ring.every(
    (r, i) => !r || i % 2 === 0 || ring.at(i - 1) || ring[(i + 1) % 8],
  );
  return runs === 1 && corners;
}

/** Counter-clockwise round the cells, a corner wherever it turns. */
function edge(
  has: (x: number, y: number) => boolean,
  size: number,
  cut: number,
): Corner[] {
  let x = 0;
  while (has(x, 0)) x++;
  let [px, py, dx, dy] = [x, 0, 0, 1];
  const start = [px, py];
  const corners: Corner[] = [];
  const inFront = (side: number): boolean => {
    // Cell ahead of the corner (px, py), to the left (−1) or right (+1) of travel.
    const ax = dx === 0 ? (side * dy > 0 ? px : px - 1) : dx > 0 ? px : px - 1;
    const ay = dy === 0 ? (side * dx > 0 ? py - 1 : py) : dy > 0 ? py : py - 1;
    return has(ax, ay);
  };
  do {
    px += dx;
    py += dy;
    const [ox, oy] = [dx, dy];
    if (inFront(1)) [dx, dy] = [dy, -dx];
    else if (!inFront(-1)) [dx, dy] = [-dy, dx];
    if (ox === dx && oy === dy) continue;
    if (cut === 0) corners.push([px * size, py * size, 0]);
    else {
      const turn = Math.sign(ox * dy - oy * dx);
      corners.push(
        [(px - ox / 4) * size, (py - oy / 4) * size, turn * cut],
        [(px + dx / 4) * size, (py + dy / 4) * size, 0],
      );
    }
  } while (px !== start[0] || py !== start[1]);
  // The start lies on a straight stretch or is the last corner met.
  return corners;
}
