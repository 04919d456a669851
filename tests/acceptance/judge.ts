/**
 * The outside judge: a drawing's truth, the text of a program and what the command line printed go in, every way in
 * which they disagree with the contract comes out. Checks: a clear of the edge, b offset curves traced, c right side,
 * d loose pieces, e start holes, f program text, o order of work, j the printed JSON.
 */
import { type Loosened, loosened, reachable } from "./material.js";
import {
  type Bounds,
  between,
  boundsOf,
  boundsOfAll,
  type Field,
  fieldOf,
  folded,
  gap,
  grown,
  insideRing,
  lengthOf,
  lengthTo,
  nearestOn,
  type Piece,
  type Pt,
  pointOn,
  pt,
} from "./plane.js";
import { burntLength, type Replay, replay, type Threading } from "./replay.js";
import {
  endHeading,
  innermost,
  type Known,
  offsetSamples,
  type Sample,
  type Span,
  startHeading,
  type Truth,
} from "./truth.js";

export interface PrintedFeature {
  readonly id: string;
  readonly role: string;
  readonly layer: string;
  readonly area: number;
  readonly perimeter: number;
  readonly startHole: readonly [number, number];
  readonly tab: { readonly length: number; readonly at: unknown };
}

/** What `plan --json` prints, as far as it is looked at. */
export interface Printed {
  readonly ok: boolean;
  readonly features: readonly PrintedFeature[];
  readonly passes: readonly {
    readonly number: number;
    readonly gap: number;
    readonly leave: number;
    readonly offset: number;
  }[];
  readonly cuts: readonly unknown[];
  readonly stops: readonly unknown[];
  readonly totals: {
    readonly cutLength: number;
    readonly threads: number;
    readonly stops: number;
  };
  readonly findings: readonly {
    readonly code: string;
    readonly severity: string;
    readonly message: string;
    readonly where?: readonly [number, number];
    readonly feature?: string;
  }[];
  readonly proof: {
    readonly ok: boolean;
    readonly maxGouge: number;
    readonly loosePieces: readonly {
      readonly feature: string;
      readonly attended: boolean;
    }[];
    readonly blocks: number;
  };
  readonly files: readonly string[];
}

/** What the job asked for, in mm; what it leaves open is left out. */
export interface Asked {
  readonly wire: number;
  readonly order: "unattended-first" | "one-by-one";
  readonly clearance: number;
  readonly grid: number;
  readonly overlap: number;
  readonly tab?: number;
  readonly passes?: readonly { readonly gap: number; readonly leave: number }[];
  readonly passCount?: number;
  readonly inch: boolean;
  readonly control: boolean;
}

export interface Complaint {
  readonly check: string;
  readonly text: string;
}

export interface Verdict {
  readonly complaints: readonly Complaint[];
  /** Deepest the wire came inside the final offset, mm; negative when it kept off. */
  readonly gouge: number;
  /** Furthest a place the wire must pass is from its path, mm. */
  readonly miss: number;
  readonly pieces: number;
  readonly blocks: number;
}

/** Truth 1 of the contract. */
const GOUGE = 0.0005;
const TRACE_MM = 0.0003;
const TRACE_INCH = 0.00045;

const show = (p: Pt): string => `(${p.x.toFixed(4)}, ${p.y.toFixed(4)})`;
const um = (d: number): string => `${(d * 1000).toFixed(3)} µm`;

/** A pair that may be written [x, y] or {x, y}. */
export function pointFrom(v: unknown): Pt | null {
  if (Array.isArray(v) && v.length === 2 && v.every(Number.isFinite))
    return pt(v[0], v[1]);
  const o = v as { x?: unknown; y?: unknown } | null;
  return o && Number.isFinite(o.x) && Number.isFinite(o.y)
    ? pt(o.x as number, o.y as number)
    : null;
}

