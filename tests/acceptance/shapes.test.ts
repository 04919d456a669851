import { describe, expect, it } from "vitest";
import { caseOf, FAMILIES } from "./cases.js";
import { worstGap } from "./draw.js";
import { bulged, folded, gap, type Pt, polar, pt } from "./plane.js";
import {
  circle,
  ellipseOf,
  isSimple,
  MAKERS,
  nurbs,
  randomFrom,
} from "./shapes.js";
import {
  endHeading,
  knowTruth,
  piecesOf,
  type Smooth,
  startHeading,
} from "./truth.js";

type Entity = {
  readonly type: string;
  readonly tags: readonly (readonly [number, string])[];
};

const one = (e: Entity, code: number, otherwise = 0): number =>
  Number(e.tags.find((t) => t[0] === code)?.[1] ?? otherwise);
const all = (e: Entity, code: number): number[] =>
  e.tags.filter((t) => t[0] === code).map((t) => Number(t[1]));
const word = (e: Entity, code: number): string =>
  e.tags.find((t) => t[0] === code)?.[1] ?? "";

/** Group codes of a DXF text, cut at every 0. */
function entitiesOf(text: string): Entity[] {
  const lines = text.split(/\r?\n/);
  const out: { type: string; tags: [number, string][] }[] = [];
  for (let i = 0; i + 1 < lines.length; i += 2) {
    const code = Number(lines[i]);
    const value = lines[i + 1] as string;
    if (code === 0) out.push({ type: value, tags: [] });
    else out[out.length - 1]?.tags.push([code, value]);
  }
  return out;
}

/** Points along everything drawn in model space, by a reading of the file that knows nothing of how it was written. */
function drawnPoints(text: string): { at: Pt; layer: string }[] {
  const list = entitiesOf(text);
  const blocks = new Map<string, Entity[]>();
  const model: Entity[] = [];
  let block: Entity[] | null = null;
  let section = "";
  for (const e of list) {
    if (e.type === "SECTION") section = word(e, 2);
    else if (section === "BLOCKS" && e.type === "BLOCK") {
      block = [];
      blocks.set(word(e, 2), block);
    } else if (section === "BLOCKS" && e.type === "ENDBLK") block = null;
    else if (section === "BLOCKS") block?.push(e);
    else if (section === "ENTITIES" && e.type !== "ENDSEC") model.push(e);
  }
  const unit = { 1: 25.4, 4: 1, 5: 10, 6: 1000, 13: 0.001 }[
    Number(/\$INSUNITS\r?\n\s*70\r?\n\s*(\d+)/.exec(text)?.[1])
  ] as number;
  const expand = (e: Entity, layer: string): { at: Pt; layer: string }[] => {
    const lay = word(e, 8) === "0" ? layer : word(e, 8);
    if (e.type !== "INSERT")
      return pointsOf(e).map((at) => ({ at, layer: lay }));
    const turn = (one(e, 50) * Math.PI) / 180;
    return (blocks.get(word(e, 2)) ?? [])
      .flatMap((x) => expand(x, lay))
      .map(({ at, layer: l }) => {
        const q = polar(pt(0, 0), 1, turn);
        const x = at.x * one(e, 41, 1);
        const y = at.y * one(e, 42, 1);
        return {
          at: pt(
            one(e, 10) + q.x * x - q.y * y,
            one(e, 20) + q.y * x + q.x * y,
          ),
          layer: l,
        };
      });
  };
  return model
    .flatMap((e) => expand(e, "0"))
    .map(({ at, layer }) => ({ at: pt(at.x * unit, at.y * unit), layer }));
}

const STEPS = 24;

function pointsOf(e: Entity): Pt[] {
  const steps = Array.from({ length: STEPS + 1 }, (_, i) => i / STEPS);
  const flip = one(e, 230, 1) < 0 ? -1 : 1;
  const see = (p: Pt): Pt => pt(flip * p.x, p.y);
  const c = pt(one(e, 10), one(e, 20));
  if (e.type === "LINE")
    return steps.map((f) =>
      pt(c.x + f * (one(e, 11) - c.x), c.y + f * (one(e, 21) - c.y)),
    );
  if (e.type === "CIRCLE")
    return steps.map((f) => see(polar(c, one(e, 40), 2 * Math.PI * f)));
  if (e.type === "ARC") {
    const a = one(e, 50);
    const b = one(e, 51) + (one(e, 51) < a ? 360 : 0);
    return steps.map((f) =>
      see(polar(c, one(e, 40), ((a + f * (b - a)) * Math.PI) / 180)),
    );
  }
  if (e.type === "LWPOLYLINE") {
    const x = all(e, 10);
    const y = all(e, 20);
    const b = all(e, 42);
    return x.flatMap((_, i) => {
      const j = (i + 1) % x.length;
      const p = pt(x[i] as number, y[i] as number);
      const q = pt(x[j] as number, y[j] as number);
      const k = b[i] ?? 0;
      // Apex of the bulge: half the chord times the bulge, to the right of the way.
      const apex = pt(
        (p.x + q.x) / 2 + (k * (q.y - p.y)) / 2,
        (p.y + q.y) / 2 - (k * (q.x - p.x)) / 2,
      );
      return [p, apex, q].map(see);
    });
  }
  if (e.type === "ELLIPSE") {
    const major = pt(one(e, 11), one(e, 21));
    const k = one(e, 40);
    return steps.map((f) => {
      const u = 2 * Math.PI * f;
      return pt(
        c.x + Math.cos(u) * major.x - Math.sin(u) * k * major.y,
        c.y + Math.cos(u) * major.y + Math.sin(u) * k * major.x,
      );
    });
  }
  if (e.type === "SPLINE") {
    const knots = all(e, 40);
    const x = all(e, 10);
    const y = all(e, 20);
    const w = all(e, 41);
    const degree = one(e, 71);
    const lo = knots[degree] as number;
    const hi = knots[knots.length - 1 - degree] as number;
    const at = nurbs(
      degree,
      knots,
      x.map((v, i) => pt(v, y[i] as number)),
      w.length > 0 ? w : null,
    );
    return steps.map((f) => at(lo + f * (hi - lo)).p);
  }
  throw new Error(`no points for ${e.type}`);
}

