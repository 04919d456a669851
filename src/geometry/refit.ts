/**
 * Chains of short chords become the curves they were made from: tangent arcs and lines, corners kept. A chord of length
 * L beside a turn θ is flatter than its curve by Lθ/8; where that is more than the tolerance, a line or a corner is
 * meant. Only for those who ask: a polygon may be meant too.
 */
import { type Contour, circleContour, contourLength } from "./contour.js";
import { distanceToSegment } from "./distance.js";
import { fitArcs } from "./fit-arcs.js";
import type { Curve } from "./fit-error.js";
import {
  pointAt,
  type Segment,
  segmentFromBulge,
  segmentLength,
  tangentAt,
} from "./segment.js";
import { angleBetween, distance, lerp, rotate, type Vec } from "./vec.js";

/** A row of chords that stand in for a smooth curve. */
interface Stretch {
  /** The chords, each beginning where the one before ends. */
  readonly chords: readonly Segment[];
  /** Unit directions that its neighbours, which are no chords, go on in; `null` at a corner or a loose end. */
  readonly set: Vec | null;
  readonly arrive: Vec | null;
}

export interface Refitted {
  readonly contour: Contour;
  /** Chords that arcs and lines now stand for. */
  readonly chords: number;
  /** Where the result is farthest from what was drawn, and how far (mm). */
  readonly at: Vec;
  readonly size: number;
}

/** `null` when nothing in the contour looks flattened, or nothing fits within `tolerance` (mm) of what is drawn. */
export function refitChords(c: Contour, tolerance: number): Refitted | null {
  const parts = partsOf(c, tolerance);
  let chords = 0;
  let at: Vec | null = null;
  let size = 0;
  const segments: Segment[] = [];
  for (const part of parts) {
    const fitted = "chords" in part ? fitStretch(part, tolerance) : null;
    const worst = fitted && "chords" in part && worstOff(part.chords, fitted);
    if (fitted && worst && worst.size <= tolerance && "chords" in part) {
      chords += part.chords.length;
      if (at === null || worst.size > size) ({ at, size } = worst);
      segments.push(...fitted);
    } else segments.push(...("chords" in part ? part.chords : [part]));
  }
  if (at === null) return null;
  return { contour: { closed: c.closed, segments }, chords, at, size };
}

/** How many chords of the contour look flattened, and by how much (mm) the flattest lie inside their curve at most. */
export function flattenedChords(
  c: Contour,
  tolerance: number,
): { readonly chords: number; readonly sagitta: number } {
  let chords = 0;
  let sagitta = 0;
  for (const part of partsOf(c, tolerance))
    if ("chords" in part) {
      chords += part.chords.length;
      sagitta = Math.max(sagitta, sagittaOf(part));
    }
  return { chords, sagitta };
}

/** Fewer chords in a row are corners that were broken, not curves. */
const FEWEST_CHORDS = 5;
/** No flattened curve turns more (rad) from chord to chord. */
const SHARPEST = Math.PI / 4;

/** Stretches, and the segments between them, in order; a closed contour may begin elsewhere. */
function partsOf(c: Contour, tolerance: number): (Stretch | Segment)[] {
  const n = c.segments.length;
  const at = (i: number): Segment => c.segments[(i + n) % n] as Segment;
  const lengths = c.segments.map(segmentLength);
  /** Turn at the start of each; `null` where the contour begins, or goes round a corner. */
  const turns = c.segments.map((s, i): number | null => {
    if (i === 0 && !c.closed) return null;
    const before = at(i - 1);
    const turn = angleBetween(tangentAt(before, 1), tangentAt(s, 0));
    const shorter = Math.min(
      lengths[i] as number,
      lengths[(i + n - 1) % n] as number,
    );
    const gentle =
      Math.abs(turn) <= SHARPEST &&
      shorter * Math.abs(turn) <= FLATTENING * tolerance;
    return gentle ? turn : null;
  });
  const isChord = c.segments.map((s, i) => {
    const ends = [turns[i], turns[i + 1 === n ? 0 : i + 1]].filter(
      (t): t is number => typeof t === "number",
    );
    return (
      s.kind === "line" &&
      ends.length > 0 &&
      ends.every(
        (t) => (lengths[i] as number) * Math.abs(t) <= FLATTENING * tolerance,
      )
    );
  });
  const goesOn = (i: number): boolean =>
    isChord[i] === true &&
    isChord[(i + n - 1) % n] === true &&
    turns[i] !== null;

  let begin = 0;
  if (c.closed) while (begin < n && goesOn(begin)) begin++;
  // A ring of chords without a break is one stretch, closed in itself.
  const ring = begin === n;
  const parts: (Stretch | Segment)[] = [];
  for (let i = 0; i < n; ) {
    const first = (begin + i) % n;
    let count = 1;
    while (i + count < n && goesOn((first + count) % n)) count++;
    const row = Array.from({ length: count }, (_, k) => at(first + k));
    if (isChord[first] && count >= FEWEST_CHORDS) {
      const next = (first + count) % n;
      const set = turns[first] === null ? null : tangentAt(at(first - 1), 1);
      const arrive = turns[next] === null ? null : tangentAt(at(next), 0);
      parts.push(
        ring
          ? { chords: row, ...ringDirection(row) }
          : { chords: row, set, arrive },
      );
    } else parts.push(...row);
    i += count;
  }
  return parts;
}

