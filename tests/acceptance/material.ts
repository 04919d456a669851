/**
 * What hangs on to what: the block as a raster in a window round a feature, the kerf painted into it cut by cut,
 * and after each cut a flood from the window's edge. Metal the flood does not reach has come loose.
 */
import {
  type Bounds,
  boundsOf,
  grown,
  lengthOf,
  meets,
  nearestOn,
  type Piece,
  type Pt,
  pointOn,
  pt,
  straight,
} from "./plane.js";

export interface Loosened {
  /** Which of the given cuts freed it. */
  readonly cut: number;
  readonly at: Pt;
  readonly area: number;
  readonly box: Bounds;
}

interface Raster {
  readonly x0: number;
  readonly y0: number;
  readonly h: number;
  readonly w: number;
  readonly n: number;
  readonly metal: Uint8Array;
}

const MOST_CELLS = 2e7;

/** Cell size that keeps the window within `MOST_CELLS`, no finer than `finest`. */
export function cellFor(window: Bounds, finest: number): number {
  const area = (window.x1 - window.x0) * (window.y1 - window.y0);
  return Math.max(finest, Math.sqrt(area / MOST_CELLS));
}

/**
 * Pieces that come loose, in order. `surely`: the kerf is painted thinner by a cell and metal hangs together over
 * corners too, so that what is reported has come loose beyond doubt. Otherwise the kerf is painted thicker and metal
 * touching only at corners is apart, so that what is not reported is still held.
 */
export function loosened(
  window: Bounds,
  cuts: readonly (readonly Piece[])[],
  kerfRadius: number,
  holes: readonly { readonly at: Pt; readonly r: number }[],
  surely: boolean,
): Loosened[] {
  const h = cellFor(window, kerfRadius / 6);
  const w = Math.ceil((window.x1 - window.x0) / h) + 1;
  const rows = Math.ceil((window.y1 - window.y0) / h) + 1;
  const g: Raster = {
    x0: window.x0,
    y0: window.y0,
    h,
    w,
    n: rows,
    metal: new Uint8Array(w * rows).fill(1),
  };
  const margin = surely ? -0.71 * h : 0.71 * h;
  for (const hole of holes)
    paint(g, straight(hole.at, hole.at), Math.max(0, hole.r + margin));
  const out: Loosened[] = [];
  cuts.forEach((moves, cut) => {
    let touched = false;
    for (const m of moves)
      for (const chunk of chunks(m, 0.4)) {
        if (!meets(grown(boundsOf(chunk), kerfRadius), window)) continue;
        touched = true;
        paint(g, chunk, kerfRadius + margin);
      }
    if (touched) out.push(...takeLoose(g, cut, surely));
  });
  return out;
}

function chunks(s: Piece, most: number): Piece[] {
  const n = Math.ceil(lengthOf(s) / most);
  if (n <= 1) return [s];
  const out: Piece[] = [];
  for (let i = 0; i < n; i++) {
    const a = pointOn(s, i / n);
    const b = pointOn(s, (i + 1) / n);
    out.push(
      s.t === "straight" ? straight(a, b) : { ...s, a, b, turn: s.turn / n },
    );
  }
  return out;
}

function paint(g: Raster, s: Piece, r: number): void {
  const b = grown(boundsOf(s), r);
  const i0 = Math.max(0, Math.ceil((b.x0 - g.x0) / g.h));
  const i1 = Math.min(g.w - 1, Math.floor((b.x1 - g.x0) / g.h));
  const j0 = Math.max(0, Math.ceil((b.y0 - g.y0) / g.h));
  const j1 = Math.min(g.n - 1, Math.floor((b.y1 - g.y0) / g.h));
  for (let j = j0; j <= j1; j++)
    for (let i = i0; i <= i1; i++) {
      const k = j * g.w + i;
      if (!g.metal[k]) continue;
      const p = pt(g.x0 + i * g.h, g.y0 + j * g.h);
      if (nearestOn(s, p).d <= r) g.metal[k] = 0;
    }
}

/** Marks all metal that hangs together with the first `size` cells of the stack; returns how many there are. */
function flood(
  g: Raster,
  held: Uint8Array,
  stack: Int32Array,
  size: number,
  corners: boolean,
): number {
  const { w, n, metal } = g;
  // The stack doubles as the list of members: cells before `next` have been looked at.
  let top = size;
  for (let next = 0; next < top; next++) {
    const k = stack[next] as number;
    const i = k % w;
    const j = (k - i) / w;
    for (let b = j > 0 ? -1 : 0; b <= (j < n - 1 ? 1 : 0); b++)
      for (let a = i > 0 ? -1 : 0; a <= (i < w - 1 ? 1 : 0); a++) {
        if (a !== 0 && b !== 0 && !corners) continue;
        const m = k + b * w + a;
        if (metal[m] === 1 && held[m] === 0) {
          held[m] = 1;
          stack[top++] = m;
        }
      }
  }
  return top;
}