describe("the drawings are what they say they are", () => {
  for (const name of Object.keys(FAMILIES).filter((n) => n !== "many"))
    it(`${name}: everything in the file lies on the outlines kept aside, on their layers, and reaches all of them`, () => {
      const c = caseOf(name, 1);
      const points = drawnPoints(c.dxf);
      const reached = new Map<number, number>();
      const byLayer = c.truth.outlines.map((o) => ({
        o,
        t: knowTruth([{ ...o, role: "opening" }]),
      }));
      let worst = 0;
      for (const { at, layer } of points) {
        let best = Number.POSITIVE_INFINITY;
        if (layer === "HOLES")
          for (const d of c.asked.drawn ?? [])
            best = Math.min(best, Math.abs(gap(at, d.at) - d.diameter / 2));
        for (const { o, t } of byLayer) {
          if (o.layer !== layer) continue;
          const near = t.edges.nearest(at, 0.01).d;
          best = Math.min(best, near);
          if (near < 1e-5)
            reached.set(o.index, (reached.get(o.index) ?? 0) + 1);
        }
        worst = Math.max(worst, best);
      }
      expect(worst).toBeLessThan(6e-6);
      for (const o of c.truth.outlines)
        expect(reached.get(o.index) ?? 0).toBeGreaterThanOrEqual(
          o.spans.length,
        );
    });
});

describe("the shapes", () => {
  for (const [name, make] of Object.entries(MAKERS))
    it(`${name}: closed, simple, counter-clockwise for many seeds`, () => {
      for (let seed = 1; seed <= 12; seed++) {
        const d = make(randomFrom(seed * 131));
        expect(worstGap(d)).toBeLessThan(1e-9);
        const o = knowTruth([{ ...d, role: "opening", layer: "0" }])
          .outlines[0];
        expect(o?.area).toBeGreaterThan(5);
        if (d.spans.length > 2) expect(isSimple(d.spans, 0.01)).toBe(true);
        // The whole turn of a simple closed curve is 2π.
        let turn = 0;
        d.spans.forEach((s, i) => {
          const next = d.spans[(i + 1) % d.spans.length] as typeof s;
          turn += folded(startHeading(next) - endHeading(s));
          if (s.t === "round") turn += s.turn;
          if (s.t === "smooth")
            for (let k = 1; k < s.headings.length; k++)
              turn += folded(
                (s.headings[k] as number) - (s.headings[k - 1] as number),
              );
        });
        expect(turn).toBeCloseTo(2 * Math.PI, 6);
      }
    });

  it("a bulge of 0.5 from (0, 0) to (10, 0) has radius 6.25, centre (5, 3.75), lowest point (5, -2.5) (DXF reference: bulge = tan(angle / 4))", () => {
    const a = bulged(pt(0, 0), pt(10, 0), 0.5);
    expect(a.t).toBe("round");
    if (a.t !== "round") return;
    expect(a.r).toBeCloseTo(6.25, 12);
    expect(gap(a.c, pt(5, 3.75))).toBeLessThan(1e-12);
  });

  it("the quarter circle as a rational quadratic passes (0.92978830, 0.36809471) at a quarter, with its true heading", () => {
    const at = nurbs(
      2,
      [0, 0, 0, 1, 1, 1],
      [pt(1, 0), pt(1, 1), pt(0, 1)],
      [1, Math.SQRT1_2, 1],
    );
    const m = at(0.25);
    expect(m.p.x).toBeCloseTo(0.9297883, 7);
    expect(m.p.y).toBeCloseTo(0.36809471, 7);
    // On a circle about the origin the velocity is square to the radius, the centripetal acceleration is v²/r.
    expect(m.p.x * m.v.x + m.p.y * m.v.y).toBeCloseTo(0, 12);
    const inward = -(m.p.x * m.a.x + m.p.y * m.a.y);
    expect(inward).toBeCloseTo(m.v.x ** 2 + m.v.y ** 2, 10);
  });

  it("an ellipse 5 x 3 has area 15π and the perimeter 25.526998863398 (complete elliptic integral), chords within 2 nm", () => {
    const d = ellipseOf(pt(0, 0), pt(5, 0), 0.6);
    const o = knowTruth([{ ...d, role: "opening", layer: "0" }]).outlines[0];
    expect(o?.area).toBeCloseTo(15 * Math.PI, 4);
    expect(o?.perimeter).toBeCloseTo(25.526998863398, 5);
    const s = d.spans[0] as Smooth;
    for (let i = 1; i < s.points.length; i++) {
      const a = s.points[i - 1] as Pt;
      const b = s.points[i] as Pt;
      const bend = Math.abs(
        folded((s.headings[i] as number) - (s.headings[i - 1] as number)),
      );
      // Sagitta of a chord: its length times a quarter of half the turn.
      expect((gap(a, b) * bend) / 8).toBeLessThan(2.05e-6);
    }
  });

  it("a circle is two half circles", () => {
    expect(piecesOf(circle(randomFrom(4)))).toHaveLength(2);
  });
});
