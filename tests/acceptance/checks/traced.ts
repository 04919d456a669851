/** Check b: every pass runs along its whole offset curve, one after the other, to and fro, with overlap. */

import { type Complain, show, um, type Who } from "../complaints.js";
import { reachable } from "../material.js";
import { grown, type Pt, pt } from "../plane.js";
import {
  type Asked,
  type Printed,
  type PrintedFeature,
  pointFrom,
} from "../printed.js";
import type { Replay } from "../replay.js";
import {
  type Known,
  offsetSamples,
  type Sample,
  type Truth,
} from "../truth.js";
import { checkTab, gapAt } from "./tab.js";
import {
  arcPosition,
  attendedFor,
  fromTab,
  hitsAt,
  type Track,
  trackOf,
} from "./track.js";

const TRACE_MM = 0.0003;

const TRACE_INCH = 0.00045;

/** (b) and the parts of (d) and (o) that rest on it: the tab, the order of passes, the skims' directions, overlap. */
export function checkTraced(
  truth: Truth,
  r: Replay,
  feature: readonly string[],
  who: Who,
  printed: Printed,
  asked: Asked,
  complain: Complain,
): number {
  const track = trackOf(r);
  const tol = r.inch ? TRACE_INCH : TRACE_MM;
  let miss = 0;
  for (const f of printed.features) {
    const o = who.get(f.id);
    if (!o) continue;
    const told = printed.findings
      .filter((n) => n.feature === f.id)
      .map((n) => n.code);
    const firstSeen = new Map<number, number>();
    const directions: number[] = [];
    // What is cut away whole goes round from one place in one thread: there is no tab to look for.
    const tab = f.tab && arcPosition(o, pointFrom(f.tab.at) as Pt);
    const kerf = asked.wire / 2 + (printed.passes[0]?.gap ?? 0);
    const early = new Set<number>();
    r.threadings.forEach((t, i) => {
      if (feature[i] === f.id && !attendedFor(r, t, f.id)) early.add(i);
    });
    printed.passes.forEach((pass, k) => {
      const finalPass = k === printed.passes.length - 1;
      const step = Math.max(0.02, Math.min(0.1, o.perimeter / 400));
      const samples = offsetSamples(truth, o, pass.offset, step);
      if (samples.length === 0)
        complain("b", `${f.id} pass ${k + 1}: the wire can go nowhere`);
      const missed: Sample[] = [];
      const seen: { s: number; n: number }[] = [];
      let twice = 0;
      const order: string[] = [];
      for (const q of samples) {
        const hits = hitsAt(track, q.at, tol);
        if (hits.length === 0) {
          missed.push(q);
          continue;
        }
        miss = Math.max(miss, Math.min(...hits.map((h) => h.d)));
        for (const h of hits)
          if (early.has(h.threading)) seen.push({ s: q.s, n: h.n });
        if (new Set(hits.map((h) => h.threading)).size > 1) twice += q.weight;
        if (q.weight === 0) continue;
        const first = Math.min(...hits.map((h) => h.n));
        const before = firstSeen.get(q.place);
        if (before !== undefined && first < before) order.push(show(q.at));
        firstSeen.set(q.place, Math.max(first, before ?? 0));
      }
      // One place alone is where two strokes end: of one it is within the tolerance, of the other it is not.
      if (order.length > 1)
        complain(
          "b",
          `${f.id}: pass ${k + 1} comes before pass ${k} at ${order.length} places, first ${order[0]}`,
        );
      let left = missed;
      if (
        f.tab &&
        tab !== null &&
        (k === 0 || (o.role === "part" && !finalPass))
      ) {
        const reach = 2 * f.tab.length + 2 * kerf + 2;
        const out = gapAt(truth, o, pass.offset, tab, reach, (p) =>
          hitsAt(track, p, tol).some((h) => early.has(h.threading)),
        );
        if (k === 0) {
          checkTab(o, f, f.tab.length, out, kerf, asked, told, complain);
        }
        // The tab of a part is cut at the finish offset only.
        if (out && o.role === "part" && !finalPass)
          left = missed.filter((q) => {
            const s = fromTab(o, tab, q.s);
            return s < out.lo || s > out.hi;
          });
      }
      miss = Math.max(
        miss,
        explainMissed(truth, o, f, pass.offset, left, track, complain, k + 1),
      );
      if (tab !== null) directions.push(directionOf(seen, tab, o.perimeter));
      if (
        // Places in inside corners do not count, so not all of the overlap can be asked for; less is well if it is told.
        f.tab &&
        finalPass &&
        k > 0 &&
        o.role === "opening" &&
        twice < asked.overlap &&
        !told.some((code) => /overlap/.test(code))
      )
        complain(
          "o",
          `${f.id}: final pass overlaps ${twice.toFixed(3)} mm in all, asked 2 x ${asked.overlap}`,
        );
    });
    for (let k = 1; k < directions.length; k++)
      if (directions[k] === directions[k - 1])
        complain("o", `${f.id}: pass ${k + 1} runs the same way as pass ${k}`);
  }
  return miss;
}

/** +1 when later moves lie further along the outline from the tab, -1 when the other way. */
function directionOf(
  seen: readonly { s: number; n: number }[],
  tab: number,
  perimeter: number,
): number {
  const from = seen.map(({ s, n }) => ({
    s: (s - tab + perimeter) % perimeter,
    n,
  }));
  const mean = (of: (q: { s: number; n: number }) => number): number =>
    from.reduce((sum, q) => sum + of(q), 0) / Math.max(1, from.length);
  const ms = mean((q) => q.s);
  const mn = mean((q) => q.n);
  return Math.sign(mean((q) => (q.s - ms) * (q.n - mn)));
}

/** Says what was not traced though the wire can get there from the start hole; how far off at the worst, mm. */
function explainMissed(
  truth: Truth,
  o: Known,
  f: PrintedFeature,
  offset: number,
  missed: readonly Sample[],
  track: Track,
  complain: Complain,
  k: number,
): number {
  if (missed.length === 0) return 0;
  const can = reachable(
    grown(o.bounds, 2 * offset + 1.5),
    (p) => truth.edges.nearest(p, offset).d >= offset - 1e-6,
    pt(...f.startHole),
    missed.map((q) => q.at),
  );
  const left = missed.filter((_, i) => can[i]);
  if (left.length === 0) return 0;
  let worst = 0;
  let at = left[0] as Sample;
  for (const q of left) {
    const d = Math.min(0.05, track.field.nearest(q.at, 0.05).d);
    if (d > worst) {
      worst = d;
      at = q;
    }
  }
  const length = left.reduce((sum, q) => sum + q.weight, 0);
  complain(
    "b",
    `${f.id} (${o.kind} ${o.role}) pass ${k}: ${left.length} places (${length.toFixed(3)} mm) not traced; worst ${worst >= 0.05 ? "over 50 µm" : um(worst)} off at ${show(at.at)}, ${at.s.toFixed(3)} mm along`,
  );
  return worst;
}
