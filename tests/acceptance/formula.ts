/**
 * Programs worked out by hand for a few shapes whose offset is plain: what a right program looks like, to try the
 * judge on, right and spoiled. No planner: every coordinate is a formula of width, height, radius and offset.
 */

import {
  backwards,
  type Piece,
  type Pt,
  pt,
  round,
  straight,
} from "./plane.js";
import type { Asked, Printed } from "./printed.js";
import type { Span, TrueOutline } from "./truth.js";

export interface ByHand {
  readonly outlines: readonly TrueOutline[];
  readonly lines: readonly string[];
  readonly printed: Printed;
  readonly asked: Asked;
  readonly holes: Readonly<Record<string, number>>;
}

export interface Recipe {
  readonly wire: number;
  readonly passes: readonly { readonly gap: number; readonly leave: number }[];
  readonly tab: number;
  readonly overlap: number;
  readonly inch: boolean;
  readonly control: boolean;
}

export const RECIPE: Recipe = {
  wire: 0.25,
  passes: [
    { gap: 0.03, leave: 0.055 },
    { gap: 0.015, leave: 0.005 },
    { gap: 0.01, leave: 0 },
  ],
  tab: 1,
  overlap: 0.5,
  inch: false,
  control: false,
};

/** One shape: the way from P round to T, and on from T to P, at any offset (0 is the outline itself). */
interface Hand {
  readonly id: string;
  readonly role: "opening" | "part";
  readonly spans: readonly Span[];
  readonly kind: string;
  readonly area: number;
  readonly perimeter: number;
  readonly hole: Pt;
  /** Pieces along the open stretch, from P counter-clockwise to T. */
  readonly open: (d: number) => Piece[];
  /** From T on to P, reaching `over` past both ends. */
  readonly tab: (d: number, over: number) => Piece[];
  readonly tabAt: Pt;
  /** Unit vector from the outline into the waste at a point of the path's ends. */
  readonly off: (p: Pt) => Pt;
}

const kerfOf = (r: Recipe): number => r.wire / 2 + (r.passes[0]?.gap ?? 0);

/** Rectangle w × h about the origin; P in the middle of the bottom, T left of it. */
export function rectangleByHand(
  r: Recipe,
  w: number,
  h: number,
  role: "opening" | "part",
  id: string,
): Hand {
  const T = -(r.tab + 2 * kerfOf(r));
  const [x, y] = [w / 2, h / 2];
  const way = role === "opening" ? 1 : -1;
  const corner = [pt(x, -y), pt(x, y), pt(-x, y), pt(-x, -y)];
  return {
    id,
    role,
    kind: "rectangle",
    area: w * h,
    perimeter: 2 * (w + h),
    spans: [
      straight(pt(-x, -y), pt(x, -y)),
      straight(pt(x, -y), pt(x, y)),
      straight(pt(x, y), pt(-x, y)),
      straight(pt(-x, y), pt(-x, -y)),
    ],
    hole: role === "opening" ? pt(0, 0) : pt(0, -y - 2),
    open: (d) => {
      const e = way * d;
      if (role === "opening" || d === 0) {
        const run = [
          pt(0, -y + e),
          pt(x - e, -y + e),
          pt(x - e, y - e),
          pt(-x + e, y - e),
          pt(-x + e, -y + e),
          pt(T, -y + e),
        ];
        return run.slice(1).map((b, i) => straight(run[i] as Pt, b));
      }
      const out: Piece[] = [];
      let at = pt(0, -y - d);
      corner.forEach((c, i) => {
        const roll = round(c, d, ((i - 1) * Math.PI) / 2, Math.PI / 2);
        out.push(straight(at, roll.a), roll);
        at = roll.b;
      });
      out.push(straight(at, pt(T, -y - d)));
      return out;
    },
    tab: (d, over) => [
      straight(pt(T - over, -y + way * d), pt(over, -y + way * d)),
    ],
    tabAt: pt(T / 2, -y),
    off: () => pt(0, way),
  };
}

/** Circle of radius R about the origin as an opening; P at the bottom. */
export function circleByHand(r: Recipe, R: number, id: string): Hand {
  const d1 = r.wire / 2 + (r.passes[0]?.gap ?? 0) + (r.passes[0]?.leave ?? 0);
  const open = (r.tab + 2 * kerfOf(r)) / (R - d1);
  const o = pt(0, 0);
  const P = -Math.PI / 2;
  const turn = 2 * Math.PI - open;
  return {
    id,
    role: "opening",
    kind: "circle",
    area: Math.PI * R * R,
    perimeter: 2 * Math.PI * R,
    spans: [round(o, R, P, Math.PI), round(o, R, P + Math.PI, Math.PI)],
    hole: o,
    open: (d) => [
      round(o, R - d, P, turn / 2),
      round(o, R - d, P + turn / 2, turn / 2),
    ],
    tab: (d, over) => [
      round(o, R - d, P - open - over / R, open + (2 * over) / R),
    ],
    tabAt: round(o, R, P - open / 2, 1).a,
    off: (p) => {
      const l = Math.hypot(p.x, p.y);
      return pt(-p.x / l, -p.y / l);
    },
  };
}

const FINE = { mm: 4, in: 5 };

