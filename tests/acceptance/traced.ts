/**
 * A program for any shape, made the dullest way there is: short chords through the samples of the true offset curve,
 * corners where neighbouring chords meet. Only to try the judge on shapes that `formula.ts` does not know.
 */
import type { ByHand, Recipe } from "./formula.js";
import { gap, type Pt, polar, pt } from "./plane.js";
import {
  innermost,
  knowTruth,
  offsetSamples,
  type Sample,
  type TrueOutline,
} from "./truth.js";

const STEP = 0.008;

/** Chords through the samples; where samples were left out at an inside corner, to where the chords meet. */
function withCorners(samples: readonly Sample[]): Sample[] {
  const out: Sample[] = [];
  samples.forEach((q, i) => {
    out.push(q);
    const b = samples[i + 1];
    if (!b || gap(q.at, b.at) < 1e-9) return;
    const before = samples[i - 1];
    const after = samples[i + 2];
    if (b.s - q.s < 1.5 * STEP || !before || !after) return;
    const [ux, uy] = [q.at.x - before.at.x, q.at.y - before.at.y];
    const [vx, vy] = [after.at.x - b.at.x, after.at.y - b.at.y];
    const det = ux * vy - uy * vx;
    if (Math.abs(det) < 1e-12) return;
    const f = ((b.at.x - q.at.x) * vy - (b.at.y - q.at.y) * vx) / det;
    out.push({ ...q, at: pt(q.at.x + f * ux, q.at.y + f * uy) });
  });
  return out;
}

export function programTraced(outline: TrueOutline, r: Recipe): ByHand | null {
  const truth = knowTruth([outline]);
  const o = truth.outlines[0];
  if (!o) return null;
  const offsets = r.passes.map((q) => r.wire / 2 + q.gap + q.leave);
  const kerf = r.wire / 2 + (r.passes[0]?.gap ?? 0);
  const d1 = offsets[0] as number;
  const away = d1 + 0.1;
  const round = (p: Pt): Pt =>
    pt(Number(p.x.toFixed(4)), Number(p.y.toFixed(4)));
  const rough = offsetSamples(truth, o, d1, STEP);
  const outer = offsetSamples(truth, o, 1, STEP);
  const home = o.role === "opening" ? 0 : -1;
  const stretch = r.tab + 2 * kerf + 2 * r.overlap;
  // P lies where the normal stays clear for a millimetre and no corner is near on either side.
  const start = outer.find((q) => {
    if (q.weight === 0) return false;
    if (truth.edges.nearest(q.at, 1).d < 1 - 1e-6) return false;
    if (innermost(truth, q.at) !== home) return false;
    const near = rough.filter((k) => Math.abs(k.s - q.s) < stretch);
    return (
      q.s > stretch &&
      q.s < o.perimeter - stretch &&
      near.length > 1.5 * (stretch / STEP) &&
      near.every(
        (k, i) => i === 0 || gap(k.at, (near[i - 1] as Sample).at) < 2 * STEP,
      )
    );
  });
  if (!start) return null;
  const hole = round(start.at);
  const P = start.s;
  const along = (d: number, from: number, to: number): Pt[] => {
    const all = offsetSamples(truth, o, d, STEP);
    const twice = [...all, ...all.map((q) => ({ ...q, s: q.s + o.perimeter }))];
    return withCorners(twice.filter((q) => q.s >= from && q.s <= to)).map(
      (q) => q.at,
    );
  };
  const T = P + o.perimeter - (r.tab + 2 * kerf);
  const standOff = offsetSamples(truth, o, away, STEP);
  const offAt = (s: number): Pt => {
    const apart = (q: Sample): number =>
      Math.abs(((q.s - s + 1.5 * o.perimeter) % o.perimeter) - o.perimeter / 2);
    return standOff.reduce((a, b) => (apart(b) < apart(a) ? b : a)).at;
  };
  const lines: string[] = ["%", "N10 G71", "N20 G90 G17 G40"];
  let n = 20;
  let at = pt(0, 0);
  let length = 0;
  let inWire = false;
  const block = (t: string): void => {
    n += 10;
    lines.push(`N${n} ${t}`);
  };
  const go = (word: string, p: Pt): void => {
    if (inWire) length += gap(at, round(p));
    at = round(p);
    block(`${word} X${at.x.toFixed(4)} Y${at.y.toFixed(4)}`);
  };
  const stroke = (k: number, from: number, to: number, back: boolean): void => {
    const path = along(offsets[k] as number, from, to);
    if (back) path.reverse();
    go("G01", offAt(back ? to : from));
    for (const p of path) go("G01", p);
    go("G01", offAt(back ? from : to));
  };
  let threads = 0;
  let stops = 0;
  const threaded = (work: () => void): void => {
    go("G00", hole);
    block("T1 M06");
    inWire = true;
    threads++;
    work();
    inWire = false;
    block("T0 M06");
  };
  const id = `${o.role}-1`;
  const stop = (what: string): void => {
    stops++;
    block(`M00 (${id}: ${what})`);
  };
  const last = offsets.length - 1;
  threaded(() => {
    for (let k = 0; k <= last; k++) stroke(k, P, T, k % 2 === 1);
  });
  stop("secure the piece");
  const part = o.role === "part";
  const end = P + o.perimeter;
  // The tab is cut from P on: the lead comes in there.
  threaded(() => stroke(part ? last : 0, T, end, true));
  if (!part && last > 0) {
    stop("take the slug out");
    threaded(() => {
      for (let k = 1; k <= last; k++)
        stroke(k, T - r.overlap, end + r.overlap, k % 2 === 1);
    });
  }
  block("M30");
  const tabAt =
    offsetSamples(truth, o, 0, STEP).find(
      (q) => q.s >= (T + end) / 2 - o.perimeter,
    )?.at ?? polar(hole, 0, 0);
  return {
    outlines: [outline],
    lines,
    holes: { [id]: 0.5 },
    asked: {
      wire: r.wire,
      order: "unattended-first",
      clearance: 0.2,
      grid: 0.0001,
      overlap: r.overlap,
      tab: r.tab,
      passes: r.passes,
      inch: false,
      control: false,
    },
    printed: {
      ok: true,
      features: [
        {
          id,
          role: o.role,
          layer: o.layer,
          area: o.area,
          perimeter: o.perimeter,
          startHole: [hole.x, hole.y],
          tab: { length: r.tab, at: [tabAt.x, tabAt.y] },
        },
      ],
      passes: r.passes.map((q, i) => ({
        number: i + 1,
        ...q,
        offset: offsets[i] as number,
      })),
      cuts: [],
      stops: [],
      totals: { cutLength: length, threads, stops },
      findings: [],
      proof: {
        ok: true,
        maxGouge: 0,
        loosePieces: [{ feature: id, attended: true }],
        blocks: lines.length - 1,
      },
      files: [],
    },
  };
}
