/** Places along every outline, and what the wire did there, visit by visit. */
import type { Segment } from "../../src/geometry/segment.js";
import {
  boundsOf,
  gap,
  grown,
  lengthOf,
  nearestOn,
  type Piece,
  type Pt,
  pointOn,
  polar,
} from "../acceptance/plane.js";
import type { Replay } from "../acceptance/replay.js";
import type { GoodProgram } from "./good-programs.js";

/** A place on a finished outline. */
export interface Place {
  readonly feature: number;
  readonly at: Pt;
  /** Beside a corner, not on the outline. */
  readonly corner: boolean;
}

/** One move of the wire past a place: how near it came, and on which line. */
export interface Visit {
  readonly nearest: number;
  readonly line: number;
}

export interface Deeds {
  /** Of each feature the places where the good program cuts it. */
  readonly own: readonly (readonly number[])[];
  /** Of each place its visits in order. */
  readonly visits: readonly (readonly Visit[])[];
  readonly replay: Replay;
  /** Lines that burn without flushing. */
  readonly dry: readonly number[];
}

/** mm between places along an outline. */
export const STEP = 0.25;

/** mm from a corner at which places lie all round it: what is left in front of the corner shows there. */
const BESIDE = 0.02;

/** mm by which one pass differs from the next at the least. */
export const SAME_PASS = 0.0015;

export const movesOf = (r: Replay): { piece: Piece; line: number }[] =>
  r.threadings.flatMap((t) => t.moves as { piece: Piece; line: number }[]);

export function outlinesOf(good: GoodProgram): Piece[][] {
  return good.layout.features.map((f) => f.contour.segments.map(pieceOf));
}

export const pieceOf = (s: Segment): Piece =>
  s.kind === "line"
    ? { t: "straight", a: s.start, b: s.end }
    : {
        t: "round",
        a: s.start,
        b: s.end,
        c: s.center,
        r: s.radius,
        turn: s.sweep,
      };

/** Evenly along every outline, round its corners, and beside every end of a move, where a shifted end shows most. */
export function placesOf(
  good: GoodProgram,
  run: Replay,
  near: number,
): Place[] {
  const outlines = outlinesOf(good);
  const places = outlines.flatMap((pieces, feature) =>
    pieces.flatMap((p) => {
      const n = Math.max(2, Math.ceil(lengthOf(p) / STEP));
      const along = Array.from({ length: n }, (_, k) => pointOn(p, k / n));
      const round = Array.from({ length: 8 }, (_, k) =>
        polar(p.a, BESIDE, (k * Math.PI) / 4),
      );
      return [
        ...along.map((at) => ({ feature, at, corner: false })),
        ...round.map((at) => ({ feature, at, corner: true })),
      ];
    }),
  );
  const ends = movesOf(run).flatMap(({ piece }) => [piece.a, piece.b]);
  outlines.forEach((pieces, feature) => {
    for (const p of pieces) {
      const box = grown(boundsOf(p), near);
      for (const e of ends) {
        if (e.x < box.x0 || e.x > box.x1 || e.y < box.y0 || e.y > box.y1)
          continue;
        const foot = nearestOn(p, e);
        if (foot.d <= near)
          places.push({ feature, at: foot.at, corner: false });
      }
    }
  });
  const seen = new Set<string>();
  return places.filter(({ feature, at }) => {
    const key = `${feature} ${at.x.toFixed(5)} ${at.y.toFixed(5)}`;
    return !seen.has(key) && seen.add(key);
  });
}

