/** Check b: every pass runs along its whole offset curve, one after the other, to and fro, with overlap. */

import { type Complain, show, um, type Who } from "../complaints.js";
import { reachable } from "../material.js";
import { grown } from "../plane.js";
import {
  type Asked,
  holeAt,
  type Paper,
  type Printed,
  type PrintedFeature,
  passesFor,
  pointFrom,
  waysOf,
} from "../printed.js";
import type { Replay } from "../replay.js";
import {
  type Known,
  offsetSamples,
  type Sample,
  type Truth,
} from "../truth.js";
import { bridgeAt, checkTab, type Gap, gapAt } from "./tab.js";
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

/** Findings that say how much of a tab holds where it is narrowest. */
const NARROWER = ["tab/beside-hole", "tab/on-flank", "tab/narrow"];

/** (b) and the parts of (d) and (o) that rest on it: the tab, the order of passes, the skims' directions, overlap. */
export function checkTraced(
  truth: Truth,
  r: Replay,
  feature: readonly string[],
  who: Who,
  printed: Printed,
  paper: Paper,
  asked: Asked,
  complain: Complain,
): number {
  const track = trackOf(r);
  const tol = r.inch ? TRACE_INCH : TRACE_MM;
  let miss = 0;
  let roughEnds = Number.NEGATIVE_INFINITY;
  let skimsBegin = Number.POSITIVE_INFINITY;
  for (const f of printed.features) {
    const o = who.get(f.id);
    if (!o) continue;
    const told = printed.findings
      .filter((n) => n.feature === f.id)
      .map((n) => n.code);
    const firstSeen = new Map<number, number>();
    // What is cut away whole goes round from one place in one thread: there is no tab to look for.
    const tabs = waysOf(f).flatMap(({ at, tab }) => {
      const mid = tab && pointFrom(tab.at);
      return tab && mid
        ? [{ hole: at, length: tab.length, s: arcPosition(o, mid) }]
        : [];
    });
    const directions = new Map<number, number[]>();
    const kerf = asked.wire / 2 + (printed.passes[0]?.gap ?? 0);
    const early = new Set<number>();
    r.threadings.forEach((t, i) => {
      if (feature[i] === f.id && !attendedFor(r, t, f.id)) early.add(i);
    });
    passesFor(printed, paper, f.id).forEach((pass, k) => {
      const finalPass = k === printed.passes.length - 1;
      const step = Math.max(0.02, Math.min(0.1, o.perimeter / 400));
      const samples = offsetSamples(truth, o, pass.offset, step);
      if (samples.length === 0)
        complain("b", `${f.id} pass ${k + 1}: the wire can go nowhere`);
      const missed: Sample[] = [];
      const seen = new Map<number, { s: number; n: number }[]>();
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
          if (early.has(h.threading)) {
            const list = seen.get(h.threading) ?? [];
            list.push({ s: q.s, n: h.n });
            seen.set(h.threading, list);
          }
        if (new Set(hits.map((h) => h.threading)).size > 1) twice += q.weight;
        if (q.weight === 0) continue;
        const first = Math.min(...hits.map((h) => h.n));
        if (f.tab && k === 0) roughEnds = Math.max(roughEnds, first);
        if (f.tab && k > 0) skimsBegin = Math.min(skimsBegin, first);
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
      const outs: { gap: Gap; s: number }[] = [];
      if (k === 0 || (o.role === "part" && !finalPass))
        for (const tab of tabs) {
          const reach = 2 * tab.length + 2 * kerf + 2;
          const out = gapAt(truth, o, pass.offset, tab.s, reach, (p) =>
            hitsAt(track, p, tol).some((h) => early.has(h.threading)),
          );
          if (out) outs.push({ gap: out, s: tab.s });
          if (k > 0) continue;
          checkTab(o, f, tab.length, out, kerf, asked, told, complain);
          const bridge = bridgeAt(
            o,
            tab,
            r.threadings.filter((_, i) => early.has(i)),
            { kerf, rough: pass.offset },
            (holeAt(paper, tab.hole) ?? 0) / 2,
          );
          if (
            bridge < 0.5 * tab.length - 0.02 &&
            !NARROWER.some((code) => told.includes(code))
          )
            complain(
              "d",
              `${f.id} (${o.kind} ${o.role}): of its tab of ${tab.length} mm only ${bridge.toFixed(3)} mm stand where it is narrowest`,
            );
        }
      // The tab of a part is cut at the finish offset only.
      const left =
        o.role === "part"
          ? missed.filter((q) =>
              outs.every((out) => {
                const s = fromTab(o, out.s, q.s);
                return s < out.gap.lo || s > out.gap.hi;
              }),
            )
          : missed;
      miss = Math.max(
        miss,
        explainMissed(truth, o, f, pass.offset, left, track, complain, k + 1),
      );
      for (const [i, list] of seen) {
        const ways = directions.get(i) ?? [];
        if (tabs[0]) ways.push(directionOf(list, tabs[0].s, o.perimeter));
        directions.set(i, ways);
      }
      if (
        // Places in inside corners do not count, so not all of the overlap can be asked for; less is well if it is told.
        f.tab &&
        finalPass &&
        k > 0 &&
        o.role === "opening" &&
        !asked.relief &&
        twice < asked.overlap * tabs.length &&
        !told.some((code) => /overlap/.test(code))
      )
        complain(
          "o",
          `${f.id}: final pass overlaps ${twice.toFixed(3)} mm in all, asked ${2 * tabs.length} x ${asked.overlap}`,
        );
    });
    // To and fro in one thread; with a rest after the rough the skims are threaded anew, and begin again at the lead.
    for (const ways of directions.values())
      for (let k = asked.relief ? 2 : 1; k < ways.length; k++)
        if (ways[k] === ways[k - 1])
          complain(
            "o",
            `${f.id}: pass ${k + 1} runs the same way as pass ${k}`,
          );
  }
  if (asked.relief && skimsBegin < roughEnds)
    complain(
      "o",
      "stress is to be let out first, but a skim comes before the last rough",
    );
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
  const from = waysOf(f).map(({ at }) =>
    reachable(
      grown(o.bounds, 2 * offset + 1.5),
      (p) => truth.edges.nearest(p, offset).d >= offset - 1e-6,
      at,
      missed.map((q) => q.at),
    ),
  );
  const left = missed.filter((_, i) => from.some((can) => can[i]));
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
