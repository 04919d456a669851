/**
 * When did a growing kerf close round a point? The kerf is a net of chords, each as wide as its wire; two chords whose
 * kerfs touch are linked. Going along links, the direction to the point turns; a way round through the net that comes
 * back with a whole turn encloses it. A union-find that carries these angles finds the first chord that closes one.
 */
import { segmentBox, line as straight } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import { indexOf } from "./ground.js";

/** A chord of the net, in the order in which it is cut. */
export interface Link {
  readonly start: Vec;
  readonly end: Vec;
  readonly radius: number;
  /** What cut it: the answer is one of these. Below 0: it was there from the beginning. */
  readonly move: number;
  /** It begins where the chord before it ends. */
  readonly joined: boolean;
}

/** Two chords that touch: a place on each, joined by a straight line through both kerfs. */
export interface Touch {
  readonly a: number;
  readonly b: number;
  readonly onA: Vec;
  readonly onB: Vec;
}

/**
 * For each point the move that first closed the kerf round it, parting it from `rest` (null: from all that lies
 * outside); null when none did.
 */
export function closings(
  links: readonly Link[],
  touches: readonly Touch[],
  points: readonly Vec[],
  rest: Vec | null,
): (number | null)[] {
  return points.map((p) => {
    const last = firstClosing(links, touches, p, rest);
    return last && (links[last.b] as Link).move;
  });
}

/** Every pair of chords no more than `web` apart, in the order of the later one; neighbours by their common point. */
export function touchesOf(links: readonly Link[], web: number): Touch[] {
  const index = indexOf(links.map((l) => straight(l.start, l.end)));
  const widest = links.reduce((w, l) => Math.max(w, l.radius), 0);
  const along = waysAlong(links);
  const touches: Touch[] = [];
  links.forEach((b, j) => {
    if (b.joined) touches.push({ a: j - 1, b: j, onA: b.start, onB: b.start });
    const reach = b.radius + widest + web;
    for (const i of index.near(segmentBox(straight(b.start, b.end)), reach)) {
      if (i >= j) continue;
      if (i === j - 1 && b.joined) continue;
      const a = links[i] as Link;
      // A path cannot get round a point outside its kerf in less than half a circle of the kerf's radius.
      if (
        along.chain[i] === along.chain[j] &&
        (along.at[j] as number) - (along.at[i + 1] as number) <
          Math.PI * Math.min(a.radius, b.radius)
      )
        continue;
      const near = nearestOf(a, b);
      if (near.distance <= a.radius + b.radius + web)
        touches.push({ a: i, b: j, onA: near.onA, onB: near.onB });
    }
  });
  return touches;
}

/** For each chord its path and how far along it (mm) the chord begins. */
function waysAlong(links: readonly Link[]): { chain: number[]; at: number[] } {
  const chain: number[] = [];
  const at: number[] = [];
  let way = 0;
  let current = -1;
  let radius = 0;
  links.forEach((l, k) => {
    // A path changes where the kerf's width does: the half-circle rule holds for one width.
    if (!l.joined || l.radius !== radius) {
      current++;
      way = 0;
      radius = l.radius;
    }
    chain[k] = current;
    at[k] = way;
    way += Math.sqrt((l.end.x - l.start.x) ** 2 + (l.end.y - l.start.y) ** 2);
  });
  at.push(way);
  return { chain, at };
}

/** Nearest places of two straight chords. */
function nearestOf(a: Link, b: Link): { distance: number; onA: Vec; onB: Vec } {
  const ux = a.end.x - a.start.x;
  const uy = a.end.y - a.start.y;
  const vx = b.end.x - b.start.x;
  const vy = b.end.y - b.start.y;
  const wx = b.start.x - a.start.x;
  const wy = b.start.y - a.start.y;
  const area = ux * vy - uy * vx;
  if (area !== 0) {
    const s = (wx * vy - wy * vx) / area;
    const t = (wx * uy - wy * ux) / area;
    if (s >= 0 && s <= 1 && t >= 0 && t <= 1) {
      const p = { x: a.start.x + s * ux, y: a.start.y + s * uy };
      return { distance: 0, onA: p, onB: p };
    }
  }
  let best = Number.POSITIVE_INFINITY;
  let onA = a.start;
  let onB = b.start;
  const take = (p: Vec, q: Vec): void => {
    const d = (p.x - q.x) * (p.x - q.x) + (p.y - q.y) * (p.y - q.y);
    if (d >= best) return;
    best = d;
    onA = p;
    onB = q;
  };
  take(a.start, footOn(b, a.start));
  take(a.end, footOn(b, a.end));
  take(footOn(a, b.start), b.start);
  take(footOn(a, b.end), b.end);
  return { distance: Math.sqrt(best), onA, onB };
}

function footOn(l: Link, p: Vec): Vec {
  const ux = l.end.x - l.start.x;
  const uy = l.end.y - l.start.y;
  const whole = ux * ux + uy * uy;
  if (whole === 0) return l.start;
  const t = ((p.x - l.start.x) * ux + (p.y - l.start.y) * uy) / whole;
  const k = Math.min(1, Math.max(0, t));
  return { x: l.start.x + k * ux, y: l.start.y + k * uy };
}

/** The first touch, in the order given, with which a way round the point closes; null when none does. */
export function firstClosing(
  links: readonly Link[],
  touches: readonly Touch[],
  point: Vec,
  rest: Vec | null,
): Touch | null {
  // Turning about the point, less turning about the rest: what winds round both parts neither from the other.
  const turn = (from: Vec, to: Vec): number =>
    turnAbout(point, from, to) - (rest ? turnAbout(rest, from, to) : 0);
  const parent = links.map((_, k) => k);
  const angle = links.map(() => 0);
  /** Root of a chord, and the turn from the root's start to the chord's. */
  const find = (k: number): { root: number; angle: number } => {
    const way: number[] = [];
    let at = k;
    while (parent[at] !== at) {
      way.push(at);
      at = parent[at] as number;
    }
    let sum = 0;
    for (let i = way.length - 1; i >= 0; i--) {
      const node = way[i] as number;
      sum += angle[node] as number;
      angle[node] = sum;
      parent[node] = at;
    }
    return { root: at, angle: sum };
  };
  for (const t of touches) {
    const a = links[t.a] as Link;
    const b = links[t.b] as Link;
    const step =
      turn(a.start, t.onA) + turn(t.onA, t.onB) + turn(t.onB, b.start);
    const fa = find(t.a);
    const fb = find(t.b);
    if (fa.root !== fb.root) {
      parent[fb.root] = fa.root;
      angle[fb.root] = fa.angle + step - fb.angle;
    } else if (Math.abs(fa.angle + step - fb.angle) > Math.PI) return t;
  }
  return null;
}

/** Signed turn of the direction from a centre to a point that goes straight from one place to another. */
function turnAbout(center: Vec, from: Vec, to: Vec): number {
  const ax = from.x - center.x;
  const ay = from.y - center.y;
  const bx = to.x - center.x;
  const by = to.y - center.y;
  return Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
}
