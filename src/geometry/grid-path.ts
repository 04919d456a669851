/**
 * A path on the writing grid: whole multiples of the resolution, so that what is written is what was chosen. Joints go to
 * the nearest place that does not cut deeper into the metal kept beside the path; a centre is chosen among its
 * neighbours so that the written arc stays nearest to the planned one, does not cut deeper either, and both its radii
 * agree.
 */
import {
  ARC_RADIUS_AGREEMENT,
  flatBulge,
  GRID_GOUGE,
  LARGEST_WRITTEN_RADIUS,
  SAME_DIRECTION,
} from "../base/tolerance.js";
import {
  type Arc,
  pointAt,
  type Segment,
  subSegment,
  tangentAt,
} from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";

/** A place on the grid, counted in steps. */
export interface GridPoint {
  readonly x: number;
  readonly y: number;
}

export type GridMove =
  | { readonly kind: "line"; readonly to: GridPoint }
  | {
      readonly kind: "arc";
      readonly to: GridPoint;
      /** Centre, counted from the start. */
      readonly i: number;
      readonly j: number;
      readonly counterClockwise: boolean;
    };

/** The nearest place; `step` is the grid's width in mm. Never minus zero. */
export function onGrid(p: Vec, step: number): GridPoint {
  return { x: Math.round(p.x / step) + 0, y: Math.round(p.y / step) + 0 };
}

const same = (a: GridPoint, b: GridPoint): boolean =>
  a.x === b.x && a.y === b.y;

/** On which side of the path no metal is kept; null: on either. */
export type FreeSide = "left" | "right" | null;

interface Grid {
  /** mm. */
  readonly step: number;
  readonly free: FreeSide;
}

export interface GridPath {
  readonly start: GridPoint;
  readonly moves: readonly GridMove[];
}

/** `route`: segments that each begin where the one before ends, one at least. `step`: the grid's width in mm. */
export function gridPath(
  route: readonly Segment[],
  step: number,
  free: FreeSide,
): GridPath {
  const grid = { step, free };
  const joints = route.map((s, k) =>
    joint(
      s.start,
      [
        ...(k > 0 ? [tangentAt(route[k - 1] as Segment, 1)] : []),
        tangentAt(s, 0),
      ],
      grid,
    ),
  );
  const last = route.at(-1) as Segment;
  joints.push(joint(last.end, [tangentAt(last, 1)], grid));
  return {
    start: joints[0] as GridPoint,
    moves: route.flatMap((s, k) =>
      gridMoves(s, joints[k] as GridPoint, joints[k + 1] as GridPoint, grid),
    ),
  };
}

/** Places looked at about the nearest one, in steps to each side: enough for two walls that meet at 30°. */
const AROUND = 3;

/**
 * Where a joint with the given directions of travel goes: to the nearest place that lies no deeper than `GRID_GOUGE` in
 * the metal beside them; where there is none about, to the least deep.
 */
function joint(
  p: Vec,
  tangents: readonly Vec[],
  { step, free }: Grid,
): GridPoint {
  const nearest = onGrid(p, step);
  if (free === null) return nearest;
  const sense = free === "left" ? 1 : -1;
  const tooDeep = (at: GridPoint): number => {
    const dx = at.x * step - p.x;
    const dy = at.y * step - p.y;
    const depths = tangents.map((t) => sense * (dx * t.y - dy * t.x));
    return Math.max(0, Math.max(...depths) - GRID_GOUGE);
  };
  let best = { at: nearest, deep: tooDeep(nearest), off: 0 };
  if (best.deep === 0) return nearest;
  best.off = Number.POSITIVE_INFINITY;
  for (let i = -AROUND; i <= AROUND; i++)
    for (let j = -AROUND; j <= AROUND; j++) {
      const at = { x: nearest.x + i, y: nearest.y + j };
      const deep = tooDeep(at);
      const off = Math.hypot(at.x * step - p.x, at.y * step - p.y);
      if (deep < best.deep || (deep === best.deep && off < best.off))
        best = { at, deep, off };
    }
  return best.at;
}

/**
 * A planned segment as moves on the grid, from one joint to the next. Empty when it is too short to be told from a
 * point.
 */
function gridMoves(
  s: Segment,
  from: GridPoint,
  to: GridPoint,
  grid: Grid,
): GridMove[] {
  if (s.kind === "line") return same(from, to) ? [] : [{ kind: "line", to }];
  // A full circle has two halves at least, and no written arc turns by more than half.
  const turns = Math.abs(s.sweep) / Math.PI;
  if (turns > 1 + SAME_DIRECTION)
    return inParts(s, Math.ceil(turns - SAME_DIRECTION), from, to, grid);
  const bulge = s.radius * (1 - Math.cos(s.sweep / 2));
  const flat = flatBulge(grid.step);
  if (bulge <= flat) return same(from, to) ? [] : [{ kind: "line", to }];
  if (s.radius >= LARGEST_WRITTEN_RADIUS)
    return inParts(s, Math.ceil(Math.sqrt(bulge / flat)), from, to, grid);
  const arc = same(from, to) ? null : arcOnGrid(s, from, to, grid);
  if (arc) return [arc];
  // No centre on the grid does it justice: a line, where rounding has pressed the arc flat, or a half each.
  if (!same(from, to) && lineDoes(s, from, to, grid))
    return [{ kind: "line", to }];
  return inParts(s, 2, from, to, grid);
}

