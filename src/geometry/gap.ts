/** The gap between two walls, in closed form. A wall is a segment seen from one side, with the vertex it starts at. */
import {
  NEARLY_PARALLEL,
  PARALLEL_SLACK,
  SAME_DIRECTION,
  SAME_DRAWN,
  SAME_POINT,
} from "../base/tolerance.js";
import {
  type Arc,
  arcFraction,
  type Line,
  pointAt,
  type Segment,
  tangentAt,
} from "./segment.js";
import {
  along,
  angleBetween,
  cross,
  distance,
  dot,
  lerp,
  negate,
  sub,
  unit,
  type Vec,
} from "./vec.js";

export interface Gap {
  readonly width: number;
  /** Middle of the gap. */
  readonly at: Vec;
  readonly ends: readonly [Vec, Vec];
}

export interface Wall {
  readonly segment: Segment;
  /** The segment that ends where this one starts. */
  readonly before: Segment;
  /** +1 when seen from its left, −1 from its right. */
  readonly side: 1 | -1;
}

/** Every gap that is locally the narrowest between the two; none when they do not face each other. */
export function gapBetween(a: Wall, b: Wall): Gap[] {
  const pairs: (readonly [Foot, Foot])[] = [];
  for (const [p, q] of innerPairs(a, b)) pairs.push([p, q]);
  for (const foot of feetOn(b, a.segment.start))
    pairs.push([vertexFoot(a), foot]);
  for (const foot of feetOn(a, b.segment.start))
    pairs.push([foot, vertexFoot(b)]);
  pairs.push([vertexFoot(a), vertexFoot(b)]);
  const gaps = pairs.flatMap(([p, q]) =>
    isLocallyNarrowest(p, q) ? [gap(p.at, q.at)] : [],
  );
  const tapered = taperedGap(a, b);
  return tapered ? [...gaps, tapered] : gaps;
}

function gap(a: Vec, b: Vec): Gap {
  return { width: distance(a, b), at: lerp(a, b, 0.5), ends: [a, b] };
}

/** A point of a wall and the two ways on from it. */
interface Foot {
  readonly at: Vec;
  readonly side: 1 | -1;
  readonly ways: readonly Way[];
}

interface Way {
  /** Unit direction away from the foot. */
  readonly out: Vec;
  /** Unit direction of travel there. */
  readonly travel: Vec;
  /** Centre of the bend, `null` on a line. */
  readonly center: Vec | null;
}

function innerFoot(wall: Wall, at: Vec, t: number): Foot {
  const travel = tangentAt(wall.segment, t);
  const center = wall.segment.kind === "arc" ? wall.segment.center : null;
  return {
    at,
    side: wall.side,
    ways: [
      { out: travel, travel, center },
      { out: negate(travel), travel, center },
    ],
  };
}

function vertexFoot({ segment, before, side }: Wall): Foot {
  const onward = tangentAt(segment, 0);
  const backward = tangentAt(before, 1);
  return {
    at: segment.start,
    side,
    ways: [
      {
        out: onward,
        travel: onward,
        center: segment.kind === "arc" ? segment.center : null,
      },
      {
        out: negate(backward),
        travel: backward,
        center: before.kind === "arc" ? before.center : null,
      },
    ],
  };
}

/**
 * With D the distance and κ the bend of each side towards the other, moving both feet by s and t changes the distance
 * by (s²(1 − κa·D) − 2st + t²(1 − κb·D)) / 2D: never negative when both brackets are positive and their product is at
 * least 1. A way that leaves the other foot behind at first order needs no second look.
 */
function isLocallyNarrowest(p: Foot, q: Foot): boolean {
  const d = distance(p.at, q.at);
  if (d <= SAME_DRAWN) return false;
  const toQ = unit(sub(q.at, p.at));
  const toP = negate(toQ);
  if (!faces(p, toQ) || !faces(q, toP)) return false;
  const levelP = levelWays(p, toQ, d);
  const levelQ = levelWays(q, toP, d);
  if (levelP === null || levelQ === null) return false;
  return levelP.every(({ out, room }) =>
    levelQ.every(
      (other) =>
        dot(out, other.out) <= 0 || room * other.room >= 1 - PARALLEL_SLACK,
    ),
  );
}

/** The other foot lies on the side the wall is seen from. */
function faces({ side, ways }: Foot, toOther: Vec): boolean {
  return (
    side * ways.reduce((sum, w) => sum + cross(w.travel, toOther), 0) >
    SAME_DIRECTION
  );
}

/** Ways that neither near nor leave the other foot at first order; `null` when a way nears it. */
function levelWays(
  { at, ways }: Foot,
  toOther: Vec,
  d: number,
): { out: Vec; room: number }[] | null {
  const level: { out: Vec; room: number }[] = [];
  for (const { out, center } of ways) {
    const nearing = dot(toOther, out);
    if (nearing > SAME_DIRECTION) return null;
    if (nearing < -SAME_DIRECTION) continue;
    const bend =
      center === null
        ? 0
        : Math.sign(dot(sub(center, at), toOther)) / distance(center, at);
    const room = 1 - bend * d;
    if (room < -PARALLEL_SLACK) return null;
    level.push({ out, room });
  }
  return level;
}

/** Points of a wall whose normal goes through `p`. */
function feetOn(wall: Wall, p: Vec): Foot[] {
  const s = wall.segment;
  if (s.kind === "line") {
    const u = sub(s.end, s.start);
    const t = dot(sub(p, s.start), u) / dot(u, u);
    return t >= 0 && t <= 1
      ? [innerFoot(wall, lerp(s.start, s.end, t), t)]
      : [];
  }
  const fromCenter = sub(p, s.center);
  if (Math.hypot(fromCenter.x, fromCenter.y) <= SAME_POINT) return [];
  return arcFeet(wall, s, unit(fromCenter));
}

