/**
 * What a drawing truly shows, kept aside by whoever drew it: closed outlines of exact straight and round spans and
 * of curves sampled so finely (2 nm) that the chords may stand for them. And where the wire must run beside them,
 * found by stepping along the normal from samples of the outline, by no offsetting method at all.
 */
import {
  areaOf,
  type Bounds,
  backwards,
  boundsOf,
  boundsOfAll,
  type Field,
  fieldOf,
  flattened,
  folded,
  heading,
  insideRing,
  lengthOf,
  type Piece,
  type Pt,
  pointOn,
  polar,
  straight,
} from "./plane.js";

/** A smooth stretch: points on the curve and the true direction of travel at each. */
export interface Smooth {
  readonly t: "smooth";
  readonly points: readonly Pt[];
  readonly headings: readonly number[];
}

export type Span = Piece | Smooth;
export type Role = "opening" | "part" | "stock";

export interface Shape {
  readonly kind: string;
  /** Closed, counter-clockwise. */
  readonly spans: readonly Span[];
}

export interface TrueOutline extends Shape {
  readonly role: Role;
  readonly layer: string;
}

/** Greatest distance between a sampled curve and its chords. */
export const SMOOTH_SAG = 2e-6;

/** Place, velocity and acceleration of a parametrised curve. */
export interface Motion {
  readonly p: Pt;
  readonly v: Pt;
  readonly a: Pt;
}

/** Runs along a parametrised curve in steps that keep every chord within `SMOOTH_SAG`; `breaks` are not stepped over. */
export function sampled(
  at: (u: number) => Motion,
  breaks: readonly number[],
): Smooth {
  const points: Pt[] = [];
  const headings: number[] = [];
  const put = (m: Motion): void => {
    points.push(m.p);
    headings.push(Math.atan2(m.v.y, m.v.x));
  };
  for (let i = 1; i < breaks.length; i++) {
    const end = breaks[i] as number;
    let u = breaks[i - 1] as number;
    while (u < end) {
      const m = at(u);
      put(m);
      const speed = Math.hypot(m.v.x, m.v.y);
      const bend = Math.abs(m.v.x * m.a.y - m.v.y * m.a.x) / speed ** 3;
      // 0.7 leaves room for the bend to grow within the step.
      const step = Math.sqrt((8 * SMOOTH_SAG) / Math.max(bend, 0.02)) * 0.7;
      const next = u + step / speed;
      u = next + (0.3 * step) / speed > end ? end : next;
    }
  }
  put(at(breaks[breaks.length - 1] as number));
  return { t: "smooth", points, headings };
}

export function chordsOf(s: Span): Piece[] {
  if (s.t !== "smooth") return [s];
  const out: Piece[] = [];
  for (let i = 1; i < s.points.length; i++)
    out.push(straight(s.points[i - 1] as Pt, s.points[i] as Pt));
  return out;
}

export function reversedSpan(s: Span): Span {
  return s.t === "smooth"
    ? {
        t: "smooth",
        points: [...s.points].reverse(),
        headings: [...s.headings].reverse().map((h) => folded(h + Math.PI)),
      }
    : backwards(s);
}

export const piecesOf = (s: Shape): Piece[] => s.spans.flatMap(chordsOf);
export const startHeading = (s: Span): number =>
  s.t === "smooth" ? (s.headings[0] as number) : heading(s, 0);
export const endHeading = (s: Span): number =>
  s.t === "smooth"
    ? (s.headings[s.headings.length - 1] as number)
    : heading(s, 1);
export const spanLength = (s: Span): number =>
  s.t === "smooth"
    ? chordsOf(s).reduce((sum, c) => sum + lengthOf(c), 0)
    : lengthOf(s);

/** An outline with what is looked up over and over. */
export interface Known extends TrueOutline {
  readonly index: number;
  readonly pieces: readonly Piece[];
  readonly ring: readonly Pt[];
  readonly bounds: Bounds;
  readonly area: number;
  readonly perimeter: number;
  /** Index of the cut outline right around it, -1 for none. */
  readonly parent: number;
}

export interface Truth {
  readonly outlines: readonly Known[];
  /** Every finished edge (stock left out). */
  readonly edges: Field;
  /** Outline that each piece of `edges` belongs to. */
  readonly owner: readonly number[];
}