/** Floods from the window's edge; what is left is loose: reported, and taken out of the raster. */
function takeLoose(g: Raster, cut: number, corners: boolean): Loosened[] {
  const { w, n, metal } = g;
  const held = new Uint8Array(w * n);
  const stack = new Int32Array(w * n);
  let size = 0;
  const begin = (k: number): void => {
    if (metal[k] === 1 && held[k] === 0) {
      held[k] = 1;
      stack[size++] = k;
    }
  };
  for (let i = 0; i < w; i++) {
    begin(i);
    begin(w * (n - 1) + i);
  }
  for (let j = 0; j < n; j++) {
    begin(j * w);
    begin(j * w + w - 1);
  }
  flood(g, held, stack, size, corners);
  const out: Loosened[] = [];
  for (let k = 0; k < w * n; k++) {
    if (metal[k] === 0 || held[k] === 1) continue;
    size = 0;
    begin(k);
    const members = stack.slice(0, flood(g, held, stack, size, corners));
    const piece = measured(g, cut, members);
    if (piece) out.push(piece);
    for (const m of members) metal[m] = 0;
  }
  return out;
}

/** A loose piece from its cells; null for crumbs of the raster, too thin to hold a block of nine cells. */
function measured(
  g: Raster,
  cut: number,
  members: Int32Array,
): Loosened | null {
  const { w, n, metal, h } = g;
  let core = false;
  let [x0, y0, x1, y1] = [w, n, 0, 0];
  for (const m of members) {
    const i = m % w;
    const j = (m - i) / w;
    x0 = Math.min(x0, i);
    x1 = Math.max(x1, i);
    y0 = Math.min(y0, j);
    y1 = Math.max(y1, j);
    if (core || i < 1 || j < 1 || i >= w - 1 || j >= n - 1) continue;
    core = [-w - 1, -w, -w + 1, -1, 1, w - 1, w, w + 1].every(
      (d) => metal[m + d],
    );
  }
  const area = members.length * h * h;
  if (!core || area <= 0.01) return null;
  const mid = members[members.length >> 1] as number;
  return {
    cut,
    at: pt(g.x0 + (mid % w) * h, g.y0 + Math.floor(mid / w) * h),
    area,
    box: {
      x0: g.x0 + x0 * h,
      y0: g.y0 + y0 * h,
      x1: g.x0 + x1 * h,
      y1: g.y0 + y1 * h,
    },
  };
}

/** Can the wire's centre get from `from` to within a cell of `to`, keeping `d` from every edge? */
export function reachable(
  window: Bounds,
  clear: (p: Pt) => boolean,
  from: Pt,
  targets: readonly Pt[],
): boolean[] {
  const h = cellFor(window, 0.02) * 1.5;
  const w = Math.ceil((window.x1 - window.x0) / h) + 1;
  const n = Math.ceil((window.y1 - window.y0) / h) + 1;
  const state = new Int8Array(w * n);
  const cellOf = (p: Pt): number => {
    const i = Math.round((p.x - window.x0) / h);
    const j = Math.round((p.y - window.y0) / h);
    return i < 0 || j < 0 || i >= w || j >= n ? -1 : j * w + i;
  };
  const start = cellOf(from);
  if (start < 0) return targets.map(() => true);
  const stack = [start];
  state[start] = 1;
  while (stack.length > 0) {
    const k = stack.pop() as number;
    const i = k % w;
    for (const [m, ok] of [
      [k - 1, i > 0],
      [k + 1, i < w - 1],
      [k - w, k >= w],
      [k + w, k < w * (n - 1)],
    ] as const) {
      if (!ok || state[m]) continue;
      const p = pt(window.x0 + (m % w) * h, window.y0 + Math.floor(m / w) * h);
      state[m] = clear(p) ? 1 : -1;
      if (state[m] === 1) stack.push(m);
    }
  }
  return targets.map((p) => {
    const i = Math.round((p.x - window.x0) / h);
    const j = Math.round((p.y - window.y0) / h);
    for (let a = -2; a <= 2; a++)
      for (let b = -2; b <= 2; b++) {
        const x = i + a;
        const y = j + b;
        if (x < 0 || y < 0 || x >= w || y >= n) continue;
        if (state[y * w + x] === 1) return true;
      }
    return false;
  });
}
