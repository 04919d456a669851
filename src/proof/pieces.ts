/**
 * The pieces that a program cuts loose. Kerfs that touch each other make a cluster; what a cluster encloses is a piece
 * (or, where it breaks out of the block, what it parts from the rest). When a piece came loose is a matter of winding:
 * the first move with which the kerf closes round it.
 */
import { InputError } from "../base/finding.js";
import { HOLDING_WEB } from "../base/tolerance.js";
import type { Contour } from "../geometry/contour.js";
import {
  type Box,
  type Segment,
  segmentBox,
  line as straight,
} from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import type { DrawnHole } from "../plan/feature.js";
import type { Swath } from "./bands.js";
import { closings, type Link, type Touch, touchesOf } from "./closing.js";
import { type BoxIndex, indexOf, pointBox } from "./ground.js";
import type { KerfMove } from "./kerf.js";
import { type Area, metalAround } from "./material.js";
import { between, pointTo } from "./measure.js";
import { areaBox, chordPoints, insidePoint } from "./polygons.js";
import { straightened } from "./straightened.js";

/** Touches of chords looked at, piece by piece, to tell when each comes loose: some seconds of work. */
const MOST_LOOKS = 100_000_000;

/** Something that was part of the block and is not any more. */
export interface Piece {
  readonly area: Area;
  readonly box: Box;
  /** mm² of metal, without the holes in it. */
  readonly size: number;
  /** A point inside. */
  readonly at: Vec;
  /** Index of the program's move that freed it. */
  readonly freedBy: number;
}

export interface Cluster {
  readonly kerf: readonly KerfMove[];
  /** Its chords in program order, after the holes and the block's edge that it touches. */
  readonly links: readonly Link[];
  /** Which of them touch, or are no more than a web apart that holds nothing; none where there are no pieces. */
  readonly touches: readonly Touch[];
  /** A place in what stays, where the kerf breaks out of the block; null: all that lies outside stays. */
  readonly rest: Vec | null;
  readonly pieces: readonly Piece[];
  /** mm² of metal that the kerf has turned to dust. */
  readonly swept: number;
}

/**
 * The clusters of a program's kerf with the pieces that each cuts loose.
 *
 * @throws {InputError} `program/tangled` where one cluster crumbles the block into pieces by the thousand.
 */
export function findPieces(
  kerf: readonly KerfMove[],
  stock: Contour | null,
  holes: readonly DrawnHole[],
  onCluster?: (done: number, of: number) => void,
): Cluster[] {
  const edge = stock ? indexOf(stock.segments) : null;
  return clustersOf(kerf).map((members, i, all) => {
    onCluster?.(i, all.length);
    return piecesOf(
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
    );
  });
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
      if (j >= i) continue;
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
  edge: BoxIndex,
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
  const chords = chordsOf(kerf, drilled);
  // Half the web on either side: two kerfs with less between them are one.
  const wide = straightened([...drilled.map(drilledSwath), ...kerf]).map(
    (k) => ({
      segment: k.segment,
      radius: k.radius + HOLDING_WEB / 2,
    }),
  );
  const block = stock ? stock.segments.flatMap(chordPoints) : null;
  const { areas, swept } = metalAround(wide, block);
  const edge = indexOf(stock?.segments ?? []);
  const shares = areas.map((a) =>
    stock ? shareOfEdge(a, stock, edge) : a.onFrame,
  );
  // What stays is what goes on beyond all kerf; of a block, what keeps the most of its edge: by that it is clamped.
  const stays = shares.reduce((most, s) => Math.max(most, s), 0);
  // Of a block cut into equal halves one is held, and the other falls.
  const held = shares.indexOf(stays);
  const rest = areas.filter((_, k) =>
    stays > 0 ? k === held : shares[k] === stays,
  );
  const loose = areas.filter((a) => !rest.includes(a) && isPiece(a));
  const back = areas.map((a, k) =>
    givenBack(a, stock ? (shares[k] as number) : 0),
  );
  const links = block ? [...edgeLinks(block), ...chords] : chords;
  const outside = stock && rest[0] ? insidePoint(rest[0]) : null;
  const points = loose.map(insidePoint);
  const touches = loose.length === 0 ? [] : touchesOf(links, HOLDING_WEB);
  if (loose.length * touches.length > MOST_LOOKS)
    throw crumbled(new Set(kerf.map((k) => k.move)).size, loose.length);
  const times = closings(links, touches, points, outside);
  const pieces = loose.map((area, k) => ({
    area,
    box: areaBox(area),
    size: area.size + (back[areas.indexOf(area)] as number),
    at: points[k] as Vec,
    // Kerfs that enclose by a hair what their chords do not: then the last move did it at the latest.
    freedBy: times[k] ?? (kerf.at(-1) as KerfMove).move,
  }));
  return {
    kerf,
    links,
    touches,
    rest: outside,
    pieces,
    swept: back.reduce((dust, more) => dust - more, swept),
  };
}

const crumbled = (moves: number, pieces: number): InputError =>
  new InputError(
    "program/tangled",
    `${moves} moves cross each other so often that ${pieces} pieces come loose between them; no wire is meant to crumble a block, and when each comes loose cannot be told: is it the right file?`,
  );

/** mm² that the kerf, wider by half a web, took from what is left; not along the block's own edge. */
function givenBack(area: Area, onEdge: number): number {
  return ((area.rimLength - onEdge) * HOLDING_WEB) / 2;
}

/** Narrower than a web that holds nothing, it is dust: mean width is twice the area by the rim's length. */
function isPiece(area: Area): boolean {
  return 2 * area.size > HOLDING_WEB * area.rimLength;
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

const drilledSwath = ({ at, diameter }: DrawnHole): Swath => ({
  segment: straight(at, at),
  radius: (diameter as number) / 2,
});

/** mm of an area's rim that lie on the block's own edge. */
function shareOfEdge(area: Area, stock: Contour, edge: BoxIndex): number {
  let sum = 0;
  for (const { rim } of area.parts)
    rim.forEach((p, k) => {
      const q = rim[(k + 1) % rim.length] as Vec;
      const x = (p.x + q.x) / 2;
      const y = (p.y + q.y) / 2;
      const on = edge
        .near(pointBox({ x, y }), HOLDING_WEB)
        .some(
          (e) => pointTo(stock.segments[e] as Segment, x, y) <= HOLDING_WEB,
        );
      if (on) sum += Math.sqrt((p.x - q.x) ** 2 + (p.y - q.y) ** 2);
    });
  return sum;
}

/** The kerf as chords in program order; the holes in the block are there before the first move. */
function chordsOf(
  kerf: readonly KerfMove[],
  drilled: readonly DrawnHole[],
): Link[] {
  const links: Link[] = drilled.map(({ at, diameter }) => ({
    start: at,
    end: at,
    radius: (diameter as number) / 2,
    move: -1,
    joined: false,
  }));
  let end: Vec | null = null;
  for (const { segment, radius, move } of kerf) {
    let joined =
      end !== null && end.x === segment.start.x && end.y === segment.start.y;
    let from = segment.start;
    for (const to of chordPoints(segment)) {
      links.push({ start: from, end: to, radius, move, joined });
      joined = true;
      from = to;
    }
    end = segment.end;
  }
  return links;
}

/** The block's edge as chords without width: there from the beginning. */
function edgeLinks(block: readonly Vec[]): Link[] {
  return block.map((end, k) => ({
    start: block.at(k - 1) as Vec,
    end,
    radius: 0,
    move: -1,
    joined: k > 0,
  }));
}