export function judge(
  truth: Truth,
  text: string,
  printed: Printed,
  asked: Asked,
  /** Start hole diameters by feature, from the written plan. */
  holes: Readonly<Record<string, number>>,
): Verdict {
  const complaints: Complaint[] = [];
  const tally: Record<string, number> = {};
  const complain = (check: string, what: string): void => {
    tally[check] = (tally[check] ?? 0) + 1;
    if ((tally[check] as number) <= 6) complaints.push({ check, text: what });
  };
  const registers: Record<number, number> = {};
  for (const p of printed.passes) registers[p.number] = p.offset;
  const r = replay(text, registers);
  for (const f of r.faults) complain("f", f);
  if (r.inch !== asked.inch)
    complain("f", `program in ${r.inch ? "inch" : "mm"}, asked for the other`);
  const compensated = (r.words.G41 ?? 0) + (r.words.G42 ?? 0) > 0;
  if (compensated !== asked.control)
    complain("f", `compensation ${compensated ? "in" : "not in"} the control`);

  checkPasses(printed, asked, complain);
  const who = matchFeatures(truth, printed, complain);
  checkTotals(printed, r, complain);
  const feature = r.threadings.map((t) => {
    const f = printed.features.find(
      (p) => gap(pt(...p.startHole), t.at) < 0.001,
    );
    if (!f)
      complain("e", `line ${t.line}: threads at ${show(t.at)}, no start hole`);
    return f && who.has(f.id) ? f.id : "";
  });
  const last = printed.passes[printed.passes.length - 1]?.offset ?? 0;
  const gouge = checkClear(truth, r, last, complain);
  checkSides(truth, r, feature, who, complain);
  const miss = checkTraced(truth, r, feature, who, printed, asked, complain);
  const pieces = checkLoose(truth, r, who, printed, asked, holes, complain);
  checkHoles(truth, printed, asked, who, holes, complain);
  checkOrder(r, feature, who, printed, asked, complain);
  checkFindings(printed, who, last, complain);
  for (const [check, n] of Object.entries(tally))
    if (n > 6) complaints.push({ check, text: `… and ${n - 6} more` });
  return { complaints, gouge, miss, pieces, blocks: r.blocks };
}

type Complain = (check: string, what: string) => void;
type Who = ReadonlyMap<string, Known>;

function checkPasses(p: Printed, asked: Asked, complain: Complain): void {
  const n = asked.passes?.length ?? asked.passCount;
  if (n !== undefined && p.passes.length !== n)
    complain("j", `${p.passes.length} passes, asked for ${n}`);
  p.passes.forEach((pass, i) => {
    const want = asked.wire / 2 + pass.gap + pass.leave;
    if (Math.abs(pass.offset - want) > 1e-9)
      complain("j", `pass ${i + 1}: offset ${pass.offset} is not ${want}`);
    if (pass.number !== i + 1) complain("j", `pass ${i + 1} is numbered wrong`);
    const a = asked.passes?.[i];
    if (
      a &&
      (Math.abs(a.gap - pass.gap) > 1e-9 ||
        Math.abs(a.leave - pass.leave) > 1e-9)
    )
      complain("j", `pass ${i + 1}: gap or leave is not the job's`);
  });
  if (p.passes.length > 0 && p.passes[p.passes.length - 1]?.leave !== 0)
    complain("j", "the last pass leaves stock");
}

/** Printed feature to true outline: the place of the tab on the outline and the area must both fit. */
function matchFeatures(truth: Truth, p: Printed, complain: Complain): Who {
  const who = new Map<string, Known>();
  const cut = truth.outlines.filter((o) => o.role !== "stock");
  const taken = new Set<number>();
  for (const f of p.features) {
    const at = pointFrom(f.tab?.at);
    if (!at) {
      complain("j", `${f.id}: tab.at is no point`);
      continue;
    }
    const near = truth.edges.nearest(at, 0.05);
    const o = truth.outlines[truth.owner[near.index] ?? -1];
    if (!o || near.d > 0.002) {
      complain("j", `${f.id}: tab at ${show(at)} lies on no outline`);
      continue;
    }
    if (taken.has(o.index))
      complain("j", `${f.id}: its outline is taken twice`);
    taken.add(o.index);
    who.set(f.id, o);
    if (f.role !== o.role)
      complain("j", `${f.id}: role ${f.role}, drawn as ${o.role}`);
    if (f.layer !== o.layer)
      complain("j", `${f.id}: layer ${f.layer}, drawn on ${o.layer}`);
    // A curve may be 0.5 µm off along its whole length.
    const slack = o.perimeter * 0.0005 + 1e-6;
    if (Math.abs(f.area - o.area) > slack)
      complain("j", `${f.id}: area ${f.area}, in truth ${o.area}`);
    if (Math.abs(f.perimeter - o.perimeter) > 1e-3 + 1e-5 * o.perimeter)
      complain("j", `${f.id}: perimeter ${f.perimeter}, truly ${o.perimeter}`);
  }
  for (const o of cut)
    if (!taken.has(o.index))
      complain(
        "j",
        `${o.kind} ${o.role} at ${show(o.ring[0] as Pt)} is in no feature`,
      );
  if (p.features.length !== cut.length)
    complain("j", `${p.features.length} features, drawn ${cut.length}`);
  return who;
}

