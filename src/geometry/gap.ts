/** The gap between two walls, in closed form. */
import {
  PARALLEL_SLACK,
  SAME_DIRECTION,
  SAME_DRAWN,
  SAME_POINT,
} from "../base/tolerance.js";
import {
  arcFeet,
  type Foot,
  feetOn,
  innerFoot,
  sharedStretch,
  vertexFoot,
  type Wall,
  type Way,
} from "./feet.js";
import { type Arc, type Line, pointAt } from "./segment.js";
import { taperedGap } from "./taper.js";
import {
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
  return tapered ? [...gaps, gap(...tapered.ends)] : gaps;
}

function gap(a: Vec, b: Vec): Gap {
  return { width: distance(a, b), at: lerp(a, b, 0.5), ends: [a, b] };
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
