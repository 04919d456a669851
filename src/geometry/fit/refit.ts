/**
 * Chains of short chords become the curves they were made from: tangent arcs and lines, corners kept. Only for those
 * who ask: a polygon may be meant too.
 */
import { noStep, type OnStep } from "../../base/pace.js";
import { SAME_DRAWN } from "../../base/tolerance.js";
import { type Contour, circleContour, contourLength } from "../contour.js";
import { distanceToSegment } from "../distance.js";
import {
  pointAt,
  type Segment,
  segmentFromBulge,
  segmentLength,
  tangentAt,
} from "../segment.js";
import { angleBetween, distance, lerp, rotate, type Vec } from "../vec.js";
import { circleThrough } from "./circle-through.js";
import { fitArcs } from "./fit-arcs.js";
import type { Curve } from "./fit-error.js";
import {
  circleTangent,
  partsOf,
  ROUNDED,
  type Stretch,
  sagittaOf,
} from "./flattened.js";

/** Where the result is farthest from what was drawn, and how far (mm). */
interface Off {
  readonly at: Vec;
  readonly size: number;
}

export interface Refitted extends Off {
  readonly contour: Contour;
  /** Chords that arcs and lines now stand for. */
  readonly chords: number;
}

/**
 * Chords no further than `tolerance` (mm) inside a curve become arcs and lines that pass their ends within what that
 * leaves. `null` when nothing in the contour looks flattened, or nothing fits.
 */
export function refitChords(
  c: Contour,
  tolerance: number,
  onStep: OnStep = noStep,
): Refitted | null {
  let chords = 0;
  let worst: Off | null = null;
  const segments: Segment[] = [];
  for (const part of partsOf(c, tolerance)) {
    if (!("chords" in part)) {
      segments.push(part);
      continue;
    }
    const fitted = fitStretch(part, tolerance, onStep);
    segments.push(...(fitted?.segments ?? part.chords));
    if (fitted === null) continue;
    chords += part.chords.length;
    if (worst === null || fitted.off.size > worst.size) worst = fitted.off;
  }
  if (worst === null) return null;
  return { contour: { closed: c.closed, segments }, chords, ...worst };
}

/** What is left for the arcs of the tolerance, beside the chords' own flatness: at least this share. */
const LEAST_LEFT = 0.1;

/** One circle, else one arc, else as many as it takes; `null` when none of them stays near. */
function fitStretch(
  s: Stretch,
  tolerance: number,
  onStep: OnStep,
): { segments: readonly Segment[]; off: Off } | null {
  const left = Math.max(tolerance - sagittaOf(s), LEAST_LEFT * tolerance);
  const ways = [
    () => wholeCircle(s),
    () => oneArc(s),
    () => fitArcs(curveThrough(s), { tolerance: left, onStep }),
  ];
  for (const way of ways) {
    const segments = way();
    if (segments === null || segments.length === 0) continue;
    const off = worstOff(s.chords, segments);
    if (off.size <= ROUNDED * tolerance) return { segments, off };
  }
  return null;
}

function wholeCircle({ chords }: Stretch): readonly Segment[] | null {
  const first = chords[0] as Segment;
  const last = chords.at(-1) as Segment;
  if (first.start.x !== last.end.x || first.start.y !== last.end.y) return null;
  const points = chords.map((c) => c.start);
  const circle = circleThrough(points);
  if (circle === null) return null;
  const { center, radius } = circle;
  const around = chords.reduce(
    (sum, c) =>
      sum +
      angleBetween(
        { x: c.start.x - center.x, y: c.start.y - center.y },
        { x: c.end.x - center.x, y: c.end.y - center.y },
      ),
    0,
  );
  if (Math.abs(Math.abs(around) - 2 * Math.PI) > 1) return null;
  return circleContour(center, radius).segments;
}

/** More askew (rad) of its neighbours an arc is no part of a smooth outline. */
const NEARLY_TANGENT = 0.001;