/** Where an end of a move has gone elsewhere: midway between the two, which no other place may be near to. */
export function placesBetween(
  good: GoodProgram,
  a: Replay,
  b: Replay,
  near: number,
): Place[] {
  const [was, is] = [piecesOf(a), piecesOf(b)];
  const gone = endsOf([...was].filter(([key]) => !is.has(key)));
  const come = endsOf([...is].filter(([key]) => !was.has(key)));
  const middles = gone.flatMap((p) =>
    come
      .filter((q) => gap(p, q) > 0 && gap(p, q) < STEP)
      .map((q) => ({ x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 })),
  );
  return outlinesOf(good).flatMap((pieces, feature) =>
    middles.flatMap((m) => {
      const foot = pieces
        .map((piece) => nearestOn(piece, m))
        .reduce((x, y) => (y.d < x.d ? y : x));
      return foot.d <= near ? [{ feature, at: foot.at, corner: false }] : [];
    }),
  );
}

function piecesOf(r: Replay): Map<string, Piece> {
  return new Map(
    movesOf(r).map(({ piece }) => [
      `${piece.a.x} ${piece.a.y} ${piece.b.x} ${piece.b.y}`,
      piece,
    ]),
  );
}

function endsOf(pieces: readonly (readonly [string, Piece])[]): Pt[] {
  const ends = pieces.flatMap(([, piece]) => [piece.a, piece.b]);
  return [...new Map(ends.map((p) => [`${p.x} ${p.y}`, p])).values()];
}

const CELL = 1;

export function placeFinder(
  places: readonly Place[],
): (p: Piece, near: number) => Iterable<number> {
  const cells = new Map<string, number[]>();
  places.forEach(({ at }, k) => {
    const key = `${Math.floor(at.x / CELL)} ${Math.floor(at.y / CELL)}`;
    const list = cells.get(key);
    if (list) list.push(k);
    else cells.set(key, [k]);
  });
  return (piece, near) => {
    const b = grown(boundsOf(piece), near);
    const i0 = Math.floor(b.x0 / CELL);
    const i1 = Math.floor(b.x1 / CELL);
    const j0 = Math.floor(b.y0 / CELL);
    const j1 = Math.floor(b.y1 / CELL);
    if ((i1 - i0 + 1) * (j1 - j0 + 1) > 4 * cells.size) return places.keys();
    const found: number[] = [];
    for (let i = i0; i <= i1; i++)
      for (let j = j0; j <= j1; j++) {
        const list = cells.get(`${i} ${j}`);
        if (list) found.push(...list);
      }
    return found;
  };
}

export function visitsOf(
  places: readonly Place[],
  find: (p: Piece, near: number) => Iterable<number>,
  r: Replay,
  near: number,
): Visit[][] {
  const visits = places.map((): Visit[] => []);
  for (const { piece, line } of movesOf(r))
    for (const k of find(piece, near)) {
      const { d } = nearestOn(piece, (places[k] as Place).at);
      if (d <= near) (visits[k] as Visit[]).push({ nearest: d, line });
    }
  return visits;
}

/** The offsets at which passes went by, each nearer than all before; what leads do in between is left out. */
export function passesAt(
  visits: readonly Visit[],
  offsets: readonly number[],
): number[] {
  const list: number[] = [];
  for (const { nearest } of visits) {
    if (!offsets.some((o) => Math.abs(o - nearest) < SAME_PASS)) continue;
    const best = list.at(-1) ?? Number.POSITIVE_INFINITY;
    if (nearest < best - SAME_PASS) list.push(nearest);
    else if (nearest < best) list[list.length - 1] = nearest;
  }
  return list;
}

export const nearestOf = (visits: readonly Visit[]): number =>
  visits.reduce((d, v) => Math.min(d, v.nearest), Number.POSITIVE_INFINITY);

/** Lines on which the wire burns while the last word about it was "flushing off". */
export function dryLines(text: string, r: Replay): number[] {
  const burning = new Set(movesOf(r).map((m) => m.line));
  let on = false;
  const dry: number[] = [];
  text.split("\n").forEach((raw, k) => {
    const bare = raw.replace(/\([^)]*\)/g, "");
    if (/M0?8(?!\d)/.test(bare)) on = true;
    if (burning.has(k + 1) && !on) dry.push(k + 1);
    if (/M0?9(?!\d)/.test(bare)) on = false;
  });
  return dry;
}
