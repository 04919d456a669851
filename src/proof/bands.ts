/**
 * The kerf as polygons, one band for each piece of the wire's way: a straight one between two parallels, a bent one
 * between two arcs, round ends where nothing goes on smoothly. Their union is what the wire has swept.
 */
import { KERF_CHORD, KERF_GRID, SAME_POINT } from "../base/tolerance.js";
import {
  type Arc,
  type Box,
  type Line,
  type Segment,
  segmentBox,
  segmentLength,
  subSegment,
  tangentAt,
} from "../geometry/segment.js";
import { cross, dot, type Vec } from "../geometry/vec.js";

/** A piece of the wire's way and half the width of its kerf, mm; a hole is a line without length. */
export interface Swath {
  readonly segment: Segment;
  readonly radius: number;
}

/** A place on the polygons' whole-number grid, in steps from an origin. */
export interface GridPoint {
  X: number;
  Y: number;
}

export type GridPath = GridPoint[];

export interface Band {
  /** What it is the polygon of. */
  readonly swath: Swath;
  /** Grid steps. */
  readonly box: Box;
  /** Counter-clockwise all of them, so that overlaps add up. */
  readonly paths: readonly GridPath[];
}

/**
 * mm that bands run on past their ends, so that no crack is left where one goes on smoothly in the next: well under
 * what chords are off, and well over the grid.
 */
const OVERLAP = KERF_CHORD / 2;

/** Arcs of more chords than this are several bands, so that a tile holds no far parts of them. */
const CHORDS_IN_A_BAND = 16;

export function toGrid(p: Vec, origin: Vec): GridPoint {
  return {
    X: Math.round((p.x - origin.x) / KERF_GRID),
    Y: Math.round((p.y - origin.y) / KERF_GRID),
  };
}

export function bandsOf(kerf: readonly Swath[], origin: Vec): Band[] {
  const pieces = kerf.flatMap(inPieces);
  return pieces.map((k, i) => {
    const [before, next] = [pieces[i - 1], pieces[i + 1]];
    const { segment, radius } = k;
    const paths = [body(k)];
    // A joint that is not smooth is rounded once, by the band that begins there.
    if (!isRounded(k)) {
      if (!before || !isJoined(before, k) || !isSmooth(before, k))
        paths.push(circle(segment.start, radius));
      if (!next || !isJoined(k, next)) paths.push(circle(segment.end, radius));
    }
    const { minX, minY, maxX, maxY } = segmentBox(segment);
    const from = toGrid({ x: minX - radius, y: minY - radius }, origin);
    const to = toGrid({ x: maxX + radius, y: maxY + radius }, origin);
    return {
      swath: k,
      box: {
        minX: from.X - MARGIN,
        minY: from.Y - MARGIN,
        maxX: to.X + MARGIN,
        maxY: to.Y + MARGIN,
      },
      paths: paths.map((path) => path.map((p) => toGrid(p, origin))),
    };
  });
}

/** Grid steps by which a band may stick out of its box: the overlap and rounding. */
const MARGIN = Math.ceil(OVERLAP / KERF_GRID) + 1;

function inPieces({ segment, radius }: Swath): Swath[] {
  if (segment.kind === "line" || segment.radius <= radius)
    return [{ segment, radius }];
  const n = Math.ceil(
    Math.abs(segment.sweep) /
      (CHORDS_IN_A_BAND * chordAngle(segment.radius + radius)),
  );
  return Array.from({ length: n }, (_, k) => ({
    segment: n === 1 ? segment : subSegment(segment, k / n, (k + 1) / n),
    radius,
  }));
}

/** Its polygon has round ends already. */
function isRounded({ segment, radius }: Swath): boolean {
  return segment.kind === "arc"
    ? segment.radius <= radius
    : segmentLength(segment) <= SAME_POINT;
}

function isJoined(a: Swath, b: Swath): boolean {
  const [p, q] = [a.segment.end, b.segment.start];
  return (
    a.radius === b.radius &&
    Math.abs(p.x - q.x) <= SAME_POINT &&
    Math.abs(p.y - q.y) <= SAME_POINT
  );
}