function checkTotals(p: Printed, r: Replay, complain: Complain): void {
  // The contract lists "mm, minutes, kg, m" without saying which total is in which: mm or m will do.
  const burnt = burntLength(r);
  if (
    [1, 1000].every(
      (k) => Math.abs(k * p.totals.cutLength - burnt) > 0.01 * burnt,
    )
  )
    complain("j", `totals.cutLength ${p.totals.cutLength}, burnt ${burnt} mm`);
  if (p.totals.threads !== r.threadings.length)
    complain(
      "j",
      `totals.threads ${p.totals.threads}, threaded ${r.threadings.length}`,
    );
  const stops = r.stops.filter((s) => !s.optional).length;
  if (p.totals.stops !== stops)
    complain("j", `totals.stops ${p.totals.stops}, M00 ${stops} times`);
  if (p.proof.blocks !== r.blocks)
    complain("j", `proof.blocks ${p.proof.blocks}, counted ${r.blocks}`);
  if (!p.ok || !p.proof.ok) complain("j", "exit 0 but ok or proof.ok is false");
  for (const f of p.findings)
    if (f.severity === "error")
      complain("j", `exit 0 with error ${f.code}: ${f.message}`);
}

/** (a) Greatest depth inside the final offset. */
function checkClear(
  truth: Truth,
  r: Replay,
  last: number,
  complain: Complain,
): number {
  let worst = -0.02;
  for (const t of r.threadings)
    for (const m of t.moves) {
      const box = grown(boundsOf(m.piece), last + 0.02);
      let deep = -0.02;
      let at = m.piece.a;
      for (const n of truth.edges.within(box)) {
        const near = between(m.piece, truth.edges.pieces[n] as Piece);
        if (last - near.d > deep) {
          deep = last - near.d;
          at = near.at;
        }
      }
      worst = Math.max(worst, deep);
      if (deep > GOUGE)
        complain(
          "a",
          `line ${m.line}: wire ${um(deep)} inside the final offset at ${show(at)}`,
        );
    }
  return worst;
}

/** (c) Every move stays in the waste that belongs to its feature. */
function checkSides(
  truth: Truth,
  r: Replay,
  feature: readonly string[],
  who: Who,
  complain: Complain,
): void {
  r.threadings.forEach((t, i) => {
    const o = who.get(feature[i] as string);
    if (!o) return;
    const home = o.role === "opening" ? o.index : o.parent;
    for (const m of t.moves)
      for (const f of [0, 0.5, 1]) {
        const p = pointOn(m.piece, f);
        const at = innermost(truth, p);
        if (at === home) continue;
        complain(
          "c",
          `line ${m.line}: wire at ${show(p)} is on the wrong side for ${feature[i]}`,
        );
        break;
      }
  });
}

interface Track {
  readonly field: Field;
  /** Threading of each piece of the field. */
  readonly threading: readonly number[];
}

function trackOf(r: Replay): Track {
  const pieces: Piece[] = [];
  const threading: number[] = [];
  r.threadings.forEach((t, i) => {
    for (const m of t.moves) {
      pieces.push(m.piece);
      threading.push(i);
    }
  });
  return { field: fieldOf(pieces, 1), threading };
}

const attendedFor = (r: Replay, t: Threading, id: string): boolean =>
  r.stops
    .slice(0, t.lastStop + 1)
    .some((s) => !s.optional && names(s.comment, id));

/** Does a stop's comment name the feature, whole and not as the beginning of another name? */
export function names(comment: string, id: string): boolean {
  return comment
    .split(/[^A-Za-z0-9_.-]+/)
    .some((w) => w.replace(/\.$/, "") === id);
}

