/**
 * The pieces that a program cuts loose. Kerfs that touch each other make a cluster; what a cluster encloses is a piece
 * (or, where it breaks out of the block, what it parts from the rest). When a piece came loose is a matter of winding:
 * the first move with which the kerf closes round it.
 */
import { HOLDING_WEB } from "../base/tolerance.js";
import type { Contour } from "../geometry/contour.js";
import {
  type Segment,
  segmentBox,
  line as straight,
} from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import type { DrawnHole } from "../plan/feature.js";
import { closings, type Link } from "./closing.js";
import { indexOf, type SegmentIndex } from "./ground.js";
import type { KerfMove } from "./kerf.js";
import {
  type Area,
  type Band,
  chordPoints,
  insidePoint,
  polygonArea,
  polygonLength,
  remainingAreas,
  sweptAreas,
} from "./material.js";
import { between, pointTo } from "./measure.js";

/** Something that was part of the block and is not any more. */
export interface Piece {
  readonly area: Area;
  /** mm² of metal, without the holes in it. */
  readonly size: number;
  /** A point inside. */
  readonly at: Vec;
  /** Index of the program's move that freed it. */
  readonly freedBy: number;
}

export interface Cluster {
  readonly kerf: readonly KerfMove[];
  readonly pieces: readonly Piece[];
  /** mm² within the kerf's outer rim, and of the kerf itself. */
  readonly enclosed: number;
  readonly swept: number;
}

/** A chord of the kerf, of one of the holes that are in the block, or of the block's edge. */
interface Chord extends Link {
  readonly segment: Segment;
}

export function findPieces(
  kerf: readonly KerfMove[],
  stock: Contour | null,
  holes: readonly DrawnHole[],
): Cluster[] {
  const edge = stock ? indexOf(stock.segments) : null;
  return clustersOf(kerf).map((members) =>
    piecesOf(
      members.map((k) => kerf[k] as KerfMove),
      stock &&
        edge &&
        breaksOut(
          members.map((k) => kerf[k] as KerfMove),
          stock,
          edge,
        )
        ? stock
        : null,
      holes,
    ),
  );
}

/** Indices of kerf moves that hang together, in program order. */
function clustersOf(kerf: readonly KerfMove[]): number[][] {
  const parent = kerf.map((_, k) => k);
  const root = (k: number): number => {
    let r = k;
    while (parent[r] !== r) r = parent[r] as number;
    let at = k;
    while (parent[at] !== r) {
      const next = parent[at] as number;
      parent[at] = r;
      at = next;
    }
    return r;
  };
  const index = indexOf(kerf.map((k) => k.segment));
  const widest = kerf.reduce((w, k) => Math.max(w, k.radius), 0);
  kerf.forEach((a, i) => {
    for (const j of index.near(
      segmentBox(a.segment),
      a.radius + widest + HOLDING_WEB,
    )) {
      if (j >= i) break;
      if (root(i) === root(j)) continue;
      const b = kerf[j] as KerfMove;
      if (
        between(a.segment, b.segment).distance <=
        a.radius + b.radius + HOLDING_WEB
      )
        parent[root(i)] = root(j);
    }
  });
  const clusters = new Map<number, number[]>();
  kerf.forEach((_, k) => {
    const r = root(k);
    const list = clusters.get(r);
    if (list) list.push(k);
    else clusters.set(r, [k]);
  });
  return [...clusters.values()];
}

/** Does the kerf come to the block's edge, or run outside it? */
function breaksOut(
  kerf: readonly KerfMove[],
  stock: Contour,
  edge: SegmentIndex,
): boolean {
  return kerf.some((k) =>
    edge
      .near(segmentBox(k.segment), k.radius + HOLDING_WEB)
      .some(
        (e) =>
          between(k.segment, stock.segments[e] as Segment).distance <=
          k.radius + HOLDING_WEB,
      ),
  );
}

function piecesOf(
  kerf: readonly KerfMove[],
  stock: Contour | null,
  holes: readonly DrawnHole[],
): Cluster {
  const drilled = touchedHoles(kerf, holes);
  // Half the web on either side: two kerfs with less between them are one.
  const bands: Band[] = [
    ...chains(kerf),
    ...drilled.map((h) => ({
      points: [h.at],
      radius: (h.diameter as number) / 2,
    })),
  ].map((b) => ({ ...b, radius: b.radius + HOLDING_WEB / 2 }));
  const origin = (kerf[0] as KerfMove).segment.start;
  const swept = sweptAreas(bands, origin);
  const enclosed = swept.reduce((sum, a) => sum + polygonArea(a.rim), 0);
  const loose = stock
    ? partedFrom(stock, bands, origin)
    : {
        areas: swept.flatMap((a) => a.holes.map((rim) => ({ rim, holes: [] }))),
        rest: null,
      };
  const areas = loose.areas.filter(isPiece);
  const cluster = {
    kerf,
    enclosed,
    swept:
      enclosed -
      swept.reduce(
        (sum, a) => sum + a.holes.reduce((s, h) => s + polygonArea(h), 0),
        0,
      ),
  };
  if (areas.length === 0) return { ...cluster, pieces: [] };
  const chords = chordsOf(kerf, drilled, stock);
  const points = areas.map(insidePoint);
  const times = closings(chords, points, loose.rest, HOLDING_WEB);
  const pieces = areas.map((area, k) => ({
    area,
    size: sizeOf(area),
    at: points[k] as Vec,
    // Kerfs that enclose by a hair what their chords do not: then the last move did it at the latest.
    freedBy: times[k] ?? (kerf.at(-1) as KerfMove).move,
  }));
  return { ...cluster, pieces };
}