/** Is a line between two joints a likeness of a planned arc that cuts no deeper? */
function lineDoes(
  s: Arc,
  from: GridPoint,
  to: GridPoint,
  { step, free }: Grid,
): boolean {
  const chord = { x: to.x - from.x, y: to.y - from.y };
  const long = Math.hypot(chord.x, chord.y);
  // Planned places, counted to the free side of the line; kept metal on neither side is kept on both.
  const sense = free === "right" ? -1 : 1;
  return SAMPLES.every((t) => {
    const p = pointAt(s, t);
    const x = p.x / step - from.x;
    const y = p.y / step - from.y;
    const off = (sense * (chord.x * y - chord.y * x)) / long;
    const deepest = GRID_GOUGE / step;
    return off <= deepest && off >= (free === null ? -deepest : -LIKENESS);
  });
}

function inParts(
  s: Arc,
  parts: number,
  from: GridPoint,
  to: GridPoint,
  grid: Grid,
): GridMove[] {
  const moves: GridMove[] = [];
  let at = from;
  for (let k = 0; k < parts; k++) {
    const part = subSegment(s, k / parts, (k + 1) / parts);
    const next =
      k === parts - 1 ? to : joint(part.end, [tangentAt(part, 1)], grid);
    moves.push(...gridMoves(part, at, next, grid));
    at = next;
  }
  return moves;
}

/** Places along the planned arc at which the written one is compared with it. */
const SAMPLES = [0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875];

/** A written arc further off than this many steps is no likeness. */
const LIKENESS = 1;

/** How far the written turn (rad) may differ from the planned one: far more, and it runs the other way round. */
const TURN_LIKENESS = 0.6;

/**
 * The best centre among the 25 grid places about the ideal one; null when none makes a likeness of the arc, with radii
 * that agree and without cutting too deep.
 */
function arcOnGrid(
  s: Arc,
  from: GridPoint,
  to: GridPoint,
  { step, free }: Grid,
): GridMove | null {
  const ideal = idealCenter(s, from, to, step);
  if (!ideal) return null;
  // Sample points in steps from `from`, so that far-off drawings keep their digits.
  const planned = (t: number): Vec => {
    const p = pointAt(s, t);
    return { x: p.x / step - from.x, y: p.y / step - from.y };
  };
  const samples = SAMPLES.map(planned);
  // Joints may lie off along the path as well, which says nothing of the arc's likeness.
  const ends = [planned(0), planned(1)];
  const end = { x: to.x - from.x, y: to.y - from.y };
  const sense = Math.sign(s.sweep);
  const disagreement = ARC_RADIUS_AGREEMENT / step;
  const depth = GRID_GOUGE / step;
  // 1: metal is kept outside of the arc, -1: inside, 0: on neither side.
  const kept = free === null ? 0 : (free === "left") === sense > 0 ? 1 : -1;
  let best: { i: number; j: number; score: number } | null = null;
  const i0 = Math.round(ideal.x);
  const j0 = Math.round(ideal.y);
  for (let i = i0 - 2; i <= i0 + 2; i++)
    for (let j = j0 - 2; j <= j0 + 2; j++) {
      const atStart = Math.sqrt(i * i + j * j);
      const atEnd = Math.sqrt((end.x - i) ** 2 + (end.y - j) ** 2);
      if (atStart === 0 || atEnd === 0) continue;
      // Readers take the radius from the start, from the end, or between: all must be near.
      let score = Math.abs(atStart - atEnd);
      if (score > disagreement) continue;
      const outermost = kept * (kept > 0 ? Math.max : Math.min)(atStart, atEnd);
      const tooDeep = (r: number): boolean => outermost - kept * r > depth;
      if (ends.some((p) => tooDeep(Math.hypot(p.x - i, p.y - j)))) continue;
      for (const p of samples) {
        if (score > LIKENESS || (best && score >= best.score)) break;
        const r = Math.sqrt((p.x - i) ** 2 + (p.y - j) ** 2);
        score = tooDeep(r)
          ? Number.POSITIVE_INFINITY
          : Math.max(score, Math.abs(r - atStart), Math.abs(r - atEnd));
      }
      if (score > LIKENESS || (best && score >= best.score)) continue;
      const dot = -i * (end.x - i) - j * (end.y - j);
      const cross = -i * (end.y - j) + j * (end.x - i);
      let turn = sense * Math.atan2(cross, dot);
      if (turn < 0) turn += 2 * Math.PI;
      if (Math.abs(turn - Math.abs(s.sweep)) > TURN_LIKENESS) continue;
      best = { i, j, score };
    }
  if (!best) return null;
  return { kind: "arc", to, i: best.i, j: best.j, counterClockwise: sense > 0 };
}

/**
 * Centre, in steps from `from`, of the circle through both rounded ends whose bulge reaches the planned arc's middle:
 * r = (h² + c²/4) / 2h with chord c and height h (chord and sagitta). Null when rounding leaves no bulge.
 */
function idealCenter(
  s: Arc,
  from: GridPoint,
  to: GridPoint,
  step: number,
): Vec | null {
  const ex = to.x - from.x;
  const ey = to.y - from.y;
  const chord = Math.hypot(ex, ey);
  const middle = pointAt(s, 0.5);
  const mx = middle.x / step - from.x - ex / 2;
  const my = middle.y / step - from.y - ey / 2;
  // Unit normal of the chord towards the bulge: right of travel for a counter-clockwise arc.
  const side = Math.sign(s.sweep);
  const nx = (side * ey) / chord;
  const ny = (-side * ex) / chord;
  const height = mx * nx + my * ny;
  // Rounding has pressed the arc flat.
  if (height <= 0) return null;
  const radius = (height * height + (chord * chord) / 4) / (2 * height);
  if (radius * step >= LARGEST_WRITTEN_RADIUS) return null;
  return {
    x: ex / 2 + nx * (height - radius),
    y: ey / 2 + ny * (height - radius),
  };
}