/** Writes blocks: numbers cut to the grid, arcs with I and J from their start. */
function pen(inch: boolean) {
  const scale = inch ? 25.4 : 1;
  const lines: string[] = ["%"];
  let n = 0;
  const num = (mm: number): string =>
    (mm / scale).toFixed(inch ? FINE.in : FINE.mm).replace(/^-(0\.0+)$/, "$1");
  const grid = (mm: number): number => Number(num(mm)) * scale;
  let at = pt(0, 0);
  const block = (text: string): void => {
    n += 10;
    lines.push(`N${String(n).padStart(4, "0")} ${text}`);
  };
  const go = (word: string, p: Pt, extra = ""): void => {
    block(`${word} X${num(p.x)} Y${num(p.y)}${extra}`);
    at = pt(grid(p.x), grid(p.y));
  };
  const cut = (s: Piece): void => {
    if (s.t === "straight") go("G01", s.b);
    else
      go(
        s.turn > 0 ? "G03" : "G02",
        s.b,
        ` I${num(s.c.x - at.x)} J${num(s.c.y - at.y)}`,
      );
  };
  return { lines, block, go, cut };
}

const reversed = (run: readonly Piece[]): Piece[] =>
  [...run].reverse().map(backwards);

export function programByHand(hands: readonly Hand[], r: Recipe): ByHand {
  const p = pen(r.inch);
  const offsets = r.passes.map((q) => r.wire / 2 + q.gap + q.leave);
  const away = (offsets[0] as number) + 0.1;
  const last = offsets.length - 1;
  p.block(r.inch ? "G70" : "G71");
  p.block("G90 G17 G40");
  const stroke = (h: Hand, k: number, run: (d: number) => Piece[]): void => {
    const onOutline = run(0);
    const back = (q: Pt): Pt => {
      const u = h.off(q);
      return pt(q.x + away * u.x, q.y + away * u.y);
    };
    const a = (onOutline[0] as Piece).a;
    const b = (onOutline[onOutline.length - 1] as Piece).b;
    p.go("G01", back(a));
    if (!r.control) {
      const path = run(offsets[k] as number);
      p.go("G01", (path[0] as Piece).a);
      for (const s of path) p.cut(s);
      p.go("G01", back(b));
      return;
    }
    // Travelling counter-clockwise inside an opening the wire is on the left.
    const ccw = goesRound(onOutline);
    const left = (h.role === "opening") === ccw;
    p.go(`${left ? "G41" : "G42"} D${k + 1} G01`, a);
    for (const s of onOutline) p.cut(s);
    p.go("G40 G01", back(b));
  };
  const thread = (h: Hand): void => {
    p.go("G00", h.hole);
    p.block("T1 M06");
    p.block("M08");
  };
  const cutWire = (): void => {
    p.block("M09");
    p.block("T0 M06");
  };
  let threads = 0;
  for (const h of hands) {
    thread(h);
    threads++;
    offsets.forEach((_, k) => {
      stroke(h, k, (d) => (k % 2 ? reversed(h.open(d)) : h.open(d)));
    });
    cutWire();
  }
  let stops = 0;
  for (const h of hands) {
    p.block(`M00 (${h.id}: secure the piece, it comes loose next)`);
    stops++;
    thread(h);
    threads++;
    stroke(h, h.role === "part" ? last : 0, (d) =>
      // From P on, where the lead comes in: a lead to T would cut a wedge out of the slug.
      reversed(h.tab(d, h.role === "part" ? r.overlap : 0)),
    );
    cutWire();
    if (h.role === "part" || last === 0) continue;
    p.block(`M00 (${h.id}: take the slug out)`);
    stops++;
    thread(h);
    threads++;
    for (let k = 1; k <= last; k++)
      stroke(h, k, (d) =>
        k % 2 ? reversed(h.tab(d, r.overlap)) : h.tab(d, r.overlap),
      );
    cutWire();
  }
  p.block("M30");
  p.lines.push("%");
  return {
    outlines: hands.map((h) => ({
      kind: h.kind,
      role: h.role,
      layer: "0",
      spans: h.spans,
    })),
    lines: p.lines,
    printed: printedFor(hands, r, offsets, threads, stops, p.lines),
    asked: {
      wire: r.wire,
      order: "unattended-first",
      clearance: 0.5,
      grid: 0.5,
      overlap: r.overlap,
      tab: r.tab,
      passes: r.passes,
      inch: r.inch,
      control: r.control,
    },
    holes: Object.fromEntries(hands.map((h) => [h.id, 1])),
  };
}

/** Does the run go counter-clockwise about the origin? */
function goesRound(run: readonly Piece[]): boolean {
  let turn = 0;
  for (const s of run)
    turn += Math.atan2(
      s.a.x * s.b.y - s.a.y * s.b.x,
      s.a.x * s.b.x + s.a.y * s.b.y,
    );
  return turn > 0;
}

function printedFor(
  hands: readonly Hand[],
  r: Recipe,
  offsets: readonly number[],
  threads: number,
  stops: number,
  lines: readonly string[],
): Printed {
  return {
    ok: true,
    features: hands.map((h) => ({
      id: h.id,
      role: h.role,
      layer: "0",
      area: h.area,
      perimeter: h.perimeter,
      startHole: [h.hole.x, h.hole.y],
      tab: { length: r.tab, at: [h.tabAt.x, h.tabAt.y] },
    })),
    passes: r.passes.map((q, i) => ({
      number: i + 1,
      ...q,
      offset: offsets[i] as number,
    })),
    cuts: [],
    stops: [],
    // Set by whoever judges: the length is not worked out by formula.
    totals: { cutLength: Number.NaN, threads, stops },
    findings: hands.map((h) => ({
      code: "corner/uncut",
      severity: "note",
      message: "stock stays in the corner",
      where: [
        (h.spans[0] as { a: Pt }).a.x,
        (h.spans[0] as { a: Pt }).a.y,
      ] as const,
    })),
    proof: {
      ok: true,
      maxGouge: 0,
      loosePieces: hands.map((h) => ({ feature: h.id, attended: true })),
      blocks: lines.length - 2,
    },
    files: [],
  };
}
