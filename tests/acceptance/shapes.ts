/** Outlines nobody has drawn before: each from a formula and a seed, exact, counter-clockwise, about the origin, mm. */
import {
  between,
  boundsOf,
  bulged,
  fieldOf,
  gap,
  type Piece,
  type Pt,
  polar,
  pt,
  round,
  straight,
} from "./plane.js";
import {
  type Motion,
  type Shape,
  type Smooth,
  type Span,
  sampled,
} from "./truth.js";

export type Random = () => number;

/** Mulberry32: small, seeded, the same everywhere. */
export function randomFrom(seed: number): Random {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export const from = (r: Random, lo: number, hi: number): number =>
  lo + (hi - lo) * r();
export const whole = (r: Random, lo: number, hi: number): number =>
  Math.floor(from(r, lo, hi + 1));
export const oneOf = <T>(r: Random, list: readonly T[]): T =>
  list[Math.floor(r() * list.length)] as T;
const tidy = (v: number, step: number): number => Math.round(v / step) * step;

/** A shape that only a SPLINE, ELLIPSE or CIRCLE entity can draw, with what that entity needs. */
export type Entity =
  | { readonly e: "circle"; readonly c: Pt; readonly r: number }
  | {
      readonly e: "ellipse";
      readonly c: Pt;
      readonly major: Pt;
      readonly ratio: number;
    }
  | {
      readonly e: "spline";
      readonly degree: number;
      readonly knots: readonly number[];
      readonly points: readonly Pt[];
      readonly weights: readonly number[] | null;
      readonly periodic: boolean;
    };

export interface Drawn extends Shape {
  /** Size over all, mm. */
  readonly entity?: Entity;
}

export const polygon = (kind: string, points: readonly Pt[]): Drawn => ({
  kind,
  spans: points.map((p, i) =>
    straight(p, points[(i + 1) % points.length] as Pt),
  ),
});

/** Vertices with the bulge of the side that follows each. */
export function bulgePolygon(
  kind: string,
  v: readonly { readonly p: Pt; readonly bulge: number }[],
): Drawn {
  return {
    kind,
    spans: v.map((a, i) =>
      bulged(a.p, (v[(i + 1) % v.length] as { p: Pt }).p, a.bulge),
    ),
  };
}

/** A polygon with every corner rounded by its radius (0 stays sharp). */
export function rounded(
  kind: string,
  corners: readonly { readonly p: Pt; readonly r: number }[],
): Drawn {
  const n = corners.length;
  const spans: Piece[] = [];
  const cut = corners.map(({ p, r }, i) => {
    const a = (corners[(i + n - 1) % n] as { p: Pt }).p;
    const b = (corners[(i + 1) % n] as { p: Pt }).p;
    const ux = (p.x - a.x) / gap(a, p);
    const uy = (p.y - a.y) / gap(a, p);
    const vx = (b.x - p.x) / gap(b, p);
    const vy = (b.y - p.y) / gap(b, p);
    const turn = Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
    const back = r * Math.tan(Math.abs(turn) / 2);
    return {
      a: pt(p.x - back * ux, p.y - back * uy),
      b: pt(p.x + back * vx, p.y + back * vy),
      turn,
      r,
    };
  });
  cut.forEach((c, i) => {
    if (c.r > 0) spans.push(bulged(c.a, c.b, Math.tan(c.turn / 4)));
    const next = cut[(i + 1) % n] as (typeof cut)[number];
    if (gap(c.b, next.a) > 1e-9) spans.push(straight(c.b, next.a));
  });
  return { kind, spans };
}

const rect = (kind: string, w: number, h: number): Drawn =>
  polygon(kind, [
    pt(-w / 2, -h / 2),
    pt(w / 2, -h / 2),
    pt(w / 2, h / 2),
    pt(-w / 2, h / 2),
  ]);

export const rectangle = (r: Random): Drawn =>
  rect("rectangle", from(r, 5, 25), from(r, 5, 20));

export function slot(r: Random, width = from(r, 2.6, 6)): Drawn {
  const l = from(r, 2 * width, 25) / 2;
  const h = width / 2;
  return bulgePolygon("slot", [
    { p: pt(-l, -h), bulge: 0 },
    { p: pt(l, -h), bulge: 1 },
    { p: pt(l, h), bulge: 0 },
    { p: pt(-l, h), bulge: 1 },
  ]);
}

export function circle(r: Random): Drawn {
  const radius = tidy(from(r, 2.5, 12), 0.01);
  const c = pt(0, 0);
  return {
    kind: "circle",
    spans: [round(c, radius, 0, Math.PI), round(c, radius, Math.PI, Math.PI)],
    entity: { e: "circle", c, r: radius },
  };
}

export function regular(r: Random): Drawn {
  const n = whole(r, 3, 10);
  const radius = from(r, 5, 12);
  return polygon(
    `${n}-gon`,
    Array.from({ length: n }, (_, i) =>
      polar(pt(0, 0), radius, (i * 2 * Math.PI) / n),
    ),
  );
}

/** Sharp tips outside, sharp corners inside. */
export function star(r: Random, tips = whole(r, 5, 12)): Drawn {
  const big = from(r, 8, 14);
  const small = big * from(r, 0.5, 0.72);
  return polygon(
    `star-${tips}`,
    Array.from({ length: 2 * tips }, (_, i) =>
      polar(pt(0, 0), i % 2 ? small : big, (i * Math.PI) / tips),
    ),
  );
}

/** Straight-flanked teeth. */
export function toothed(r: Random): Drawn {
  const n = whole(r, 8, 18);
  const root = from(r, 7, 11);
  const tip = root + from(r, 1.6, 2.4);
  const pitch = (2 * Math.PI) / n;
  const points: Pt[] = [];
  for (let i = 0; i < n; i++) {
    const m = i * pitch;
    points.push(polar(pt(0, 0), root, m - 0.28 * pitch));
    points.push(polar(pt(0, 0), tip, m - 0.15 * pitch));
    points.push(polar(pt(0, 0), tip, m + 0.15 * pitch));
    points.push(polar(pt(0, 0), root, m + 0.28 * pitch));
  }
  return polygon("gear-straight", points);
}

/** Radial flanks, tips and roots on two circles about the centre. */
export function radialGear(r: Random): Drawn {
  const n = whole(r, 8, 16);
  const root = from(r, 7, 11);
  const tip = root + from(r, 1.5, 2.5);
  const pitch = (2 * Math.PI) / n;
  const share = from(r, 0.45, 0.55);
  const o = pt(0, 0);
  const spans: Piece[] = [];
  for (let i = 0; i < n; i++) {
    const a = i * pitch;
    const b = a + share * pitch;
    const c = a + pitch;
    spans.push(round(o, tip, a, b - a));
    spans.push(straight(polar(o, tip, b), polar(o, root, b)));
    spans.push(round(o, root, b, c - b));
    spans.push(straight(polar(o, root, c), polar(o, tip, c)));
  }
  return { kind: "gear-radial", spans };
}

/** True involute flanks (x = rb (cos t + t sin t), y = rb (sin t − t cos t)) in short chords, tip and root arcs. */
export function involuteGear(r: Random): Drawn {
  const z = whole(r, 14, 22);
  const m = from(r, 1, 1.5);
  const alpha = (20 * Math.PI) / 180;
  const rp = (m * z) / 2;
  const rb = rp * Math.cos(alpha);
  const ra = rp + m;
  const rf = rp - 1.25 * m;
  const o = pt(0, 0);
  const inv = (t: number): number => t - Math.atan(t);
  // Half the tooth's angle at the pitch circle, and from there to where the flank leaves the base circle.
  const half = Math.PI / (2 * z) - 0.03 / rp;
  const atBase = half + inv(Math.tan(alpha));
  const steps = whole(r, 6, 14);
  const tEnd = Math.sqrt((ra / rb) ** 2 - 1);
  const tStart = rf > rb ? Math.sqrt((rf / rb) ** 2 - 1) : 0;
  const flank: { radius: number; angle: number }[] = [];
  for (let i = 0; i <= steps; i++) {
    const t = tStart + ((tEnd - tStart) * i) / steps;
    flank.push({ radius: rb * Math.hypot(1, t), angle: atBase - inv(t) });
  }
  const spans: Piece[] = [];
  const pitch = (2 * Math.PI) / z;
  for (let i = 0; i < z; i++) {
    const mid = i * pitch;
    const up = flank.map((f) => polar(o, f.radius, mid - f.angle));
    const down = [...flank]
      .reverse()
      .map((f) => polar(o, f.radius, mid + f.angle));
    const first = up[0] as Pt;
    const lastDown = down[down.length - 1] as Pt;
    const foot = rf < rb ? polar(o, rf, mid - atBase) : first;
    if (rf < rb) spans.push(straight(foot, first));
    for (let k = 1; k < up.length; k++)
      spans.push(straight(up[k - 1] as Pt, up[k] as Pt));
    const tipHalf = (flank[flank.length - 1] as { angle: number }).angle;
    spans.push(round(o, ra, mid - tipHalf, 2 * tipHalf));
    for (let k = 1; k < down.length; k++)
      spans.push(straight(down[k - 1] as Pt, down[k] as Pt));
    const baseHalf = (flank[0] as { angle: number }).angle;
    if (rf < rb) spans.push(straight(lastDown, polar(o, rf, mid + atBase)));
    spans.push(
      round(
        o,
        Math.min(rf, flank[0]?.radius ?? rf),
        mid + baseHalf,
        pitch - 2 * baseHalf,
      ),
    );
  }
  return { kind: "gear-involute", spans };
}

/** A round head with a straight-sided leg below it. */
export function keyhole(r: Random): Drawn {
  const R = from(r, 3.5, 7);
  const w = from(r, 0.5, 0.8) * R;
  const l = from(r, 1.2, 2.5) * R;
  const y = -Math.sqrt(R * R - (w / 2) ** 2);
  const a = pt(-w / 2, -R - l);
  const b = pt(w / 2, -R - l);
  const c = pt(w / 2, y);
  const d = pt(-w / 2, y);
  const start = Math.atan2(c.y, c.x);
  const turn = Math.atan2(d.y, d.x) - start + 2 * Math.PI;
  return {
    kind: "keyhole",
    spans: [
      straight(a, b),
      straight(b, c),
      { ...round(pt(0, 0), R, start, turn), a: c, b: d },
      straight(d, a),
    ],
  };
}

export function elbow(r: Random): Drawn {
  const w = from(r, 10, 20);
  const h = from(r, 10, 20);
  const t = from(r, 3, 4.5);
  return polygon("L", [
    pt(0, 0),
    pt(w, 0),
    pt(w, t),
    pt(t, t),
    pt(t, h),
    pt(0, h),
  ]);
}

export function tee(r: Random): Drawn {
  const w = from(r, 12, 20);
  const h = from(r, 10, 18);
  const t = from(r, 3, 4.5);
  return polygon("T", [
    pt(-t / 2, 0),
    pt(t / 2, 0),
    pt(t / 2, h - t),
    pt(w / 2, h - t),
    pt(w / 2, h),
    pt(-w / 2, h),
    pt(-w / 2, h - t),
    pt(-t / 2, h - t),
  ]);
}

/** A U with its inner bottom round and one leg shorter. */
export function you(r: Random): Drawn {
  const t = from(r, 3, 4);
  const g = from(r, 3, 6);
  const h = from(r, 10, 18);
  const short = from(r, 1, 3);
  const w = 2 * t + g;
  return bulgePolygon("U", [
    { p: pt(0, 0), bulge: 0 },
    { p: pt(w, 0), bulge: 0 },
    { p: pt(w, h - short), bulge: 0 },
    { p: pt(w - t, h - short), bulge: 0 },
    { p: pt(w - t, t + g / 2), bulge: -1 },
    { p: pt(t, t + g / 2), bulge: 0 },
    { p: pt(t, h), bulge: 0 },
    { p: pt(0, h), bulge: 0 },
  ]);
}

export function roundPlate(r: Random): Drawn {
  const w = from(r, 10, 24) / 2;
  const h = from(r, 8, 18) / 2;
  const rad = (): number => oneOf(r, [0, 0.1, 0.3, 0.5, 1, 2, 3.5]);
  return rounded("round-plate", [
    { p: pt(-w, -h), r: rad() },
    { p: pt(w, -h), r: rad() },
    { p: pt(w, h), r: rad() },
    { p: pt(-w, h), r: rad() },
  ]);
}

export function ellipse(r: Random): Drawn {
  const a = from(r, 5, 12);
  const ratio = from(r, 0.3, 0.95);
  return ellipseOf(pt(0, 0), pt(a, 0), ratio);
}

export function ellipseOf(c: Pt, major: Pt, ratio: number): Drawn {
  const minor = pt(-major.y * ratio, major.x * ratio);
  const at = (u: number): Motion => {
    const [s, k] = [Math.sin(u), Math.cos(u)];
    return {
      p: pt(c.x + k * major.x + s * minor.x, c.y + k * major.y + s * minor.y),
      v: pt(-s * major.x + k * minor.x, -s * major.y + k * minor.y),
      a: pt(-k * major.x - s * minor.x, -k * major.y - s * minor.y),
    };
  };
  return {
    kind: "ellipse",
    spans: [sampled(at, [0, 2 * Math.PI])],
    entity: { e: "ellipse", c, major, ratio },
  };
}

interface Homogeneous {
  readonly x: number;
  readonly y: number;
  readonly w: number;
}

/** Value of a B-spline by de Boor's recursion. */
function deBoor(
  degree: number,
  knots: readonly number[],
  points: readonly Homogeneous[],
  u: number,
): Homogeneous {
  let k = degree;
  while (k < points.length - 1 && u >= (knots[k + 1] as number)) k++;
  const d = points.slice(k - degree, k + 1).map((p) => ({ ...p }));
  for (let level = 1; level <= degree; level++)
    for (let j = degree; j >= level; j--) {
      const lo = knots[j + k - degree] as number;
      const hi = knots[j + 1 + k - level] as number;
      const f = (u - lo) / (hi - lo);
      const a = d[j - 1] as Homogeneous;
      const b = d[j] as Homogeneous;
      d[j] = {
        x: (1 - f) * a.x + f * b.x,
        y: (1 - f) * a.y + f * b.y,
        w: (1 - f) * a.w + f * b.w,
      };
    }
  return d[degree] as Homogeneous;
}

function derivative(
  degree: number,
  knots: readonly number[],
  points: readonly Homogeneous[],
): Homogeneous[] {
  return points.slice(1).map((b, i) => {
    const a = points[i] as Homogeneous;
    const span = (knots[i + degree + 1] as number) - (knots[i + 1] as number);
    const f = span === 0 ? 0 : degree / span;
    return { x: f * (b.x - a.x), y: f * (b.y - a.y), w: f * (b.w - a.w) };
  });
}

/** Place, velocity, acceleration of a rational B-spline by the quotient rule. */
export function nurbs(
  degree: number,
  knots: readonly number[],
  points: readonly Pt[],
  weights: readonly number[] | null,
): (u: number) => Motion {
  const h0 = points.map((p, i) => {
    const w = weights?.[i] ?? 1;
    return { x: p.x * w, y: p.y * w, w };
  });
  const k1 = knots.slice(1, -1);
  const k2 = knots.slice(2, -2);
  const h1 = derivative(degree, knots, h0);
  const h2 = derivative(degree - 1, k1, h1);
  return (u) => {
    const c = deBoor(degree, knots, h0, u);
    const d = deBoor(degree - 1, k1, h1, u);
    const e = deBoor(degree - 2, k2, h2, u);
    const x = c.x / c.w;
    const y = c.y / c.w;
    const vx = (d.x - d.w * x) / c.w;
    const vy = (d.y - d.w * y) / c.w;
    return {
      p: pt(x, y),
      v: pt(vx, vy),
      a: pt(
        (e.x - 2 * d.w * vx - e.w * x) / c.w,
        (e.y - 2 * d.w * vy - e.w * y) / c.w,
      ),
    };
  };
}

export function splineOf(
  kind: string,
  s: Extract<Entity, { e: "spline" }>,
): Drawn {
  const lo = s.knots[s.degree] as number;
  const hi = s.knots[s.knots.length - 1 - s.degree] as number;
  const breaks = [...new Set(s.knots.filter((k) => k >= lo && k <= hi))];
  const smooth: Smooth = sampled(
    nurbs(s.degree, s.knots, s.points, s.weights),
    breaks,
  );
  return { kind, spans: [smooth], entity: s };
}

function ringOfControls(r: Random, n: number, spread: number): Pt[] {
  const big = from(r, 6, 10);
  return Array.from({ length: n }, (_, i) =>
    polar(
      pt(0, 0),
      big * from(r, 1 - spread, 1 + spread),
      ((i + from(r, -0.15, 0.15)) * 2 * Math.PI) / n,
    ),
  );
}

/** Closed cubic with uniform knots that run past both ends: the first three controls come again at the end. */
export function periodicSpline(r: Random): Drawn {
  const ring = ringOfControls(r, whole(r, 6, 10), 0.22);
  const points = [...ring, ...ring.slice(0, 3)];
  const knots = Array.from({ length: points.length + 4 }, (_, i) => i - 3);
  return splineOf("spline-periodic", {
    e: "spline",
    degree: 3,
    knots,
    points,
    weights: null,
    periodic: true,
  });
}

/** Clamped rational cubic that ends where it began, with a weight of its own at each control. */
export function rationalSpline(r: Random): Drawn {
  const ring = ringOfControls(r, whole(r, 7, 11), 0.15);
  const first = ring[0] as Pt;
  const second = ring[1] as Pt;
  const last = ring[ring.length - 1] as Pt;
  // The seam lies between two neighbours on one straight line: smooth there.
  const seam = pt((first.x + last.x) / 2, (first.y + last.y) / 2);
  const points = [seam, first, second, ...ring.slice(2), seam];
  const weights = points.map((_, i) =>
    i === 0 || i === points.length - 1 ? 1 : from(r, 0.6, 1.8),
  );
  const inner = points.length - 4;
  const knots = [
    0,
    0,
    0,
    0,
    ...Array.from({ length: inner }, (_, i) => i + 1),
    ...[1, 1, 1, 1].map((k) => k * (inner + 1)),
  ];
  return splineOf("spline-rational", {
    e: "spline",
    degree: 3,
    knots,
    points,
    weights,
    periodic: false,
  });
}

/** Star-shaped polygon whose sides bulge in and out at random. */
export function arcPolygon(r: Random): Drawn {
  for (;;) {
    const n = whole(r, 5, 9);
    const big = from(r, 6, 11);
    const v = Array.from({ length: n }, (_, i) => ({
      p: polar(
        pt(0, 0),
        big * from(r, 0.75, 1.2),
        ((i + from(r, -0.2, 0.2)) * 2 * Math.PI) / n,
      ),
      bulge: r() < 0.2 ? 0 : from(r, -0.35, 0.6),
    }));
    const drawn = bulgePolygon("arc-polygon", v);
    if (isSimple(drawn.spans as Piece[], 1.2)) return drawn;
  }
}

/** No two spans that are not neighbours come nearer to each other than `least`. */
export function isSimple(spans: readonly Span[], least: number): boolean {
  const pieces = spans as readonly Piece[];
  const field = fieldOf(pieces, 2);
  const n = pieces.length;
  return pieces.every((s, i) => {
    const b = boundsOf(s);
    const box = {
      x0: b.x0 - least,
      y0: b.y0 - least,
      x1: b.x1 + least,
      y1: b.y1 + least,
    };
    return field.within(box).every((j) => {
      if (j === i) return true;
      const u = pieces[j] as Piece;
      if (j === (i + 1) % n || i === (j + 1) % n) {
        // Neighbours share an end; they must not meet again or fold back.
        return gapBeyondCorner(s, u) > 0.05;
      }
      return between(s, u).d >= least;
    });
  });
}

/** Distance between neighbours once the first 0.3 mm at the shared corner are left out. */
function gapBeyondCorner(s: Piece, u: Piece): number {
  const corner = gap(s.b, u.a) < 1e-9 ? s.b : s.a;
  let least = Infinity;
  for (let i = 0; i <= 40; i++) {
    const f = i / 40;
    const p =
      s.t === "straight"
        ? pt(s.a.x + f * (s.b.x - s.a.x), s.a.y + f * (s.b.y - s.a.y))
        : polar(
            s.c,
            s.r,
            Math.atan2(s.a.y - s.c.y, s.a.x - s.c.x) + f * s.turn,
          );
    if (gap(p, corner) < 0.3) continue;
    least = Math.min(least, between(straight(p, p), u).d);
  }
  return least;
}

export type Maker = (r: Random) => Drawn;

export const MAKERS: Readonly<Record<string, Maker>> = {
  rectangle,
  slot: (r) => slot(r),
  circle,
  regular,
  star: (r) => star(r),
  "gear-straight": toothed,
  "gear-radial": radialGear,
  "gear-involute": involuteGear,
  keyhole,
  L: elbow,
  T: tee,
  U: you,
  "round-plate": roundPlate,
  ellipse,
  "spline-periodic": periodicSpline,
  "spline-rational": rationalSpline,
  "arc-polygon": arcPolygon,
};