export function knowTruth(shapes: readonly TrueOutline[]): Truth {
  const flat = shapes.map((s, index) => {
    const pieces = piecesOf(s);
    return {
      ...s,
      index,
      pieces,
      ring: flattened(pieces, 0.001),
      bounds: boundsOfAll(pieces.map(boundsOf)),
      area: areaOf(pieces),
      perimeter: s.spans.reduce((sum, p) => sum + spanLength(p), 0),
    };
  });
  const outlines = flat.map((s): Known => {
    let parent = -1;
    for (const o of flat)
      if (
        o !== s &&
        o.role !== "stock" &&
        o.area > s.area &&
        insideRing(o.ring, s.ring[0] as Pt) &&
        (parent < 0 || o.area < (flat[parent]?.area ?? 0))
      )
        parent = o.index;
    return { ...s, parent };
  });
  const pieces: Piece[] = [];
  const owner: number[] = [];
  for (const o of outlines)
    if (o.role !== "stock")
      for (const p of o.pieces) {
        pieces.push(p);
        owner.push(o.index);
      }
  return { outlines, edges: fieldOf(pieces, 1), owner };
}

/** Innermost cut outline around `p`, -1 for none. */
export function innermost(t: Truth, p: Pt): number {
  let found = -1;
  for (const o of t.outlines) {
    if (o.role === "stock") continue;
    const b = o.bounds;
    if (p.x < b.x0 || p.x > b.x1 || p.y < b.y0 || p.y > b.y1) continue;
    if (found >= 0 && (t.outlines[found] as Known).area < o.area) continue;
    if (insideRing(o.ring, p)) found = o.index;
  }
  return found;
}

/** A place where the wire's centre must pass. */
export interface Sample {
  readonly at: Pt;
  /** Arc length along the outline, mm. */
  readonly s: number;
  /** How much of the outline it stands for; 0 on a corner's fan. */
  readonly weight: number;
  /** Which place of the outline it belongs to, the same at every offset; -1 on a corner's fan. */
  readonly place: number;
}

/**
 * The offset curve of `o` at `d` on the waste side, as samples no more than `step` apart: from points of the outline
 * along the normal, fanned round corners that the wire rolls about, kept where no finished edge is nearer than `d`.
 */
export function offsetSamples(
  t: Truth,
  o: Known,
  d: number,
  step: number,
  /** Only where this holds of the arc length. */
  wanted: (s: number) => boolean = () => true,
): Sample[] {
  const toWaste = o.role === "opening" ? Math.PI / 2 : -Math.PI / 2;
  const out: Sample[] = [];
  let s = 0;
  const smooth = o.spans.some((p) => p.t === "smooth");
  const slack = smooth ? 5e-6 : 1e-7;
  let count = 0;
  const keep = (q: Pt, at: number, weight: number): void => {
    const place = weight > 0 ? count++ : -1;
    if (wanted(at) && t.edges.nearest(q, d).d >= d - slack)
      out.push({ at: q, s: at, weight, place });
  };
  o.spans.forEach((span, i) => {
    const length = spanLength(span);
    if (span.t === "smooth") {
      let along = 0;
      let due = 0;
      span.points.forEach((p, k) => {
        if (k > 0) {
          const last = span.points[k - 1] as Pt;
          along += Math.hypot(p.x - last.x, p.y - last.y);
        }
        if (along < due && k < span.points.length - 1) return;
        keep(
          polar(p, d, (span.headings[k] as number) + toWaste),
          s + along,
          step,
        );
        due = along + step;
      });
    } else {
      const n = Math.max(3, Math.ceil(length / step));
      for (let k = 0; k <= n; k++) {
        const f = k / n;
        const weight = k === 0 || k === n ? length / n / 2 : length / n;
        keep(
          polar(pointOn(span, f), d, heading(span, f) + toWaste),
          s + f * length,
          weight,
        );
      }
    }
    s += length;
    const next = o.spans[(i + 1) % o.spans.length] as Span;
    const turn = folded(startHeading(next) - endHeading(span));
    const rolls = o.role === "opening" ? turn < -1e-9 : turn > 1e-9;
    if (!rolls) return;
    const corner = next.t === "smooth" ? (next.points[0] as Pt) : next.a;
    const n = Math.max(2, Math.ceil((Math.abs(turn) * d) / (step / 2)));
    for (let k = 1; k < n; k++)
      keep(polar(corner, d, endHeading(span) + (turn * k) / n + toWaste), s, 0);
  });
  return out;
}