function oneArc({ chords, set, arrive }: Stretch): Segment[] | null {
  const start = (chords[0] as Segment).start;
  const end = (chords.at(-1) as Segment).end;
  const circle = circleThrough([...chords.map((c) => c.start), end]);
  if (circle === null || distance(start, end) <= SAME_DRAWN) return null;
  const turn = chords.reduce((sum, c, i) => {
    const next = chords[i + 1];
    return next ? sum + angleBetween(tangentAt(c, 1), tangentAt(next, 0)) : sum;
  }, 0);
  // By the ends' own directions from the centre; the turn between the chords says which way, and how often, round.
  const from = { x: start.x - circle.center.x, y: start.y - circle.center.y };
  const to = { x: end.x - circle.center.x, y: end.y - circle.center.y };
  let sweep = angleBetween(from, to);
  if (turn > 0 && sweep < 0) sweep += 2 * Math.PI;
  if (turn < 0 && sweep > 0) sweep -= 2 * Math.PI;
  const arc = segmentFromBulge(start, end, Math.tan(sweep / 4));
  if (arc?.kind !== "arc") return null;
  const askew = (direction: Vec | null, t: 0 | 1): boolean =>
    direction !== null &&
    Math.abs(angleBetween(direction, tangentAt(arc, t))) > NEARLY_TANGENT;
  if (askew(set, 0) || askew(arrive, 1)) return null;
  return [arc];
}

/** A smooth curve through all ends of the chords, on a circle wherever they are: cubics along the circles' tangents. */
function curveThrough({ chords, set, arrive }: Stretch): Curve {
  const n = chords.length;
  const points = [
    ...chords.map((c) => c.start),
    (chords.at(-1) as Segment).end,
  ];
  const between = chords
    .slice(1)
    .map((c, i) => circleTangent(chords[i] as Segment, c));
  const mirrored = (chord: Segment, inner: Vec): Vec =>
    rotate(inner, 2 * angleBetween(inner, tangentAt(chord, 0)));
  const tangents = [
    set ?? mirrored(chords[0] as Segment, between[0] as Vec),
    ...between,
    arrive ?? mirrored(chords[n - 1] as Segment, between.at(-1) as Vec),
  ];
  const controls = (t: number): { p: readonly Vec[]; k: number } => {
    const i = Math.min(n - 1, Math.floor(t));
    const a = points[i] as Vec;
    const d = points[i + 1] as Vec;
    const u = tangents[i] as Vec;
    const v = tangents[i + 1] as Vec;
    const third = distance(a, d) / 3;
    const b = { x: a.x + third * u.x, y: a.y + third * u.y };
    const c = { x: d.x - third * v.x, y: d.y - third * v.y };
    return { p: [a, b, c, d], k: t - i };
  };
  return {
    knots: points.map((_, i) => i),
    at: (t) => {
      const { p, k } = controls(t);
      return casteljau(p, k)[0] as Vec;
    },
    tangent: (t) => {
      const whole = tangents[t];
      if (whole) return whole;
      const { p, k } = controls(t);
      const [a, b] = casteljau(p, k, 2) as [Vec, Vec];
      const l = distance(a, b);
      return { x: (b.x - a.x) / l, y: (b.y - a.y) / l };
    },
  };
}

/** de Casteljau's scheme down to `left` points: 1 is the point of the curve, 2 lie on its tangent. */
function casteljau(
  points: readonly Vec[],
  k: number,
  left = 1,
): readonly Vec[] {
  let d = points;
  while (d.length > left) d = d.slice(1).map((b, i) => lerp(d[i] as Vec, b, k));
  return d;
}

/** Where the chords, at their ends and middles, are farthest from what is to stand for them. */
function worstOff(chords: readonly Segment[], fitted: readonly Segment[]): Off {
  let worst: Off = { at: (chords[0] as Segment).start, size: 0 };
  // Both run the same way: the nearest piece is never far behind the one before.
  const whole = contourLength({ closed: false, segments: fitted });
  const drawn = contourLength({ closed: false, segments: chords });
  const ends = fitted.map(() => 0);
  fitted.forEach((s, i) => {
    ends[i] = (ends[i - 1] ?? 0) + segmentLength(s) / whole;
  });
  let passed = 0;
  let near = 0;
  for (const c of chords)
    for (const t of [0, 0.5]) {
      const p = pointAt(c, t);
      const share = (passed + t * segmentLength(c)) / drawn;
      while (near < fitted.length - 1 && (ends[near] as number) < share) near++;
      const size = Math.min(
        ...[near - 1, near, near + 1].flatMap((i) => {
          const s = fitted[i];
          return s ? [distanceToSegment(s, p.x, p.y)] : [];
        }),
      );
      if (size > worst.size) worst = { at: p, size };
      if (t === 0.5) passed += segmentLength(c);
    }
  return worst;
}
