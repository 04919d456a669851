/** Splines become lines and arcs: exact circles and straight stretches are told apart, the rest is fitted. */
import { SAME_DIRECTION, SAME_DRAWN, SAME_POINT } from "../base/tolerance.js";
import type { Contour } from "../geometry/contour.js";
import { type Fit, fitArcs } from "../geometry/fit/fit-arcs.js";
import type { Curve } from "../geometry/fit/fit-error.js";
import { arcFromTo, line, type Segment } from "../geometry/segment.js";
import {
  angleBetween,
  byPlace,
  cross,
  distance,
  dot,
  sub,
  unit,
  type Vec,
} from "../geometry/vec.js";
import {
  type BezierSpan,
  project,
  spanPoint,
  spanTangent,
} from "./dxf/nurbs.js";

/**
 * Lines and arcs that fit the spans; corners between them are kept. `null` when there is no length.
 * Closed when both ends are the same drawn place.
 */
export function splineContour(
  spans: readonly BezierSpan[],
  fit: Fit,
): Contour | null {
  const pieces: Segment[][] = [];
  let smooth: BezierSpan[] = [];
  const flush = () => {
    if (smooth.length > 0) pieces.push(fitArcs(spanCurve(smooth), fit));
    smooth = [];
  };
  for (const span of fromOwnStart(spans)) {
    const exact = exactSegments(span);
    if (exact === null) smooth.push(span);
    else {
      flush();
      pieces.push(exact);
    }
  }
  flush();
  const segments = pieces.flat();
  const first = segments[0];
  const last = segments.at(-1);
  if (!first || !last) return null;
  return { closed: distance(first.start, last.end) <= SAME_DRAWN, segments };
}

/**
 * The spans of a closed curve from a start of its own, wherever it was begun: a corner, where it has any. What is drawn
 * twice is then fitted alike, and no smooth curve gets a joint more than it takes.
 */
function fromOwnStart(spans: readonly BezierSpan[]): readonly BezierSpan[] {
  const first = spans[0];
  const last = spans.at(-1);
  if (
    !first ||
    !last ||
    distance(startOf(first), spanPoint(last, 1)) > SAME_DRAWN
  )
    return spans;
  const all = spans.map((_, i) => i);
  const corners = all.filter((i) => {
    const arriving = spanTangent(spans.at(i - 1) as BezierSpan, 1);
    const leaving = spanTangent(spans[i] as BezierSpan, 0);
    return Math.abs(angleBetween(arriving, leaving)) > SAME_DIRECTION;
  });
  const start = (corners.length > 0 ? corners : all).reduce((a, b) =>
    byPlace(startOf(spans[b] as BezierSpan), startOf(spans[a] as BezierSpan)) <
    0
      ? b
      : a,
  );
  const period = last.to - first.from;
  const wrapped = spans.slice(0, start).map((s) => ({
    ...s,
    from: s.from + period,
    to: s.to + period,
  }));
  return [...spans.slice(start), ...wrapped];
}

const startOf = (span: BezierSpan): Vec => spanPoint(span, 0);

/** The span as a straight line or as arcs of one circle, exactly; `null` when it is neither. Nothing when it has no length. */
function exactSegments(span: BezierSpan): Segment[] | null {
  const points = span.points.map(project);
  const start = points[0] as Vec;
  const end = points.at(-1) as Vec;
  const reach = Math.max(...points.map((p) => distance(start, p)));
  if (reach <= SAME_POINT) return [];
  if (distance(start, end) <= SAME_POINT) return null;
  return isStraight(points) ? [line(start, end)] : exactArc(span, start, end);
}

/** All control points on the chord, in order, to within what tells neither a place nor a direction. */
function isStraight(points: readonly Vec[]): boolean {
  const start = points[0] as Vec;
  const chord = sub(points.at(-1) as Vec, start);
  const direction = unit(chord);
  const off = Math.min(
    SAME_POINT,
    SAME_DIRECTION * Math.hypot(chord.x, chord.y),
  );
  let before = 0;
  return points.every((p) => {
    const d = sub(p, start);
    const forward = dot(direction, d);
    const rises = forward >= before - off;
    before = forward;
    return rises && Math.abs(cross(direction, d)) <= off;
  });
}

/**
 * A rational curve of degree p meets a circle it does not lie on in at most 2p points (Bézout), so 2p + 1 samples
 * on one circle prove that the span is an arc of it. With equal weights it is a polynomial, which no circle is.
 */
function exactArc(span: BezierSpan, start: Vec, end: Vec): Segment[] | null {
  const p = span.points.length - 1;
  const w = span.points[0]?.[2] as number;
  if (p < 2 || span.points.every((h) => h[2] === w)) return null;
  const middle = spanPoint(span, 0.5);
  const center = circleCenter(start, middle, end);
  if (center === null) return null;
  const radius = distance(center, start);
  const off = Math.min(SAME_POINT, SAME_DIRECTION * distance(start, end));
  for (let i = 1; i < 2 * p; i++) {
    const r = distance(spanPoint(span, i / (2 * p)), center);
    if (Math.abs(r - radius) > off) return null;
  }
  const ccw = cross(sub(middle, start), sub(end, middle)) > 0;
  return [
    arcFromTo(center, start, middle, ccw),
    arcFromTo(center, middle, end, ccw),
  ];
}

function circleCenter(a: Vec, b: Vec, c: Vec): Vec | null {
  const u = sub(b, a);
  const v = sub(c, a);
  const d = 2 * cross(u, v);
  if (d === 0) return null;
  const uu = dot(u, u);
  const vv = dot(v, v);
  return {
    x: a.x + (v.y * uu - u.y * vv) / d,
    y: a.y + (u.x * vv - v.x * uu) / d,
  };
}

/** Neighbouring spans as one curve. Their parameters may be of any size, so they are counted from 0 to their number. */
function spanCurve(drawn: readonly BezierSpan[]): Curve {
  const begin = (drawn[0] as BezierSpan).from;
  const per = drawn.length / ((drawn.at(-1) as BezierSpan).to - begin);
  const spans = drawn.map(({ from, to, points }) => ({
    from: (from - begin) * per,
    to: (to - begin) * per,
    points,
  }));
  const spanAt = (t: number, side: -1 | 1): BezierSpan => {
    let low = 0;
    let high = spans.length - 1;
    while (low < high) {
      const mid = (low + high) >> 1;
      const { to } = spans[mid] as BezierSpan;
      if (to < t || (to === t && side > 0)) low = mid + 1;
      else high = mid;
    }
    return spans[low] as BezierSpan;
  };
  return {
    knots: [0, ...spans.map((s) => s.to)],
    at: (t) => {
      const span = spanAt(t, -1);
      return spanPoint(span, (t - span.from) / (span.to - span.from));
    },
    tangent: (t, side) => {
      const span = spanAt(t, side);
      return spanTangent(span, (t - span.from) / (span.to - span.from));
    },
  };
}