/** Arc length along the outline at which it is nearest to `p`. */
function arcPosition(o: Known, p: Pt): number {
  let s = 0;
  let best = { d: Infinity, s: 0 };
  for (const piece of o.pieces) {
    const near = nearestOn(piece, p);
    if (near.d < best.d) best = { d: near.d, s: s + lengthTo(piece, near.at) };
    s += lengthOf(piece);
  }
  return best.s;
}

/** Moves that pass within `tol` of `p`. */
function hitsAt(
  track: Track,
  p: Pt,
  tol: number,
): { n: number; d: number; threading: number }[] {
  const box = grown({ x0: p.x, y0: p.y, x1: p.x, y1: p.y }, tol);
  return track.field
    .within(box)
    .map((n) => ({
      n,
      d: nearestOn(track.field.pieces[n] as Piece, p).d,
      threading: track.threading[n] as number,
    }))
    .filter((h) => h.d <= tol);
}

/** (b) and the parts of (d) and (o) that rest on it: the tab, the order of passes, the skims' directions, overlap. */
function checkTraced(
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
    const tab = arcPosition(o, pointFrom(f.tab.at) as Pt);
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
      if (order.length > 0)
        complain(
          "b",
          `${f.id}: pass ${k + 1} comes before pass ${k} at ${order.length} places, first ${order[0]}`,
        );
      let left = missed;
      if (k === 0 || (o.role === "part" && !finalPass)) {
        const reach = 2 * f.tab.length + 2 * kerf + 2;
        const out = gapAt(truth, o, pass.offset, tab, reach, (p) =>
          hitsAt(track, p, tol).some((h) => early.has(h.threading)),
        );
        if (k === 0) {
          checkTab(o, f, out, kerf, asked, told, complain);
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
      directions.push(directionOf(seen, tab, o.perimeter));
      if (
        // Places in inside corners do not count, so not all of the overlap can be asked for; less is well if it is told.
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

interface Gap {
  /** Ends of the stretch left out, arc length from the tab's middle. */
  readonly lo: number;
  readonly hi: number;
  readonly onPath: number;
}

/** Arc length from `tab` to `s` the short way round. */
const fromTab = (o: Known, tab: number, s: number): number =>
  ((s - tab + 1.5 * o.perimeter) % o.perimeter) - o.perimeter / 2;

/** The stretch about the tab that the unattended strokes at offset `d` left out; null when there is none to be seen. */
function gapAt(
  truth: Truth,
  o: Known,
  d: number,
  tab: number,
  reach: number,
  early: (p: Pt) => boolean,
): Gap | null {
  const from = (q: Sample): number => fromTab(o, tab, q.s);
  const round = offsetSamples(
    truth,
    o,
    d,
    0.01,
    (s) => Math.abs(fromTab(o, tab, s)) < reach,
  ).sort((a, b) => from(a) - from(b));
  const middle = round.findIndex((q) => from(q) >= 0);
  if (middle < 1) return null;
  let lo = middle - 1;
  let hi = middle;
  while (lo > 0 && !early((round[lo] as Sample).at)) lo--;
  while (hi < round.length - 1 && !early((round[hi] as Sample).at)) hi++;
  const run = round.slice(lo, hi + 1);
  let onPath = 0;
  for (let i = 1; i < run.length; i++)
    onPath += gap((run[i] as Sample).at, (run[i - 1] as Sample).at);
  return {
    lo: from(run[0] as Sample),
    hi: from(run[run.length - 1] as Sample),
    onPath,
  };
}

/** The metal bridge left by the unattended rough against the printed tab length. */
function checkTab(
  o: Known,
  f: PrintedFeature,
  left: Gap | null,
  kerf: number,
  asked: Asked,
  told: readonly string[],
  complain: Complain,
): void {
  if (!left) {
    complain("d", `${f.id}: nothing of the rough's way near its tab`);
    return;
  }
  const want = f.tab.length;
  const slack = 0.1 * want + 0.05;
  // Round a corner the outline and the wire's path differ: anything from the one to the other is its length.
  const metal = [left.hi - left.lo, left.onPath].map((l) => l - 2 * kerf);
  if (want < Math.min(...metal) - slack || want > Math.max(...metal) + slack)
    complain(
      "d",
      `${f.id} (${o.kind} ${o.role}): tab said ${want} mm, metal left ${metal.map((l) => l.toFixed(3)).join(" (outline) or ")} (path) mm`,
    );
  const excused = told.includes(
    want > (asked.tab ?? 0) ? "tab/longer" : "tab/shortened",
  );
  if (asked.tab !== undefined && Math.abs(want - asked.tab) > 0.02 && !excused)
    complain("d", `${f.id}: tab of ${want} mm, job asked ${asked.tab}`);
}

/** (d) No piece comes loose but after an M00 that names it. */
function checkLoose(
  truth: Truth,
  r: Replay,
  who: Who,
  printed: Printed,
  asked: Asked,
  holes: Readonly<Record<string, number>>,
  complain: Complain,
): number {
  const kerf = asked.wire / 2 + (printed.passes[0]?.gap ?? 0);
  const rough = printed.passes[0]?.offset ?? 0;
  const ids = new Map([...who].map(([id, o]) => [o.index, id]));
  const cuts = r.threadings.map((t) => t.moves.map((m) => m.piece));
  const boxes: Bounds[] = cuts.map((c) => boundsOfAll(c.map(boundsOf)));
  const drilled = printed.features.map((f) => ({
    at: pt(...f.startHole),
    r: (holes[f.id] ?? 0) / 2,
  }));
  let pieces = 0;
  for (const [id, o] of who) {
    const window = grown(
      o.bounds,
      o.role === "part" ? rough + kerf + 0.6 : 0.1,
    );
    const near = cuts.map((c, i) =>
      (boxes[i] as Bounds).x1 >= window.x0 - 1 &&
      (boxes[i] as Bounds).x0 <= window.x1 + 1 &&
      (boxes[i] as Bounds).y1 >= window.y0 - 1 &&
      (boxes[i] as Bounds).y0 <= window.y1 + 1
        ? c
        : [],
    );
    const run = (surely: boolean): Loosened[] =>
      loosened(window, near, kerf, drilled, surely).filter((l) => {
        const owner = innermost(truth, l.at);
        return owner === o.index || !ids.has(owner);
      });
    const sure = run(true);
    pieces += sure.length;
    for (const l of sure) {
      const t = r.threadings[l.cut] as Threading;
      const stop = r.stops[t.lastStop];
      const owner = ids.get(innermost(truth, l.at));
      const label = `${l.area.toFixed(3)} mm² about ${show(l.at)} comes loose in the cut threaded at line ${t.line}`;
      if (owner === undefined) {
        // A sliver of the block between two leads is nobody's slug: somebody must be there all the same.
        if (!stop || !names(stop.comment, id))
          complain("d", `a stray piece of the block: ${label}`);
      } else if (!stop)
        complain("d", `${owner} (${o.kind}): ${label}, no M00 before it`);
      else if (!names(stop.comment, owner))
        complain(
          "d",
          `${owner} (${o.kind}): ${label}, last M00 says "${stop.comment}"`,
        );
      if (
        owner !== undefined &&
        !printed.proof.loosePieces.some((p) => p.feature === owner)
      )
        complain("j", `${owner}: its loose piece is not in proof.loosePieces`);
    }
    if (sure.length > 0) continue;
    if (o.role === "opening" && !hasSlug(truth, o, rough + kerf + 0.1))
      continue;
    if (run(false).length === 0)
      complain("d", `${id} (${o.kind} ${o.role}): nothing ever comes loose`);
  }
  return pieces;
}

/** Is there a place inside the opening further than `d` from its edge? */
function hasSlug(truth: Truth, o: Known, d: number): boolean {
  const b = o.bounds;
  for (let i = 1; i < 60; i++)
    for (let j = 1; j < 60; j++) {
      const p = pt(
        b.x0 + ((b.x1 - b.x0) * i) / 60,
        b.y0 + ((b.y1 - b.y0) * j) / 60,
      );
      if (insideRing(o.ring, p) && truth.edges.nearest(p, d).d > d) return true;
    }
  return false;
}

/** (e) Start holes: in the waste, clear of every finished edge, on the grid, within the block. */
function checkHoles(
  truth: Truth,
  printed: Printed,
  asked: Asked,
  who: Who,
  holes: Readonly<Record<string, number>>,
  complain: Complain,
): void {
  const stock = truth.outlines.filter((o) => o.role === "stock");
  for (const f of printed.features) {
    const o = who.get(f.id);
    if (!o) continue;
    const at = pt(...f.startHole);
    const dia = holes[f.id];
    if (dia === undefined || !(dia > asked.wire)) {
      complain("e", `${f.id}: start hole of ${dia} mm for wire ${asked.wire}`);
      continue;
    }
    const need = dia / 2 + asked.clearance;
    const has = truth.edges.nearest(at, need + 0.01).d;
    if (has < need - 1e-6)
      complain(
        "e",
        `${f.id}: wall of the ${dia} mm start hole ${show(at)} is ${(has - dia / 2).toFixed(4)} mm from an edge, asked ${asked.clearance}`,
      );
    const home = o.role === "opening" ? o.index : o.parent;
    if (innermost(truth, at) !== home)
      complain("e", `${f.id}: start hole ${show(at)} is not in its waste`);
    if (stock.length > 0 && !stock.some((s) => insideRing(s.ring, at)))
      complain("e", `${f.id}: start hole ${show(at)} is outside the block`);
    const off = [at.x, at.y].map((v) =>
      Math.abs(v / asked.grid - Math.round(v / asked.grid)),
    );
    // Where no place on the grid has room, a finer one will do, if it is said.
    const told = printed.findings.some(
      (x) => x.feature === f.id && /\bgrid\b/.test(x.message),
    );
    if (Math.max(...off) * asked.grid > 1e-6 && !told)
      complain(
        "e",
        `${f.id}: start hole ${show(at)} is off the grid ${asked.grid}`,
      );
  }
}

/** (o) Order of the work. */
function checkOrder(
  r: Replay,
  feature: readonly string[],
  who: Who,
  printed: Printed,
  asked: Asked,
  complain: Complain,
): void {
  const ids = printed.features.map((f) => f.id);
  if (asked.order === "unattended-first") {
    const before = feature.filter(
      (_, i) => (r.threadings[i] as Threading).lastStop < 0,
    );
    for (const id of ids) {
      const n = before.filter((b) => b === id).length;
      if (n !== 1)
        complain("o", `${id}: threaded ${n} times before the first M00`);
    }
  } else {
    const runs = feature.filter((id, i) => i === 0 || feature[i - 1] !== id);
    if (new Set(runs).size !== runs.length)
      complain("o", `one-by-one, but features mix: ${runs.join(" ")}`);
  }
  for (const id of ids) {
    const o = who.get(id);
    if (o?.role !== "part") continue;
    const end = feature.lastIndexOf(id);
    for (const [inner, q] of who)
      if (q.parent === o.index && feature.lastIndexOf(inner) > end)
        complain("o", `${inner} is still cut after ${id} came free`);
  }
}

/** Inside corners that the wire cannot fill must be told of, at their place. */
function checkFindings(
  printed: Printed,
  who: Who,
  last: number,
  complain: Complain,
): void {
  for (const [id, o] of who) {
    const tight: Pt[] = [];
    o.spans.forEach((s, i) => {
      const next = o.spans[(i + 1) % o.spans.length] as Span;
      const turn = folded(startHeading(next) - endHeading(s));
      if ((o.role === "opening" ? turn : -turn) > 0.3)
        tight.push(next.t === "smooth" ? (next.points[0] as Pt) : next.a);
      if (
        s.t === "round" &&
        (o.role === "opening" ? s.turn : -s.turn) > 0.3 &&
        s.r < last * 0.98
      )
        tight.push(pointOn(s, 0.5));
    });
    if (tight.length === 0) continue;
    const told = printed.findings.some((f) => {
      const w = f.where;
      return w && tight.some((p) => gap(p, pt(w[0], w[1])) < 2 * last + 0.1);
    });
    if (!told)
      complain(
        "n",
        `${id} (${o.kind} ${o.role}): ${tight.length} inside corners stay uncut, no finding says where (one is ${show(tight[0] as Pt)})`,
      );
  }
}
