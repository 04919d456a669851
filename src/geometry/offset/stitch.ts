/**
 * Step 3 of the offset: kept slices become closed loops, joined by their node numbers. The wire's side is on the
 * left of every slice. Where loops touch in a point, each way in takes the leftmost way out, so that they stay
 * separate loops; where two walls are exactly 2d apart, the slices that run over each other in opposite
 * directions cancel: a slot of exactly the kerf's width is not entered.
 */
import { InternalError } from "../../base/finding.js";
import { pointAt, tangentAt } from "../segment.js";
import { angleBetween, distance } from "../vec.js";
import type { Slice } from "./slices.js";

export function stitch(slices: readonly Slice[], near: number): Slice[][] {
  const alive = pruneLooseEnds(cancelDoubles(slices, near));
  const leaving = new Map<number, Slice[]>();
  for (const s of alive) {
    const there = leaving.get(s.from);
    if (there) there.push(s);
    else leaving.set(s.from, [s]);
  }
  const used = new Set<Slice>();
  const loops: Slice[][] = [];
  for (const first of alive) {
    if (used.has(first)) continue;
    const loop: Slice[] = [];
    let at = first;
    do {
      used.add(at);
      loop.push(at);
      const ways = (leaving.get(at.to) ?? []).filter(
        (s) => s === first || !used.has(s),
      );
      if (ways.length === 0)
        throw new InternalError("offset: a loop does not close");
      at = ways.length === 1 ? (ways[0] as Slice) : leftmost(at, ways);
    } while (at !== first);
    loops.push(loop);
  }
  return loops;
}

/** The way out that turns most to the left; of those in the same direction, the one that bends most to the left. */
function leftmost(arriving: Slice, ways: readonly Slice[]): Slice {
  const heading = tangentAt(arriving.segment, 1);
  let best = ways[0] as Slice;
  let bestTurn = turnInto(heading, best);
  for (const way of ways.slice(1)) {
    const turn = turnInto(heading, way);
    const same = Math.abs(turn - bestTurn) < 1e-6;
    if (same ? curvature(way) > curvature(best) : turn > bestTurn) {
      best = way;
      bestTurn = turn;
    }
  }
  return best;
}

function turnInto(heading: { x: number; y: number }, way: Slice): number {
  const turn = angleBetween(heading, tangentAt(way.segment, 0));
  // Straight back is the very last choice, whichever sign rounding gave it.
  return Math.PI - turn < 1e-6 ? -Math.PI : turn;
}

function curvature({ segment: s }: Slice): number {
  return s.kind === "line" ? 0 : Math.sign(s.sweep) / s.radius;
}

/** Of slices that lie on each other: one of equal direction stays, two of opposite direction vanish. */
function cancelDoubles(slices: readonly Slice[], near: number): Slice[] {
  const byEnds = new Map<string, Slice[]>();
  for (const s of slices) {
    const key = s.from < s.to ? `${s.from},${s.to}` : `${s.to},${s.from}`;
    const there = byEnds.get(key);
    if (there) there.push(s);
    else byEnds.set(key, [s]);
  }
  const kept: Slice[] = [];
  for (const group of byEnds.values()) {
    const rest: Slice[] = [];
    for (const s of group) {
      const middle = pointAt(s.segment, 0.5);
      const twin = rest.findIndex(
        (r) => distance(pointAt(r.segment, 0.5), middle) <= near,
      );
      if (twin < 0) rest.push(s);
      else if (s.from !== s.to && (rest[twin] as Slice).from !== s.from)
        rest.splice(twin, 1);
    }
    kept.push(...rest);
  }
  return kept;
}

/** Drops slices with an end that leads nowhere: overruns that clear the outlines by less than rounding. */
function pruneLooseEnds(slices: readonly Slice[]): Slice[] {
  const out = new Map<number, number>();
  const into = new Map<number, number>();
  const count = (m: Map<number, number>, k: number, by: number): void => {
    m.set(k, (m.get(k) ?? 0) + by);
  };
  for (const s of slices) {
    count(out, s.from, 1);
    count(into, s.to, 1);
  }
  let alive = [...slices];
  for (;;) {
    const next = alive.filter((s) => {
      const loose = (into.get(s.from) ?? 0) === 0 || (out.get(s.to) ?? 0) === 0;
      if (loose) {
        count(out, s.from, -1);
        count(into, s.to, -1);
      }
      return !loose;
    });
    if (next.length === alive.length) return next;
    alive = next;
  }
}