/** No gap opens at the joint but what the overlaps close, or round ends that are there already. */
function isSmooth(a: Swath, b: Swath): boolean {
  if (isRounded(a) || isRounded(b)) return true;
  const u = tangentAt(a.segment, 1);
  const v = tangentAt(b.segment, 0);
  return dot(u, v) > 0 && Math.abs(cross(u, v)) * a.radius <= OVERLAP;
}

function body({ segment, radius }: Swath): Vec[] {
  if (segment.kind === "line")
    return segmentLength(segment) <= SAME_POINT
      ? circle(segment.start, radius)
      : straightBand(segment, radius);
  return segment.radius > radius
    ? bentBand(segment, radius)
    : tightBand(segment, radius);
}

function straightBand({ start, end }: Line, radius: number): Vec[] {
  const long = Math.sqrt((end.x - start.x) ** 2 + (end.y - start.y) ** 2);
  const ux = (end.x - start.x) / long;
  const uy = (end.y - start.y) / long;
  const corner = (p: Vec, forth: number, left: number): Vec => ({
    x: p.x + forth * ux - left * uy,
    y: p.y + forth * uy + left * ux,
  });
  return [
    corner(start, -OVERLAP, -radius),
    corner(end, OVERLAP, -radius),
    corner(end, OVERLAP, radius),
    corner(start, -OVERLAP, radius),
  ];
}

function bentBand(arc: Arc, radius: number): Vec[] {
  const over = OVERLAP / arc.radius;
  const [from, to] = directions(arc);
  return [
    ...arcPoints(arc.center, arc.radius + radius, from - over, to + over),
    ...arcPoints(arc.center, arc.radius - radius, to + over, from - over),
  ];
}

/**
 * Of an arc whose centre the kerf covers: the sector of the outer radius and the circles about its ends, which meet
 * behind the centre.
 */
function tightBand(arc: Arc, radius: number): Vec[] {
  const { center } = arc;
  const [from, to] = directions(arc);
  const behind = (from + to) / 2 + Math.PI;
  // From the centre to the circle about an end, seen at an angle off that end (law of cosines).
  const off = behind - to;
  const far =
    arc.radius * Math.cos(off) +
    Math.sqrt(Math.max(0, radius ** 2 - (arc.radius * Math.sin(off)) ** 2));
  const meeting = onCircle(center, far, behind);
  const [first, last] = [
    onCircle(center, arc.radius, to),
    onCircle(center, arc.radius, from),
  ];
  const about = (p: Vec): number =>
    Math.atan2(meeting.y - p.y, meeting.x - p.x);
  return [
    ...arcPoints(center, arc.radius + radius, from, to),
    ...arcPoints(first, radius, to, to + turnFrom(to, about(first))),
    ...arcPoints(last, radius, from - turnFrom(about(last), from), from),
  ];
}

/** Directions from the centre to an arc's ends, rad, counter-clockwise from the first. */
function directions(arc: Arc): [number, number] {
  const { x, y } = arc.sweep > 0 ? arc.start : arc.end;
  const from = Math.atan2(y - arc.center.y, x - arc.center.x);
  return [from, from + Math.abs(arc.sweep)];
}

const TURN = 2 * Math.PI;

/** The way counter-clockwise from one direction to another, rad. */
const turnFrom = (a: number, b: number): number =>
  (((b - a) % TURN) + TURN) % TURN;

const onCircle = (c: Vec, radius: number, angle: number): Vec => ({
  x: c.x + radius * Math.cos(angle),
  y: c.y + radius * Math.sin(angle),
});

function circle(center: Vec, radius: number): Vec[] {
  return arcPoints(center, radius, 0, TURN).slice(1);
}

/** Points about a circle from one direction to another, whichever way, whose chords stay within `KERF_CHORD` of it. */
function arcPoints(
  center: Vec,
  radius: number,
  from: number,
  to: number,
): Vec[] {
  const n = Math.max(1, Math.ceil(Math.abs(to - from) / chordAngle(radius)));
  return Array.from({ length: n + 1 }, (_, k) =>
    onCircle(center, radius + KERF_CHORD, from + ((to - from) * k) / n),
  );
}

/** rad of one chord as far inside the circle in its middle as its ends are outside: (r + c) cos(a/2) = r - c. */
const chordAngle = (radius: number): number =>
  2 * Math.acos(Math.max(0, radius - KERF_CHORD) / (radius + KERF_CHORD));
