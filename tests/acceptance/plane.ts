/**
 * The outside judge's own plane geometry: straight pieces and circular pieces, exact distances in closed form,
 * and a grid to find what lies near. Lengths in mm, angles in radians, counter-clockwise positive. Nothing here
 * comes from the product: agreement between the two is what the acceptance tests are worth.
 */

export interface Pt {
  readonly x: number;
  readonly y: number;
}

export interface Straight {
  readonly t: "straight";
  readonly a: Pt;
  readonly b: Pt;
}

/** From `a` to `b` about `c`; `turn` is the signed angle swept, |turn| up to a whole turn. */
export interface Round {
  readonly t: "round";
  readonly a: Pt;
  readonly b: Pt;
  readonly c: Pt;
  readonly r: number;
  readonly turn: number;
}

export type Piece = Straight | Round;

export interface Near {
  readonly d: number;
  readonly at: Pt;
}

export interface Bounds {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

const TAU = 2 * Math.PI;

export const pt = (x: number, y: number): Pt => ({ x, y });
export const gap = (p: Pt, q: Pt): number => Math.hypot(p.x - q.x, p.y - q.y);
export const straight = (a: Pt, b: Pt): Straight => ({ t: "straight", a, b });
export const polar = (c: Pt, r: number, angle: number): Pt =>
  pt(c.x + r * Math.cos(angle), c.y + r * Math.sin(angle));

/** Arc about `c` from angle `from` through `turn`. */
export function round(c: Pt, r: number, from: number, turn: number): Round {
  return {
    t: "round",
    a: polar(c, r, from),
    b: polar(c, r, from + turn),
    c,
    r,
    turn,
  };
}

/** Signed angle from `a` to `b` about `c`, the given way round; never 0: coincident ends are a whole turn. */
export function sweptAngle(c: Pt, a: Pt, b: Pt, ccw: boolean): number {
  let s = Math.atan2(b.y - c.y, b.x - c.x) - Math.atan2(a.y - c.y, a.x - c.x);
  if (ccw) while (s <= 1e-12) s += TAU;
  else while (s >= -1e-12) s -= TAU;
  return s;
}

/** From `a` to `b` with a bulge: the tangent of a quarter of the angle swept. */
export function bulged(a: Pt, b: Pt, bulge: number): Piece {
  if (bulge === 0) return straight(a, b);
  const turn = 4 * Math.atan(bulge);
  const chord = gap(a, b);
  const r = chord / (2 * Math.sin(Math.abs(turn) / 2));
  // Signed height of the centre over the chord, left of it for a small left turn.
  const h = (Math.cos(turn / 2) * r * Math.sign(turn)) / chord;
  const c = pt(
    (a.x + b.x) / 2 - h * (b.y - a.y),
    (a.y + b.y) / 2 + h * (b.x - a.x),
  );
  return { t: "round", a, b, c, r, turn };
}

export const bulgeOf = (s: Piece): number =>
  s.t === "round" ? Math.tan(s.turn / 4) : 0;

export function lengthOf(s: Piece): number {
  return s.t === "straight" ? gap(s.a, s.b) : s.r * Math.abs(s.turn);
}

export function pointOn(s: Piece, f: number): Pt {
  if (s.t === "straight")
    return pt(s.a.x + f * (s.b.x - s.a.x), s.a.y + f * (s.b.y - s.a.y));
  const from = Math.atan2(s.a.y - s.c.y, s.a.x - s.c.x);
  return polar(s.c, s.r, from + f * s.turn);
}

/** Length along the piece from its start to `p`, a point of it. */
export function lengthTo(s: Piece, p: Pt): number {
  if (s.t === "straight") return gap(s.a, p);
  const from = Math.atan2(s.a.y - s.c.y, s.a.x - s.c.x);
  const to = Math.atan2(p.y - s.c.y, p.x - s.c.x);
  const d = (to - from) * Math.sign(s.turn);
  const turn = d - TAU * Math.floor(d / TAU + 1e-12);
  return s.r * Math.min(Math.abs(s.turn), Math.max(0, turn));
}

/** Angle of travel at fraction `f`. */
export function heading(s: Piece, f: number): number {
  if (s.t === "straight") return Math.atan2(s.b.y - s.a.y, s.b.x - s.a.x);
  const from = Math.atan2(s.a.y - s.c.y, s.a.x - s.c.x);
  return from + f * s.turn + (Math.sign(s.turn) * Math.PI) / 2;
}

/** `angle` brought into (-π, π]. */
export function folded(angle: number): number {
  const a = angle - TAU * Math.floor((angle + Math.PI) / TAU);
  return a <= -Math.PI ? a + TAU : a;
}

export function backwards(s: Piece): Piece {
  return s.t === "straight"
    ? straight(s.b, s.a)
    : { ...s, a: s.b, b: s.a, turn: -s.turn };
}

/** Does the ray from the centre through `p` meet the arc? Wide by a hair, so that an end counts. */
export function spans(s: Round, p: Pt): boolean {
  const from = Math.atan2(s.a.y - s.c.y, s.a.x - s.c.x);
  const to = Math.atan2(p.y - s.c.y, p.x - s.c.x);
  let d = (to - from) * Math.sign(s.turn);
  d -= TAU * Math.floor(d / TAU);
  return d <= Math.abs(s.turn) + 1e-12 || d >= TAU - 1e-12;
}

export function nearestOn(s: Piece, p: Pt): Near {
  if (s.t === "straight") {
    const dx = s.b.x - s.a.x;
    const dy = s.b.y - s.a.y;
    const l2 = dx * dx + dy * dy;
    const f =
      l2 === 0
        ? 0
        : Math.min(
            1,
            Math.max(0, ((p.x - s.a.x) * dx + (p.y - s.a.y) * dy) / l2),
          );
    const at = pt(s.a.x + f * dx, s.a.y + f * dy);
    return { d: gap(p, at), at };
  }
  const l = gap(p, s.c);
  if (l > 1e-12 && spans(s, p)) {
    const at = pt(
      s.c.x + ((p.x - s.c.x) * s.r) / l,
      s.c.y + ((p.y - s.c.y) * s.r) / l,
    );
    return { d: Math.abs(l - s.r), at };
  }
  const da = gap(p, s.a);
  const db = gap(p, s.b);
  return da <= db ? { d: da, at: s.a } : { d: db, at: s.b };
}

const onPiece = (s: Piece, p: Pt): boolean =>
  s.t === "straight" ? nearestOn(s, p).d < 1e-9 : spans(s, p);

/** Points common to the carriers (whole line, whole circle) of both. */
export function carrierMeetings(s: Piece, u: Piece): Pt[] {
  if (s.t === "straight" && u.t === "straight") {
    const ax = s.b.x - s.a.x;
    const ay = s.b.y - s.a.y;
    const bx = u.b.x - u.a.x;
    const by = u.b.y - u.a.y;
    const det = ax * by - ay * bx;
    if (Math.abs(det) < 1e-12 * Math.hypot(ax, ay) * Math.hypot(bx, by))
      return [];
    const f = ((u.a.x - s.a.x) * by - (u.a.y - s.a.y) * bx) / det;
    return [pt(s.a.x + f * ax, s.a.y + f * ay)];
  }
  if (s.t === "straight") return lineCircle(s, u as Round);
  if (u.t === "straight") return lineCircle(u, s);
  const d = gap(s.c, u.c);
  if (d < 1e-12 || d > s.r + u.r || d < Math.abs(s.r - u.r)) return [];
  const x = (d * d + s.r * s.r - u.r * u.r) / (2 * d);
  const h = Math.sqrt(Math.max(0, s.r * s.r - x * x));
  const ex = (u.c.x - s.c.x) / d;
  const ey = (u.c.y - s.c.y) / d;
  return [h, -h].map((k) =>
    pt(s.c.x + x * ex - k * ey, s.c.y + x * ey + k * ex),
  );
}

function lineCircle(s: Straight, u: Round): Pt[] {
  const l = gap(s.a, s.b);
  if (l < 1e-12) return [];
  const ex = (s.b.x - s.a.x) / l;
  const ey = (s.b.y - s.a.y) / l;
  const f = (u.c.x - s.a.x) * ex + (u.c.y - s.a.y) * ey;
  const foot = pt(s.a.x + f * ex, s.a.y + f * ey);
  const h2 = u.r * u.r - gap(foot, u.c) ** 2;
  if (h2 < 0) return [];
  const h = Math.sqrt(h2);
  return [
    pt(foot.x + h * ex, foot.y + h * ey),
    pt(foot.x - h * ex, foot.y - h * ey),
  ];
}

/**
 * Least distance between two pieces, `at` a point of `s` where it is had. A least distance is had at an end of
 * either, or where the pieces cross, or where one straight line is square to both: those are all tried.
 */
export function between(s: Piece, u: Piece): Near {
  for (const p of carrierMeetings(s, u))
    if (onPiece(s, p) && onPiece(u, p)) return { d: 0, at: p };
  let best: Near = { d: Number.POSITIVE_INFINITY, at: s.a };
  const offer = (d: number, at: Pt): void => {
    if (d < best.d) best = { d, at };
  };
  for (const p of [s.a, s.b]) offer(nearestOn(u, p).d, p);
  for (const p of [u.a, u.b]) {
    const n = nearestOn(s, p);
    offer(n.d, n.at);
  }
  for (const p of squareTo(s, u)) offer(nearestOn(u, p).d, p);
  return best;
}

/** Points of `s` from which a line square to `s` runs through the centre of `u`. */
function squareTo(s: Piece, u: Piece): Pt[] {
  const center = u.t === "round" ? u.c : null;
  if (s.t === "straight") return center ? [nearestOn(s, center).at] : [];
  // From an arc: towards and away from the other centre, or square to the other line.
  let ex: number;
  let ey: number;
  if (center) {
    ex = center.x - s.c.x;
    ey = center.y - s.c.y;
  } else {
    ex = -(u.b.y - u.a.y);
    ey = u.b.x - u.a.x;
  }
  const l = Math.hypot(ex, ey);
  if (l < 1e-12) return [];
  return [1, -1]
    .map((k) => pt(s.c.x + (k * s.r * ex) / l, s.c.y + (k * s.r * ey) / l))
    .filter((p) => spans(s, p));
}

export function boundsOf(s: Piece): Bounds {
  const xs = [s.a.x, s.b.x];
  const ys = [s.a.y, s.b.y];
  if (s.t === "round")
    for (let q = 0; q < 4; q++) {
      const p = polar(s.c, s.r, (q * Math.PI) / 2);
      if (spans(s, p)) {
        xs.push(p.x);
        ys.push(p.y);
      }
    }
  return {
    x0: Math.min(...xs),
    y0: Math.min(...ys),
    x1: Math.max(...xs),
    y1: Math.max(...ys),
  };
}

export function boundsOfAll(all: readonly Bounds[]): Bounds {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const b of all) {
    x0 = Math.min(x0, b.x0);
    y0 = Math.min(y0, b.y0);
    x1 = Math.max(x1, b.x1);
    y1 = Math.max(y1, b.y1);
  }
  return { x0, y0, x1, y1 };
}