/** Narrower than a web that holds nothing, it is dust: mean width is twice the area by the rim's length. */
function isPiece(area: Area): boolean {
  return (2 * polygonArea(area.rim)) / polygonLength(area.rim) > HOLDING_WEB;
}

/** The half web that the widened kerf took from it is given back. */
function sizeOf(area: Area): number {
  const rims = [area.rim, ...area.holes];
  const widened = rims.reduce((sum, p) => sum + polygonLength(p), 0);
  return (
    polygonArea(area.rim) -
    area.holes.reduce((sum, p) => sum + polygonArea(p), 0) +
    (widened * HOLDING_WEB) / 2
  );
}

function touchedHoles(
  kerf: readonly KerfMove[],
  holes: readonly DrawnHole[],
): DrawnHole[] {
  return holes.filter(
    (h) =>
      h.diameter !== null &&
      kerf.some(
        (k) =>
          pointTo(k.segment, h.at.x, h.at.y) <=
          k.radius + (h.diameter as number) / 2,
      ),
  );
}

/** Runs of kerf moves that begin where the one before ended, as polylines. */
function chains(kerf: readonly KerfMove[]): Band[] {
  const bands: { points: Vec[]; radius: number }[] = [];
  let end: Vec | null = null;
  for (const { segment, radius } of kerf) {
    let band = bands.at(-1);
    if (
      !band ||
      !end ||
      band.radius !== radius ||
      end.x !== segment.start.x ||
      end.y !== segment.start.y
    ) {
      band = { points: [segment.start], radius };
      bands.push(band);
    }
    band.points.push(...chordPoints(segment));
    end = segment.end;
  }
  return bands;
}

/**
 * What the kerf parts from a block: all areas but the one that keeps the most of the block's edge, by which it is
 * clamped.
 */
function partedFrom(
  stock: Contour,
  bands: readonly Band[],
  origin: Vec,
): { areas: Area[]; rest: Vec | null } {
  const block = stock.segments.flatMap(chordPoints);
  const areas = remainingAreas(block, bands, origin);
  const edge = indexOf(stock.segments);
  const share = (a: Area): number => {
    let sum = 0;
    a.rim.forEach((p, k) => {
      const q = a.rim[(k + 1) % a.rim.length] as Vec;
      const x = (p.x + q.x) / 2;
      const y = (p.y + q.y) / 2;
      const on = edge
        .near({ minX: x, minY: y, maxX: x, maxY: y }, HOLDING_WEB)
        .some(
          (e) => pointTo(stock.segments[e] as Segment, x, y) <= HOLDING_WEB,
        );
      if (on) sum += Math.sqrt((p.x - q.x) ** 2 + (p.y - q.y) ** 2);
    });
    return sum;
  };
  const shares = areas.map(share);
  const clamped = shares.indexOf(Math.max(...shares));
  const rest = areas[clamped];
  return {
    areas: areas.filter((_, k) => k !== clamped),
    rest: rest ? insidePoint(rest) : null,
  };
}

/** The cluster as chords in program order; holes and the block's edge are there before the first move. */
function chordsOf(
  kerf: readonly KerfMove[],
  drilled: readonly DrawnHole[],
  stock: Contour | null,
): Chord[] {
  const chords: Chord[] = [];
  const add = (
    points: readonly Vec[],
    start: Vec,
    radius: number,
    move: number,
    joined: boolean,
  ): void => {
    let from = start;
    points.forEach((to, k) => {
      chords.push({
        segment: straight(from, to),
        start: from,
        end: to,
        radius,
        move,
        joined: joined || k > 0,
      });
      from = to;
    });
  };
  if (stock) {
    const points = stock.segments.flatMap(chordPoints);
    add(points, points.at(-1) as Vec, 0, -1, false);
  }
  for (const h of drilled)
    add([h.at], h.at, (h.diameter as number) / 2, -1, false);
  let end: Vec | null = null;
  for (const { segment, radius, move } of kerf) {
    const joined =
      end !== null && end.x === segment.start.x && end.y === segment.start.y;
    add(chordPoints(segment), segment.start, radius, move, joined);
    end = segment.end;
  }
  return chords;
}
