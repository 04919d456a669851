/**
 * The gaps between two walls, in closed form: pairs of points whose distance grows whichever way either is moved.
 *
 *      ───p────╮     Candidates are the few pairs that can be: both on a common normal (line and line, line and arc
 *         │    │     through the centre, two arcs on the line of centres), or a vertex with the foot of its normal, or
 *      ───q────╯     two vertices. Each is asked at first order (does a way near the other?) and, where the wall is
 *                    square to the gap, at second (does it bend away?): the tests of a minimum of two variables.
 *
 * O(1) for each pair of walls; `facing.ts` says which pairs are worth asking.
 */
import {
  NEARLY_PARALLEL,
  PARALLEL_SLACK,
  SAME_DIRECTION,
  SAME_DRAWN,
  SAME_POINT,
} from "../../base/tolerance.js";
import { type Arc, type Line, pointAt } from "../segment.js";
import { cross, dot, left, lerp, negate, sub, unit, type Vec } from "../vec.js";
import {
  arcFeet,
  type Foot,
  feetOn,
  sharedStretch,
  type Wall,
} from "./feet.js";
import { taperedGap } from "./taper.js";

export interface Gap {
  readonly width: number;
  /** Middle of the gap. */
  readonly at: Vec;
  readonly ends: readonly [Vec, Vec];
}

/** Every gap narrower than `limit` that is locally the narrowest between the two; none when they do not face each other. */
export function gapBetween(a: Wall, b: Wall, limit: number): Gap[] {
  const found: Found = { gaps: [], limit };
  offerInner(a, b, found);
  for (const foot of feetOn(b, a.segment.start)) offer(a.vertex, foot, found);
  for (const foot of feetOn(a, b.segment.start)) offer(foot, b.vertex, found);
  offer(a.vertex, b.vertex, found);
  const tapered = taperedGap(a, b);
  if (tapered && tapered.width < limit) found.gaps.push(gap(...tapered.ends));
  return found.gaps;
}

interface Found {
  readonly gaps: Gap[];
  readonly limit: number;
}

function offer(p: Foot, q: Foot, { gaps, limit }: Found): void {
  const width = distance(p.at, q.at);
  if (width < limit && isLocallyNarrowest(p, q, width))
    gaps.push(gap(p.at, q.at));
}

function distance(a: Vec, b: Vec): number {
  const dx = a.x - b.x;
  const dy = a.y - b.y;
  return Math.sqrt(dx * dx + dy * dy);
}

function gap(a: Vec, b: Vec): Gap {
  return { width: distance(a, b), at: lerp(a, b, 0.5), ends: [a, b] };
}

/**
 * With D the distance and κ the bend of each side towards the other, moving both feet by s and t changes the distance
 * by (s²(1 − κa·D) − 2st + t²(1 − κb·D)) / 2D: never negative when both brackets are positive and their product is at
 * least 1. A way that leaves the other foot behind at first order needs no second look.
 */
function isLocallyNarrowest(p: Foot, q: Foot, d: number): boolean {
  if (d <= SAME_DRAWN) return false;
  const toQ = { x: (q.at.x - p.at.x) / d, y: (q.at.y - p.at.y) / d };
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

/** Offers pairs of inner points that lie on a common normal. */
function offerInner(a: Wall, b: Wall, found: Found): void {
  const s = a.segment;
  const r = b.segment;
  if (s.kind === "line" && r.kind === "line") offerParallel(a, s, b, r, found);
  else if (s.kind === "line") offerAll(...lineArcFeet(a, b, r as Arc), found);
  else if (r.kind === "line") {
    const [onLine, onArc] = lineArcFeet(b, a, s);
    offerAll(onArc, onLine, found);
  } else {
    const between = sub(r.center, s.center);
    if (Math.hypot(between.x, between.y) <= SAME_POINT)
      offerConcentric(a, s, b, r, found);
    else {
      const e = unit(between);
      offerAll(arcFeet(a, s, e), arcFeet(b, r, e), found);
    }
  }
}

function offerAll(
  ps: readonly Foot[],
  qs: readonly Foot[],
  found: Found,
): void {
  for (const p of ps) for (const q of qs) offer(p, q, found);
}

/** On the normal of the line through the arc's centre. */
function lineArcFeet(
  lineWall: Wall,
  arcWall: Wall,
  arc: Arc,
): [readonly Foot[], readonly Foot[]] {
  const feet = feetOn(lineWall, arc.center);
  return feet.length === 0
    ? [feet, feet]
    : [feet, arcFeet(arcWall, arc, left(lineWall.travel))];
}

/** The middle of the stretch that both share, seen across. */
function offerParallel(a: Wall, s: Line, b: Wall, r: Line, found: Found): void {
  if (Math.abs(cross(a.travel, b.travel)) > NEARLY_PARALLEL) return;
  const shared = sharedStretch(s, r);
  if (shared === null) return;
  const middle = lerp(...shared, 0.5);
  offerAll(feetOn(a, middle), feetOn(b, middle), found);
}

/** Concentric arcs are as far apart everywhere: any direction both have will do, best one inside both. */
function offerConcentric(a: Wall, s: Arc, b: Wall, r: Arc, found: Found): void {
  for (const p of [
    pointAt(s, 0.5),
    pointAt(r, 0.5),
    s.start,
    s.end,
    r.start,
    r.end,
  ]) {
    const e = unit(sub(p, s.center));
    offerAll(arcFeet(a, s, e).slice(0, 1), arcFeet(b, r, e).slice(0, 1), found);
  }
}