/** The two points of the arc's circle on the line through its centre, where they lie on the arc. */
function arcFeet(wall: Wall, s: Arc, direction: Vec): Foot[] {
  return [direction, negate(direction)].flatMap((e): Foot[] => {
    const at = along(s.center, e, s.radius);
    const t = arcFraction(s, at);
    return t <= 1 ? [innerFoot(wall, at, t)] : [];
  });
}

/** Pairs of inner points that lie on a common normal. */
function innerPairs(a: Wall, b: Wall): (readonly [Foot, Foot])[] {
  const s = a.segment;
  const r = b.segment;
  if (s.kind === "line" && r.kind === "line") return parallelPairs(a, s, b, r);
  if (s.kind === "line") return lineArcPairs(a, b, r as Arc);
  if (r.kind === "line")
    return lineArcPairs(b, a, s).map(([p, q]) => [q, p] as const);
  const between = sub(r.center, s.center);
  if (Math.hypot(between.x, between.y) <= SAME_POINT)
    return concentricPairs(a, s, b, r);
  const e = unit(between);
  return combine(arcFeet(a, s, e), arcFeet(b, r, e));
}

function combine(
  as: readonly Foot[],
  bs: readonly Foot[],
): (readonly [Foot, Foot])[] {
  return as.flatMap((p) => bs.map((q) => [p, q] as const));
}

function lineArcPairs(
  lineWall: Wall,
  arcWall: Wall,
  arc: Arc,
): (readonly [Foot, Foot])[] {
  return feetOn(lineWall, arc.center).flatMap((foot) => {
    const normal = {
      x: -(foot.ways[0] as Way).travel.y,
      y: (foot.ways[0] as Way).travel.x,
    };
    return combine([foot], arcFeet(arcWall, arc, normal));
  });
}

/** The middle of the stretch that both share, seen across. */
function parallelPairs(
  a: Wall,
  s: Line,
  b: Wall,
  r: Line,
): (readonly [Foot, Foot])[] {
  const shared = sharedStretch(s, r);
  if (shared === null) return [];
  const [from, to] = shared;
  return feetOn(b, lerp(from, to, 0.5)).map((foot) => {
    const at = lerp(from, to, 0.5);
    return [innerFoot(a, at, 0.5), foot] as const;
  });
}

/** The stretch of `s` that lies square across from `r`, as its two ends. */
function sharedStretch(s: Line, r: Line): readonly [Vec, Vec] | null {
  const u = unit(sub(s.end, s.start));
  const at = (p: Vec): number => dot(u, sub(p, s.start));
  const low = Math.max(0, Math.min(at(r.start), at(r.end)));
  const high = Math.min(
    distance(s.start, s.end),
    Math.max(at(r.start), at(r.end)),
  );
  if (high - low <= SAME_POINT) return null;
  return [along(s.start, u, low), along(s.start, u, high)];
}

/** Concentric arcs are as far apart everywhere: any direction both have will do, best one inside both. */
function concentricPairs(
  a: Wall,
  s: Arc,
  b: Wall,
  r: Arc,
): (readonly [Foot, Foot])[] {
  const tries = [
    pointAt(s, 0.5),
    pointAt(r, 0.5),
    s.start,
    s.end,
    r.start,
    r.end,
  ];
  return tries.flatMap((p) => {
    const e = unit(sub(p, s.center));
    return combine(arcFeet(a, s, e).slice(0, 1), arcFeet(b, r, e).slice(0, 1));
  });
}

/**
 * Straight walls that close by a hair have no double normal, yet make a slot: it is as wide as at its narrow end. It
 * must be longer than wide, or it is only a corner with its tip cut off.
 */
function taperedGap(a: Wall, b: Wall): Gap | null {
  const s = a.segment;
  const r = b.segment;
  if (s.kind === "arc" || r.kind === "arc") return null;
  const u = unit(sub(s.end, s.start));
  const v = unit(sub(r.start, r.end));
  const closing = Math.abs(angleBetween(u, v));
  const parallel = a.side === b.side ? closing : Math.PI - closing;
  if (parallel > NEARLY_PARALLEL) return null;
  const onS = sharedStretch(s, r);
  const onR = sharedStretch(r, s);
  if (onS === null || onR === null) return null;
  const off = (p: Vec): number => Math.abs(cross(u, sub(p, s.start)));
  const step = 4 * SAME_DRAWN + parallel * Math.max(off(r.start), off(r.end));
  const gaps = [
    ...stepIn(onS, step).flatMap((p) => feetOn(b, p).map((f) => gap(p, f.at))),
    ...stepIn(onR, step).flatMap((p) => feetOn(a, p).map((f) => gap(f.at, p))),
  ];
  const narrow = gaps.reduce<Gap | null>(
    (best, g) => (best && best.width <= g.width ? best : g),
    null,
  );
  if (narrow === null || narrow.width <= SAME_DRAWN) return null;
  if (distance(onS[0], onS[1]) <= narrow.width) return null;
  const [p, q] = narrow.ends;
  if (a.side * cross(u, sub(q, p)) <= 0) return null;
  if (b.side * cross(negate(v), sub(p, q)) <= 0) return null;
  return narrow;
}

/**
 * Both ends a step (mm) towards each other: right at its end a slot may be closed by a wall, which stands askew to the
 * line across by no more than the walls do to each other.
 */
function stepIn([from, to]: readonly [Vec, Vec], step: number): Vec[] {
  const t = Math.min(0.5, step / distance(from, to));
  return [lerp(from, to, t), lerp(from, to, 1 - t)];
}