export const grown = (b: Bounds, m: number): Bounds => ({
  x0: b.x0 - m,
  y0: b.y0 - m,
  x1: b.x1 + m,
  y1: b.y1 + m,
});

export const meets = (a: Bounds, b: Bounds): boolean =>
  a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1;

export interface Field {
  /** Indices of the pieces whose box comes into this box, each once. */
  readonly within: (b: Bounds) => readonly number[];
  /** Nearest piece to `p`, looked for no further than `reach`; distance is infinite when there is none. */
  readonly nearest: (p: Pt, reach: number) => Near & { readonly index: number };
  readonly pieces: readonly Piece[];
}

/** Pieces sorted into square cells, to be found by place. */
export function fieldOf(pieces: readonly Piece[], size: number): Field {
  const boxes = pieces.map(boundsOf);
  const all = boundsOfAll(boxes);
  const wide = Math.max(all.x1 - all.x0, all.y1 - all.y0, size);
  // No more than a thousand cells a side, however far the pieces are spread.
  const cell = Math.max(size, wide / 1000);
  const column = (x: number): number => Math.floor((x - all.x0) / cell);
  const row = (y: number): number => Math.floor((y - all.y0) / cell);
  const nx = pieces.length > 0 ? column(all.x1) + 1 : 0;
  const ny = pieces.length > 0 ? row(all.y1) + 1 : 0;
  const cells: (number[] | undefined)[] = new Array(nx * ny);
  const over = (b: Bounds, visit: (k: number) => void): void => {
    const i1 = Math.min(nx - 1, column(b.x1));
    const j1 = Math.min(ny - 1, row(b.y1));
    for (let j = Math.max(0, row(b.y0)); j <= j1; j++)
      for (let i = Math.max(0, column(b.x0)); i <= i1; i++) visit(j * nx + i);
  };
  boxes.forEach((b, n) => {
    over(b, (k) => {
      const list = cells[k];
      if (list) list.push(n);
      else cells[k] = [n];
    });
  });
  const seen = new Uint32Array(pieces.length);
  let asked = 0;
  const within = (b: Bounds): number[] => {
    asked++;
    const found: number[] = [];
    over(b, (k) => {
      const list = cells[k];
      if (!list) return;
      for (const n of list)
        if (seen[n] !== asked) {
          seen[n] = asked;
          if (meets(boxes[n] as Bounds, b)) found.push(n);
        }
    });
    return found;
  };
  const nearest = (p: Pt, reach: number): Near & { index: number } => {
    let best = { d: Infinity, at: p, index: -1 };
    const box = grown({ x0: p.x, y0: p.y, x1: p.x, y1: p.y }, reach);
    for (const n of within(box)) {
      const near = nearestOn(pieces[n] as Piece, p);
      if (near.d < best.d) best = { ...near, index: n };
    }
    return best;
  };
  return { within, nearest, pieces };
}

