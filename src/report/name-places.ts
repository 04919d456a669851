/**
 * Where the names of outlines stand, on a sheet as on the screen: on the slug where they fit, at its middle or its
 * roomiest place; else beside the outline, on a leader. Never on a line, a mark or another name, and on the wire's way
 * of travel only where that is told and there is no room beside it. Pure; everything in mm of the drawing, y up.
 */
import Flatbush from "flatbush";
import { windingNumber } from "../geometry/contour.js";
import { distanceToSegment, nearestOnSegment } from "../geometry/distance.js";
import {
  type Box,
  boxesTouch,
  grownBox,
  line,
  segmentBox,
} from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import {
  type Chain,
  chainOf,
  discBox,
  type Ground,
  type Outline,
} from "./name-ground.js";

/** One way of writing a name: so wide, in so many lines of text, on what it names or beside it. */
export interface Writing {
  /** Whether it may stand on the wire's way of travel where there is no room beside that. */
  readonly crosses: boolean;
  readonly width: number;
  readonly lines: number;
  readonly lineHeight: number;
  readonly where: "on" | "beside";
}

export interface Name {
  /** Which of the ground's outlines. */
  readonly outline: number;
  /** The place on the slug that is tried first. */
  readonly middle: Vec | null;
  /** The first that finds a place is taken. */
  readonly writings: readonly Writing[];
}

export interface NamePlace {
  /** Which of the name's writings. */
  readonly writing: number;
  readonly at: Vec;
  readonly box: Box;
  /** From the box to the outline; null on the slug. */
  readonly leader: readonly [Vec, Vec] | null;
}

/** From an outline's box to a name beside it, in heights of a line of text. */
const BESIDE = [0.8, 2, 3.7] as const;
const FARTHEST = BESIDE[2];
/** A grid over an outline's box has so many cells to a side; a name is tried at their corners, its middle among them. */
const CELLS = 12;
/** Air around a name, in heights of a line of text. */
const AIR = 0.2;

/**
 * Earlier names have the first choice; null for a name without a place.
 *
 * @param taken rooms of marks and the like.
 */
export function placeNames(
  { outlines, lines, faint, holes }: Ground,
  names: readonly Name[],
  window: Box,
  taken: readonly Box[],
): (NamePlace | null)[] {
  const full = found([...holes, ...taken], (box) => box);
  const drawn = found(lines, (chain) => chain.box);
  const inside = found(outlines, (o) => o.box);
  const crossed = found(faint, (chain) => chain.box);
  // What the names add to it.
  const named: Box[] = [];
  const leaders: Chain[] = [];
  return names.map((name) => {
    const outline = outlines[name.outline];
    if (!outline) return null;
    const reach = Math.max(
      ...name.writings.map((w) =>
        w.where === "on"
          ? 0
          : FARTHEST * w.lineHeight + Math.max(w.width, heightOf(w)),
      ),
    );
    const region = grownBox(outline.box, reach);
    const place = placeName(outline, name, {
      window,
      outlines: inside(region).filter((o) => o.depth > outline.depth),
      // Its own outline comes first: what is farther off need not be measured then.
      lines: [
        outline,
        ...drawn(region).filter((chain) => chain !== outline),
        ...leaders.filter((chain) => boxesTouch(chain.box, region)),
      ],
      faint: crossed(region),
      taken: [...full(region), ...named.filter((b) => boxesTouch(b, region))],
    });
    if (place) named.push(place.box);
    if (place?.leader) leaders.push(chainOf([line(...place.leader)]));
    return place;
  });
}

/** What of many things touches a region, in their order. */
function found<T>(
  things: readonly T[],
  boxOf: (thing: T) => Box,
): (region: Box) => T[] {
  if (things.length === 0) return () => [];
  const tree = new Flatbush(things.length);
  for (const { minX, minY, maxX, maxY } of things.map(boxOf))
    tree.add(minX, minY, maxX, maxY);
  tree.finish();
  return ({ minX, minY, maxX, maxY }) =>
    tree
      .search(minX, minY, maxX, maxY)
      .sort((a, b) => a - b)
      .map((i) => things[i] as T);
}

interface Around extends Omit<Ground, "holes"> {
  readonly window: Box;
  readonly taken: readonly Box[];
}

