/**
 * Which walls face each other, without asking all of all: a tree over the walls holds, for each run of them, a box and
 * the range of directions they look in. Two runs are opened only when they are near enough and one can look the other
 * in the face: the spatialized normal cones of Johnson and Cohen, "Spatialized normal cone hierarchies", Symposium on
 * Interactive 3D Graphics 2001. O(n log n + pairs within the distance still asked for).
 */
import { NEARLY_PARALLEL } from "../../base/tolerance.js";
import { turnBetween } from "../contour.js";
import {
  type Box,
  type Segment,
  segmentBox,
  tangentAt,
  turnAlong,
  unionBox,
} from "../segment.js";
import { type Wall, wallOf } from "./feet.js";

/** A closed contour seen from one side: +1 its left, −1 its right. */
export interface Facing {
  readonly segments: readonly Segment[];
  readonly side: 1 | -1;
}

/** Calls `visit` for pairs that may face each other within `reach`, which may become less while it goes on. */
export function facingPairs(
  facings: readonly Facing[],
  reach: () => number,
  visit: (a: Wall, b: Wall) => void,
): void {
  const roots = facings.map((f) => runTree(leavesOf(f)));
  if (roots.length === 0) return;
  const root = placeTree(roots);
  const descend = (a: Node, b: Node): void => {
    if (a !== b && (boxDistance(a, b) >= reach() || !mayFace(a, b))) return;
    if (a.wall && b.wall) {
      if (a !== b) visit(a.wall, b.wall);
      return;
    }
    if (a === b) {
      const [l, r] = a.children as readonly [Node, Node];
      descend(l, l);
      descend(r, r);
      descend(l, r);
      return;
    }
    // The larger is opened; the nearer half first, as what it finds may spare the other.
    const [open, shut] =
      b.wall || (a.children && a.radius >= b.radius) ? [a, b] : [b, a];
    const [l, r] = open.children as readonly [Node, Node];
    const nearFirst =
      boxDistance(l, shut) <= boxDistance(r, shut) ? [l, r] : [r, l];
    for (const half of nearFirst) descend(half, shut);
  };
  descend(root, root);
}

interface Node {
  readonly box: Box;
  /** Of the circle round the box. */
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  /** Directions looked in: `look` ± `spread` (rad). */
  readonly look: number;
  readonly spread: number;
  readonly wall: Wall | null;
  readonly children: readonly [Node, Node] | null;
}

/** A wall with the range [low, high] of its angles of travel, counted on from the contour's first. */
interface Leaf {
  readonly wall: Wall;
  readonly low: number;
  readonly high: number;
}

function leavesOf({ segments, side }: Facing): Leaf[] {
  const first = tangentAt(segments[0] as Segment, 0);
  let angle = Math.atan2(first.y, first.x);
  return segments.map((segment, i): Leaf => {
    const before = segments.at(i - 1) as Segment;
    const corner = turnBetween(before, segment);
    const from = i === 0 ? angle : angle + corner;
    const arrived = from - corner;
    angle = from + turnAlong(segment);
    return {
      wall: wallOf(segment, before, side),
      low: Math.min(arrived, from, angle),
      high: Math.max(arrived, from, angle),
    };
  });
}

/** Neighbours along the contour stay together: their directions make one short range. */
function runTree(leaves: readonly Leaf[]): Node {
  const first = leaves[0] as Leaf;
  if (leaves.length === 1)
    return node(segmentBox(first.wall.segment), first, first.wall, null).node;
  return run(leaves, 0, leaves.length).node;
}

interface Run {
  readonly node: Node;
  readonly low: number;
  readonly high: number;
  readonly side: 1 | -1;
}

function run(leaves: readonly Leaf[], from: number, to: number): Run {
  if (to - from === 1) {
    const leaf = leaves[from] as Leaf;
    return node(segmentBox(leaf.wall.segment), leaf, leaf.wall, null);
  }
  const middle = (from + to) >> 1;
  const l = run(leaves, from, middle);
  const r = run(leaves, middle, to);
  const range = {
    wall: (leaves[from] as Leaf).wall,
    low: Math.min(l.low, r.low),
    high: Math.max(l.high, r.high),
  };
  return node(unionBox(l.node.box, r.node.box), range, null, [l.node, r.node]);
}

function node(
  box: Box,
  { wall: { side }, low, high }: Leaf,
  wall: Wall | null,
  children: readonly [Node, Node] | null,
): Run {
  const look = (low + high) / 2 + (side * Math.PI) / 2;
  const spread = (high - low) / 2 + NEARLY_PARALLEL;
  const whole = { box, ...circleRound(box), look, spread, wall, children };
  return { node: whole, low, high, side };
}

function circleRound({ minX, minY, maxX, maxY }: Box): {
  x: number;
  y: number;
  radius: number;
} {
  const x = (minX + maxX) / 2;
  const y = (minY + maxY) / 2;
  return { x, y, radius: Math.hypot(maxX - x, maxY - y) };
}

/** Whole contours, halved by where they lie; together they look every way. */
function placeTree(roots: readonly Node[]): Node {
  if (roots.length === 1) return roots[0] as Node;
  const box = roots.map((r) => r.box).reduce(unionBox);
  const wide = box.maxX - box.minX >= box.maxY - box.minY;
  const middle = ({ box: b }: Node): number =>
    wide ? b.minX + b.maxX : b.minY + b.maxY;
  const sorted = [...roots].sort((a, b) => middle(a) - middle(b));
  const half = sorted.length >> 1;
  const children = [
    placeTree(sorted.slice(0, half)),
    placeTree(sorted.slice(half)),
  ] as const;
  return {
    box,
    ...circleRound(box),
    look: 0,
    spread: Math.PI,
    wall: null,
    children,
  };
}

function boxDistance({ box: a }: Node, { box: b }: Node): number {
  const dx = Math.max(0, a.minX - b.maxX, b.minX - a.maxX);
  const dy = Math.max(0, a.minY - b.maxY, b.minY - a.maxY);
  return Math.sqrt(dx * dx + dy * dy);
}

/** Some point of one, looking in one of its directions, can look at some point of the other that looks back. */
function mayFace(a: Node, b: Node): boolean {
  if (!overlap(a.look, a.spread, b.look + Math.PI, b.spread)) return false;
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const between = Math.sqrt(dx * dx + dy * dy);
  const radii = a.radius + b.radius;
  if (between <= radii) return true;
  const sight = Math.atan2(dy, dx);
  const width = Math.asin(radii / between);
  return (
    overlap(a.look, a.spread, sight, width) &&
    overlap(b.look, b.spread, sight + Math.PI, width)
  );
}

/** Whether two ranges of directions, each middle ± half, have one in common. */
function overlap(a: number, halfA: number, b: number, halfB: number): boolean {
  const turns = (a - b) / (2 * Math.PI);
  const apart = Math.abs(turns - Math.round(turns)) * 2 * Math.PI;
  return apart <= halfA + halfB;
}