/** Points along the pieces, no further off the true line than `sag`. */
export function flattened(pieces: readonly Piece[], sag: number): Pt[] {
  const out: Pt[] = [];
  for (const s of pieces) {
    const n =
      s.t === "straight"
        ? 1
        : Math.max(
            1,
            Math.ceil(
              Math.abs(s.turn) / (2 * Math.acos(Math.max(0, 1 - sag / s.r))),
            ),
          );
    for (let i = 0; i < n; i++) out.push(pointOn(s, i / n));
  }
  return out;
}

/** Even–odd rule. */
export function insideRing(ring: readonly Pt[], p: Pt): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const a = ring[i] as Pt;
    const b = ring[j] as Pt;
    if (
      a.y > p.y !== b.y > p.y &&
      p.x < a.x + ((p.y - a.y) / (b.y - a.y)) * (b.x - a.x)
    )
      inside = !inside;
  }
  return inside;
}

/** Signed area within a closed run of pieces, by Green's theorem; counter-clockwise positive. */
export function areaOf(pieces: readonly Piece[]): number {
  let twice = 0;
  const o = pieces[0]?.a ?? pt(0, 0);
  for (const s of pieces) {
    twice += (s.a.x - o.x) * (s.b.y - o.y) - (s.a.y - o.y) * (s.b.x - o.x);
    if (s.t === "round") twice += s.r * s.r * (s.turn - Math.sin(s.turn));
  }
  return twice / 2;
}