function placeName(
  outline: Outline,
  name: Name,
  around: Around,
): NamePlace | null {
  const { middle } = name;
  let roomy: readonly Place[] | null = null;
  const placesOn = function* (): Iterable<Place> {
    if (middle && isOn(outline, around, middle))
      yield { at: middle, room: roomAt(around.lines, middle) };
    // Worked out only where the middle is not good enough, and once for all writings.
    roomy ??= roomyPlaces(outline, around);
    yield* roomy;
  };
  for (const [i, writing] of name.writings.entries()) {
    const isBeside = writing.where === "beside";
    if (!isBeside && !mayHold(outline.box, writing)) continue;
    const placeAt = (at: Vec): NamePlace => {
      const box = boxAround(at, writing);
      const leader = isBeside ? leaderTo(outline, box, at) : null;
      return { writing: i, at, box, leader };
    };
    const places = isBeside ? placesBeside(outline.box, writing) : placesOn();
    const place = bestOf(places, placeAt, writing, around);
    if (place) return place;
  }
  return null;
}

/** The first that is clear of everything; else, where the writing may, the first that has nothing but travel under it. */
function bestOf(
  places: Iterable<Place>,
  placeAt: (at: Vec) => NamePlace,
  writing: Writing,
  around: Around,
): NamePlace | null {
  const least = Math.min(writing.width, heightOf(writing)) / 2;
  let second: NamePlace | null = null;
  for (const { at, room } of places) {
    if (room < least || !isClear(at, writing, around)) continue;
    const place = placeAt(at);
    const { box, leader } = place;
    if (leader && around.taken.some((other) => crosses(leader, other)))
      continue;
    if (!isOver(around.faint, box, writing)) return place;
    if (writing.crosses) second ??= place;
  }
  return second;
}

function mayHold(box: Box, writing: Writing): boolean {
  return (
    box.maxX - box.minX >= writing.width &&
    box.maxY - box.minY >= heightOf(writing)
  );
}

interface Place {
  readonly at: Vec;
  /** To the nearest line, as far as it is known. */
  readonly room: number;
}

/** Places on a grid over what is seen of an outline's inside, the one farthest from every line first. */
function roomyPlaces(outline: Outline, around: Around): readonly Place[] {
  const { box } = outline;
  const { window, lines } = around;
  const minX = Math.max(box.minX, window.minX);
  const minY = Math.max(box.minY, window.minY);
  const wide = Math.min(box.maxX, window.maxX) - minX;
  const high = Math.min(box.maxY, window.maxY) - minY;
  const steps = Array.from({ length: CELLS - 1 }, (_, i) => (i + 1) / CELLS);
  return steps
    .flatMap((u) =>
      steps.map((v) => ({ x: minX + wide * u, y: minY + high * v })),
    )
    .filter((at) => isOn(outline, around, at))
    .map((at) => ({ at, room: roomAt(lines, at) }))
    .sort((a, b) => b.room - a.room);
}

function roomAt(lines: readonly Chain[], { x, y }: Vec): number {
  let room = Number.POSITIVE_INFINITY;
  for (const { box, segments } of lines)
    if (boxesTouch(box, discBox(x, y, room)))
      for (const s of segments)
        room = Math.min(room, distanceToSegment(s, x, y));
  return room;
}

/** In the outline, and in none of those that lie in it. */
function isOn(outline: Outline, { outlines }: Around, p: Vec): boolean {
  const holds = ({ box, contour }: Outline): boolean =>
    boxesTouch(discBox(p.x, p.y, 0), box) && windingNumber(contour, p) !== 0;
  return holds(outline) && !outlines.some(holds);
}

function isClear(at: Vec, writing: Writing, around: Around): boolean {
  const { window, taken, lines } = around;
  const box = boxAround(at, writing);
  const room = grownBox(box, AIR * writing.lineHeight);
  return (
    room.minX >= window.minX &&
    room.minY >= window.minY &&
    room.maxX <= window.maxX &&
    room.maxY <= window.maxY &&
    !taken.some((other) => boxesTouch(other, room)) &&
    !isOver(lines, box, writing)
  );
}