/** A chord of length L beside a turn θ lies Lθ/8 inside its circle. */
const FLATTENING = 8;

function ringDirection(row: readonly Segment[]): { set: Vec; arrive: Vec } {
  const direction = circleTangent(row.at(-1) as Segment, row[0] as Segment);
  return { set: direction, arrive: direction };
}

/** Tangent, where two chords meet, of the circle through their three ends. */
function circleTangent(a: Segment, b: Segment): Vec {
  const direction = tangentAt(a, 1);
  const turn = angleBetween(direction, tangentAt(b, 0));
  const la = segmentLength(a);
  return rotate(direction, (turn * la) / (la + segmentLength(b)));
}

function sagittaOf({ chords }: Stretch): number {
  return chords.reduce((most, s, i) => {
    const next = chords[i + 1];
    if (!next) return most;
    const turn = Math.abs(angleBetween(tangentAt(s, 1), tangentAt(next, 0)));
    const longer = Math.max(segmentLength(s), segmentLength(next));
    return Math.max(most, (longer * turn) / FLATTENING);
  }, 0);
}

/** What is left for the arcs of the tolerance, beside the chords' own flatness: at least this share. */
const LEAST_LEFT = 0.1;

function fitStretch(s: Stretch, tolerance: number): Segment[] | null {
  const left = Math.max(tolerance - sagittaOf(s), LEAST_LEFT * tolerance);
  return (
    wholeCircle(s, left) ?? oneArc(s, left) ?? fitArcs(curveThrough(s), left)
  );
}

function wholeCircle({ chords }: Stretch, left: number): Segment[] | null {
  const first = chords[0] as Segment;
  const last = chords.at(-1) as Segment;
  if (first.start.x !== last.end.x || first.start.y !== last.end.y) return null;
  const points = chords.map((c) => c.start);
  const circle = circleThrough(points);
  if (circle === null) return null;
  const { center, radius } = circle;
  if (points.some((p) => Math.abs(distance(p, center) - radius) > left))
    return null;
  const whole = circleContour(center, radius).segments;
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
  return [...whole];
}

/** The circle of least squares (Kåsa 1976): x² + y² + ax + by + c = 0, about the mean. `null` for points on a line. */
function circleThrough(
  points: readonly Vec[],
): { center: Vec; radius: number } | null {
  const n = points.length;
  const mx = points.reduce((sum, p) => sum + p.x, 0) / n;
  const my = points.reduce((sum, p) => sum + p.y, 0) / n;
  let [uu, uv, vv, uw, vw, ww] = [0, 0, 0, 0, 0, 0];
  for (const p of points) {
    const u = p.x - mx;
    const v = p.y - my;
    const w = u * u + v * v;
    uu += u * u;
    uv += u * v;
    vv += v * v;
    uw += u * w;
    vw += v * w;
    ww += w;
  }
  const d = 2 * (uu * vv - uv * uv);
  if (d === 0) return null;
  const x = (uw * vv - vw * uv) / d;
  const y = (vw * uu - uw * uv) / d;
  return {
    center: { x: mx + x, y: my + y },
    radius: Math.sqrt(x * x + y * y + ww / n),
  };
}

/** More askew (rad) of its neighbours an arc is no part of a smooth outline. */
const NEARLY_TANGENT = 0.001;

function oneArc(
  { chords, set, arrive }: Stretch,
  left: number,
): Segment[] | null {
  const start = (chords[0] as Segment).start;
  const end = (chords.at(-1) as Segment).end;
  const circle = circleThrough([...chords.map((c) => c.start), end]);
  if (circle === null || distance(start, end) <= left) return null;
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
  return chords.every(
    (c) => distanceToSegment(arc, c.start.x, c.start.y) <= left,
  )
    ? [arc]
    : null;
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
function worstOff(
  chords: readonly Segment[],
  fitted: readonly Segment[],
): { at: Vec; size: number } {
  let worst = { at: (chords[0] as Segment).start, size: 0 };
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
