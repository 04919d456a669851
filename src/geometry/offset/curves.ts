/**
 * Lines and arcs as one thing: curves of constant bend k, given by their ends, the unit directions there and their
 * length, kept in plain number arrays. A line is the case k = 0 (k > 0 bends left, 1/k is the radius); nothing divides
 * by k, so that an arc of 25 km radius loses no digits. No curve turns by more than half a turn.
 */

export interface Curves {
  count: number;
  readonly x0: Float64Array;
  readonly y0: Float64Array;
  readonly x1: Float64Array;
  readonly y1: Float64Array;
  /** Unit direction of travel at the start and the end. */
  readonly tx0: Float64Array;
  readonly ty0: Float64Array;
  readonly tx1: Float64Array;
  readonly ty1: Float64Array;
  /** Bend, 1/mm, left positive. */
  readonly k: Float64Array;
  readonly length: Float64Array;
}

/** A point handed from one function to another without making an object. */
export interface Place {
  x: number;
  y: number;
}

export function newCurves(most: number): Curves {
  const numbers = (): Float64Array => new Float64Array(most);
  return {
    count: 0,
    x0: numbers(),
    y0: numbers(),
    x1: numbers(),
    y1: numbers(),
    tx0: numbers(),
    ty0: numbers(),
    tx1: numbers(),
    ty1: numbers(),
    k: numbers(),
    length: numbers(),
  };
}

/** Adds the curve from (x0, y0) to (x1, y1), not the same place, that turns by `sweep`, |sweep| ≤ π. */
export function addChord(
  c: Curves,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  sweep: number,
): void {
  const i = c.count++;
  const dx = x1 - x0;
  const dy = y1 - y0;
  const chord = Math.sqrt(dx * dx + dy * dy);
  const ux = dx / chord;
  const uy = dy / chord;
  c.x0[i] = x0;
  c.y0[i] = y0;
  c.x1[i] = x1;
  c.y1[i] = y1;
  if (sweep === 0) {
    c.tx0[i] = ux;
    c.ty0[i] = uy;
    c.tx1[i] = ux;
    c.ty1[i] = uy;
    c.length[i] = chord;
    return;
  }
  const cos = Math.cos(sweep / 2);
  const sin = Math.sin(sweep / 2);
  c.tx0[i] = ux * cos + uy * sin;
  c.ty0[i] = uy * cos - ux * sin;
  c.tx1[i] = ux * cos - uy * sin;
  c.ty1[i] = uy * cos + ux * sin;
  c.k[i] = (2 * sin) / chord;
  c.length[i] = (chord * sweep) / (2 * sin);
}

/** Adds a curve of which everything is known. */
export function addArc(
  c: Curves,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  tx0: number,
  ty0: number,
  tx1: number,
  ty1: number,
  k: number,
  length: number,
): void {
  const i = c.count++;
  c.x0[i] = x0;
  c.y0[i] = y0;
  c.x1[i] = x1;
  c.y1[i] = y1;
  c.tx0[i] = tx0;
  c.ty0[i] = ty0;
  c.tx1[i] = tx1;
  c.ty1[i] = ty1;
  c.k[i] = k;
  c.length[i] = length;
}

/** Adds curve `i` of `from` moved left by `d`; its radius must not vanish: 1 − k·d > 0. */
export function addMoved(c: Curves, from: Curves, i: number, d: number): void {
  const j = c.count++;
  const shrink = 1 - at(from.k, i) * d;
  const tx0 = at(from.tx0, i);
  const ty0 = at(from.ty0, i);
  const tx1 = at(from.tx1, i);
  const ty1 = at(from.ty1, i);
  c.x0[j] = at(from.x0, i) - ty0 * d;
  c.y0[j] = at(from.y0, i) + tx0 * d;
  c.x1[j] = at(from.x1, i) - ty1 * d;
  c.y1[j] = at(from.y1, i) + tx1 * d;
  c.tx0[j] = tx0;
  c.ty0[j] = ty0;
  c.tx1[j] = tx1;
  c.ty1[j] = ty1;
  c.k[j] = at(from.k, i) / shrink;
  c.length[j] = at(from.length, i) * shrink;
}

/** Takes `before` mm off the start of curve `i` and `behind` off its end; less than nothing lengthens it. */
export function trim(
  c: Curves,
  i: number,
  before: number,
  behind: number,
): void {
  const k = at(c.k, i);
  const end = pointAlong(c, i, at(c.length, i) - behind, { x: 0, y: 0 });
  const start = pointAlong(c, i, before, { x: 0, y: 0 });
  c.x0[i] = start.x;
  c.y0[i] = start.y;
  c.x1[i] = end.x;
  c.y1[i] = end.y;
  turn(c.tx0, c.ty0, i, k * before);
  turn(c.tx1, c.ty1, i, -k * behind);
  c.length[i] = at(c.length, i) - before - behind;
}

function turn(
  tx: Float64Array,
  ty: Float64Array,
  i: number,
  angle: number,
): void {
  const x = at(tx, i);
  const y = at(ty, i);
  tx[i] = x * Math.cos(angle) - y * Math.sin(angle);
  ty[i] = x * Math.sin(angle) + y * Math.cos(angle);
}

/** The point `way` mm along curve `i`, put into `out`. */
export function pointAlong(
  c: Curves,
  i: number,
  way: number,
  out: Place,
): Place {
  const half = (at(c.k, i) * way) / 2;
  const cos = Math.cos(half);
  const sin = Math.sin(half);
  const chord = half === 0 ? way : (way * sin) / half;
  const tx = at(c.tx0, i);
  const ty = at(c.ty0, i);
  out.x = at(c.x0, i) + chord * (tx * cos - ty * sin);
  out.y = at(c.y0, i) + chord * (ty * cos + tx * sin);
  return out;
}

/** Where curve `i` turns back in x on its way, or its start when it does not. */
export function turningX(c: Curves, i: number): number {
  const t0 = at(c.tx0, i);
  if (t0 * at(c.tx1, i) >= 0) return at(c.x0, i);
  return at(c.x0, i) + wayToTurn(t0, at(c.ty0, i), at(c.k, i));
}

/** The same in y. */
export function turningY(c: Curves, i: number): number {
  const t0 = at(c.ty0, i);
  if (t0 * at(c.ty1, i) >= 0) return at(c.y0, i);
  return at(c.y0, i) + wayToTurn(t0, -at(c.tx0, i), at(c.k, i));
}

/** (±1 − sin) / k for the direction (cos, sin), without the loss of digits where sin is near ±1. */
function wayToTurn(cos: number, sin: number, k: number): number {
  const sign = cos * k > 0 ? 1 : -1;
  const part = sign * sin;
  return (sign * (part > 0 ? (cos * cos) / (1 + part) : 1 - part)) / k;
}

/** Element `i`, which is there. */
export function at(numbers: Float64Array | Int32Array, i: number): number {
  return numbers[i] as number;
}