function isOver(
  lines: readonly Chain[],
  box: Box,
  { lineHeight }: Writing,
): boolean {
  return squaresOf(box, lineHeight).some((p) => isOnLine(lines, p, lineHeight));
}

/** In how many of the squares that it is made of a text has a line under it. */
export function squaresOver(
  lines: readonly Chain[],
  box: Box,
  lineHeight: number,
): number {
  return squaresOf(box, lineHeight).filter((p) =>
    isOnLine(lines, p, lineHeight),
  ).length;
}

/** Middles of squares no larger than a line of text is high. */
function squaresOf(box: Box, lineHeight: number): Vec[] {
  const [wide, high] = [box.maxX - box.minX, box.maxY - box.minY];
  const columns = Math.ceil(wide / lineHeight);
  const rows = Math.max(1, Math.round(high / lineHeight));
  return Array.from({ length: rows * columns }, (_, i) => ({
    x: box.minX + (wide * ((i % columns) + 0.5)) / columns,
    y: box.minY + (high * (Math.floor(i / columns) + 0.5)) / rows,
  }));
}

/** A disc around a square covers it, with as much air at its sides as a name wants. */
function isOnLine(
  lines: readonly Chain[],
  { x, y }: Vec,
  lineHeight: number,
): boolean {
  const reach = lineHeight * Math.SQRT1_2;
  const disc = discBox(x, y, reach);
  return lines.some(
    ({ box, segments }) =>
      boxesTouch(disc, box) &&
      segments.some((s) => distanceToSegment(s, x, y) < reach),
  );
}

/** Places along a side of an outline's box, from its middle outward, as shares of half the side. */
const ALONG = [0, -0.5, 0.5, -1, 1] as const;

/** Around an outline's box: below, above, to the right, to the left, then the corners; near first. */
function placesBeside(box: Box, writing: Writing): Place[] {
  const along = (low: number, high: number, share: number): number =>
    (low + high + share * (high - low)) / 2;
  return BESIDE.flatMap((far) => {
    const gap = far * writing.lineHeight;
    const [across, up] = [gap + writing.width / 2, gap + heightOf(writing) / 2];
    const [left, right] = [box.minX - across, box.maxX + across];
    const [below, above] = [box.minY - up, box.maxY + up];
    return [
      ...ALONG.flatMap((share) => {
        const x = along(box.minX, box.maxX, share);
        const y = along(box.minY, box.maxY, share);
        return [
          { x, y: below },
          { x, y: above },
          { x: right, y },
          { x: left, y },
        ];
      }),
      { x: right, y: below },
      { x: left, y: above },
      { x: left, y: below },
      { x: right, y: above },
    ].map((at) => ({ at, room: Number.POSITIVE_INFINITY }));
  });
}

/** From the nearest point of a name's box to the outline's nearest point. */
function leaderTo(
  { segments }: Outline,
  box: Box,
  at: Vec,
): readonly [Vec, Vec] {
  const to = segments
    .map((s) => nearestOnSegment(s, at))
    .reduce((a, b) => (b.distance < a.distance ? b : a)).at;
  return [
    {
      x: Math.min(box.maxX, Math.max(box.minX, to.x)),
      y: Math.min(box.maxY, Math.max(box.minY, to.y)),
    },
    to,
  ];
}

/** Whether a stretch runs through a box: it does not where its box is elsewhere, or all corners lie on one side of it. */
function crosses([a, b]: readonly [Vec, Vec], box: Box): boolean {
  if (!boxesTouch(segmentBox(line(a, b)), box)) return false;
  const sides = [
    [box.minX, box.minY],
    [box.maxX, box.minY],
    [box.minX, box.maxY],
    [box.maxX, box.maxY],
  ].map(([x = 0, y = 0]) =>
    Math.sign((b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x)),
  );
  return !(sides.every((s) => s > 0) || sides.every((s) => s < 0));
}

function heightOf({ lines, lineHeight }: Writing): number {
  return lines * lineHeight;
}

function boxAround({ x, y }: Vec, writing: Writing): Box {
  const [w, h] = [writing.width / 2, heightOf(writing) / 2];
  return { minX: x - w, maxX: x + w, minY: y - h, maxY: y + h };
}
