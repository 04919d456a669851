/** Which of many points are the same place: by a hash of the cell each lies in, since a drawing has most of its ends twice. */
import type { OnStep } from "../../base/pace.js";

/** A cell is this many times `reach` wide, so that few points lie near enough to its edge to ask the neighbours too. */
const CELL = 16;

/**
 * For each point the first one of its place: those within `reach` (mm) of each other, one to the next. Points that are
 * equal to the last bit cost no more than one, however many they are.
 */
export function samePlaces(
  xs: Float64Array,
  ys: Float64Array,
  reach: number,
  onStep: OnStep,
): Int32Array {
  const n = xs.length;
  const cell = CELL * reach;
  const bits = Math.ceil(Math.log2(2 * n + 2));
  const heads = new Int32Array(2 ** bits).fill(-1);
  const next = new Int32Array(n);
  const first = new Int32Array(n);
  const rootOf = (p: number): number => {
    let at = p;
    while (first[at] !== at) at = first[at] as number;
    return at;
  };
  const bucket = (cx: number, cy: number): number =>
    (Math.imul(cx, 73_856_093) ^ Math.imul(cy, 19_349_663)) >>> (32 - bits);

  let compared = 0;
  /** Joins `p` with what lies near it in a cell; says whether one of them is equal to it. */
  const joinIn = (p: number, at: number): boolean => {
    const x = xs[p] as number;
    const y = ys[p] as number;
    let equal = false;
    for (let q = heads[at] as number; q >= 0; q = next[q] as number) {
      compared++;
      const dx = (xs[q] as number) - x;
      const dy = (ys[q] as number) - y;
      if (dx * dx + dy * dy > reach * reach) continue;
      if (dx === 0 && dy === 0) equal = true;
      const a = rootOf(q);
      const b = rootOf(p);
      if (a < b) first[b] = a;
      else first[a] = b;
    }
    return equal;
  };

  for (let p = 0; p < n; p++) {
    first[p] = p;
    const x = xs[p] as number;
    const y = ys[p] as number;
    const cx = Math.floor(x / cell);
    const cy = Math.floor(y / cell);
    const inX = x - cx * cell;
    const inY = y - cy * cell;
    const sideX = inX <= reach ? -1 : inX >= cell - reach ? 1 : 0;
    const sideY = inY <= reach ? -1 : inY >= cell - reach ? 1 : 0;
    compared = 0;
    const own = bucket(cx, cy);
    const equal = joinIn(p, own);
    if (sideX !== 0) joinIn(p, bucket(cx + sideX, cy));
    if (sideY !== 0) joinIn(p, bucket(cx, cy + sideY));
    if (sideX !== 0 && sideY !== 0) joinIn(p, bucket(cx + sideX, cy + sideY));
    onStep(1 + compared / CHEAP);
    if (equal) continue;
    next[p] = heads[own] as number;
    heads[own] = p;
  }
  for (let p = 0; p < n; p++) first[p] = rootOf(p);
  return first;
}

/** So many comparisons of two points cost about as much as one piece of other work. */
const CHEAP = 16;
