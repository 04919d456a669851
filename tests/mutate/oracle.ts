/**
 * What a program does to the work, found without any of the proof's code: the outside judge's reader says where the
 * wire's centre went, and at places along every outline its distance is written down, visit by visit. Two programs of
 * which all this is alike cut the same.
 */
import type { Segment } from "../../src/geometry/segment.js";
import { loosened } from "../acceptance/material.js";
import {
  boundsOf,
  boundsOfAll,
  flattened,
  gap,
  grown,
  insideRing,
  lengthOf,
  nearestOn,
  type Piece,
  type Pt,
  pointOn,
  polar,
} from "../acceptance/plane.js";
import { type Replay, replay, type Threading } from "../acceptance/replay.js";
import type { GoodProgram } from "./good-programs.js";

/** A place on a finished outline. */
interface Place {
  readonly feature: number;
  readonly at: Pt;
  /** Beside a corner, not on the outline. */
  readonly corner: boolean;
}

/** One move of the wire past a place: how near it came, and on which line. */
interface Visit {
  readonly nearest: number;
  readonly line: number;
}

export interface Deeds {
  /** Of each feature the places where the good program cuts it. */
  readonly own: readonly (readonly number[])[];
  /** Of each place its visits in order. */
  readonly visits: readonly (readonly Visit[])[];
  readonly replay: Replay;
  /** Lines that burn without flushing. */
  readonly dry: readonly number[];
}

export interface Oracle {
  readonly places: readonly Place[];
  readonly good: Deeds;
  /** In what the mutant differs from the good program, in words; empty: it cuts the same. */
  readonly compare: (text: string) => readonly Difference[];
  /** On a raster: do more pieces come loose than in the good program? */
  readonly freesMore: (text: string) => boolean;
  /**
   * Looked at more closely, on a raster: does a piece come loose before the first stop for its feature? "surely": with
   * the kerf painted thin, "maybe": painted wide. `web`: mm of metal that counts as none.
   */
  readonly frees: (
    text: string,
    how: "surely" | "maybe",
    web?: number,
  ) => boolean;
}

export interface Difference {
  readonly effect:
    | "text"
    | "too deep"
    /** By more than the good program, but within what the finished edge may be passed by. */
    | "deeper"
    | "left standing"
    | "passes"
    | "unattended"
    | "stop early"
    | "in the way"
    | "cuts on"
    | "hole"
    | "dry"
    | "overlap"
    | "slight";
  readonly what: string;
}

/** mm between places along an outline. */
const STEP = 0.25;
/** mm from a corner at which places lie all round it: what is left in front of the corner shows there. */
const BESIDE = 0.02;
/** mm: what is called a change of the cut. */
export const CHANGE = 0.0005;
/** mm: less is no change; between the two the proof may speak or not. */
const SLIGHT = 0.0001;
/** mm by which one pass differs from the next at the least. */
const SAME_PASS = 0.0015;

export function oracleOf(good: GoodProgram): Oracle {
  const { passes } = good.job;
  const registers = Object.fromEntries(passes.map((p) => [p.number, p.offset]));
  const near = Math.max(...passes.map((p) => p.offset)) + 0.002;
  // The judge's reader knows no "/": a stop that may be left out is an optional one.
  const read = (text: string): Replay =>
    replay(text.replace(/^\/(.*)M00/gm, "$1M01"), registers);
  const run = read(good.text);
  const places = placesOf(good, run, near);
  const find = placeFinder(places);
  const visits = visitsOf(places, find, run, near);
  const offsets = passes.map((p) => p.offset);
  const own = good.layout.features.map((f, n) =>
    places.flatMap((p, k) => {
      if (p.feature !== n || p.corner) return [];
      const [first] = passesAt(visits[k] as Visit[], offsets);
      if (first === undefined) return [];
      // A corner of an opening that only a skim fits into does not hold the slug.
      return f.role === "part" || first > (offsets[0] as number) - SAME_PASS
        ? [k]
        : [];
    }),
  );
  const goodDeeds = {
    own,
    visits,
    replay: run,
    dry: dryLines(good.text, run),
  };
  return {
    places,
    good: goodDeeds,
    compare: (text) => {
      const r = read(text);
      return differences(good, places, goodDeeds, {
        own,
        visits: visitsOf(places, find, r, near),
        replay: r,
        dry: dryLines(text, r),
      });
    },
    freesMore: (text) => freesMore(good, run, read(text)),
    frees: (text, how, web = 0) =>
      freesEarly(good, read(text), how === "surely", web),
  };
}

const movesOf = (r: Replay): { piece: Piece; line: number }[] =>
  r.threadings.flatMap((t) => t.moves as { piece: Piece; line: number }[]);

function outlinesOf(good: GoodProgram): Piece[][] {
  return good.layout.features.map((f) => f.contour.segments.map(pieceOf));
}

const pieceOf = (s: Segment): Piece =>
  s.kind === "line"
    ? { t: "straight", a: s.start, b: s.end }
    : {
        t: "round",
        a: s.start,
        b: s.end,
        c: s.center,
        r: s.radius,
        turn: s.sweep,
      };

/** Evenly along every outline, round its corners, and beside every end of a move, where a shifted end shows most. */
function placesOf(good: GoodProgram, run: Replay, near: number): Place[] {
  const outlines = outlinesOf(good);
  const places = outlines.flatMap((pieces, feature) =>
    pieces.flatMap((p) => {
      const n = Math.max(2, Math.ceil(lengthOf(p) / STEP));
      const along = Array.from({ length: n }, (_, k) => pointOn(p, k / n));
      const round = Array.from({ length: 8 }, (_, k) =>
        polar(p.a, BESIDE, (k * Math.PI) / 4),
      );
      return [
        ...along.map((at) => ({ feature, at, corner: false })),
        ...round.map((at) => ({ feature, at, corner: true })),
      ];
    }),
  );
  const ends = movesOf(run).flatMap(({ piece }) => [piece.a, piece.b]);
  outlines.forEach((pieces, feature) => {
    for (const p of pieces) {
      const box = grown(boundsOf(p), near);
      for (const e of ends) {
        if (e.x < box.x0 || e.x > box.x1 || e.y < box.y0 || e.y > box.y1)
          continue;
        const foot = nearestOn(p, e);
        if (foot.d <= near)
          places.push({ feature, at: foot.at, corner: false });
      }
    }
  });
  const seen = new Set<string>();
  return places.filter(({ feature, at }) => {
    const key = `${feature} ${at.x.toFixed(5)} ${at.y.toFixed(5)}`;
    return !seen.has(key) && seen.add(key);
  });
}

const CELL = 1;

function placeFinder(
  places: readonly Place[],
): (p: Piece, near: number) => Iterable<number> {
  const cells = new Map<string, number[]>();
  places.forEach(({ at }, k) => {
    const key = `${Math.floor(at.x / CELL)} ${Math.floor(at.y / CELL)}`;
    const list = cells.get(key);
    if (list) list.push(k);
    else cells.set(key, [k]);
  });
  return (piece, near) => {
    const b = grown(boundsOf(piece), near);
    const i0 = Math.floor(b.x0 / CELL);
    const i1 = Math.floor(b.x1 / CELL);
    const j0 = Math.floor(b.y0 / CELL);
    const j1 = Math.floor(b.y1 / CELL);
    if ((i1 - i0 + 1) * (j1 - j0 + 1) > 4 * cells.size) return places.keys();
    const found: number[] = [];
    for (let i = i0; i <= i1; i++)
      for (let j = j0; j <= j1; j++) {
        const list = cells.get(`${i} ${j}`);
        if (list) found.push(...list);
      }
    return found;
  };
}

function visitsOf(
  places: readonly Place[],
  find: (p: Piece, near: number) => Iterable<number>,
  r: Replay,
  near: number,
): Visit[][] {
  const visits = places.map((): Visit[] => []);
  for (const { piece, line } of movesOf(r))
    for (const k of find(piece, near)) {
      const { d } = nearestOn(piece, (places[k] as Place).at);
      if (d <= near) (visits[k] as Visit[]).push({ nearest: d, line });
    }
  return visits;
}

/** The offsets at which passes went by, each nearer than all before; what leads do in between is left out. */
function passesAt(
  visits: readonly Visit[],
  offsets: readonly number[],
): number[] {
  const list: number[] = [];
  for (const { nearest } of visits) {
    if (!offsets.some((o) => Math.abs(o - nearest) < SAME_PASS)) continue;
    const best = list.at(-1) ?? Number.POSITIVE_INFINITY;
    if (nearest < best - SAME_PASS) list.push(nearest);
    else if (nearest < best) list[list.length - 1] = nearest;
  }
  return list;
}

const nearestOf = (visits: readonly Visit[]): number =>
  visits.reduce((d, v) => Math.min(d, v.nearest), Number.POSITIVE_INFINITY);

/** Lines on which the wire burns while the last word about it was "flushing off". */
function dryLines(text: string, r: Replay): number[] {
  const burning = new Set(movesOf(r).map((m) => m.line));
  let on = false;
  const dry: number[] = [];
  text.split("\n").forEach((raw, k) => {
    const bare = raw.replace(/\([^)]*\)/g, "");
    if (/M0?8(?!\d)/.test(bare)) on = true;
    if (burning.has(k + 1) && !on) dry.push(k + 1);
    if (/M0?9(?!\d)/.test(bare)) on = false;
  });
  return dry;
}

/** Faults of form that change nothing in what is done; a stop may well come with the wire in. */
const FORM =
  /number|columns|decimal point|finer than|N is not|M00 with|do not meet/;

function differences(
  good: GoodProgram,
  places: readonly Place[],
  a: Deeds,
  b: Deeds,
): Difference[] {
  const found = new Map<Difference["effect"], string>();
  const tell = (effect: Difference["effect"], what: string): void => {
    if (!found.has(effect)) found.set(effect, what);
  };
  const kind = (f: string): string => f.replace(/line \d+: |[\d.-]+/g, "");
  const before = new Set(a.replay.faults.map(kind));
  for (const f of b.replay.faults)
    if (!before.has(kind(f)) && !FORM.test(f)) tell("text", f);
  const offsets = good.job.passes.map((p) => p.offset);
  const finish = offsets.at(-1) as number;
  const changed: (Place & { what: string })[] = [];
  places.forEach(({ at, feature, corner }, k) => {
    const w = nearestOf(a.visits[k] as Visit[]);
    const i = nearestOf(b.visits[k] as Visit[]);
    if (w === i && w === Number.POSITIVE_INFINITY) return;
    const where = `${good.layout.features[feature]?.id} at (${at.x.toFixed(3)}, ${at.y.toFixed(3)})`;
    // Beside a corner only what the kerf takes and leaves counts: outside, the ends of its neighbours take it already.
    if (corner) {
      if (w > finish && i < finish - CHANGE)
        tell("too deep", `${where}: ${w} before, ${i} now`);
      if (w <= finish && i > finish + CHANGE)
        tell("left standing", `${where}: ${w} before, ${i} now`);
      return;
    }
    const was = passesAt(a.visits[k] as Visit[], offsets);
    const is = passesAt(b.visits[k] as Visit[], offsets);
    if (i < w - CHANGE)
      tell(
        i < finish - CHANGE ? "too deep" : "deeper",
        `${where}: ${w} before, ${i} now`,
      );
    else if (i > w + CHANGE)
      tell("left standing", `${where}: ${w} before, ${i} now`);
    else if (
      was.length !== is.length ||
      was.some((d, n) => Math.abs(d - (is[n] as number)) > CHANGE)
    )
      changed.push({
        at,
        feature,
        corner,
        what: `${where}: ${was.join(", ")} before, ${is.join(", ")} now`,
      });
    else if (
      Math.abs(i - w) > SLIGHT ||
      was.some((d, n) => Math.abs(d - (is[n] as number)) > SLIGHT)
    )
      tell("slight", `${where}: ${w} before, ${i} now`);
  });
  const [first] = changed;
  if (first) {
    // Within a kerf's width the end of a stroke is round: which pass comes first there changes next to nothing.
    const wide = changed.some(
      (c) => gap(c.at, first.at) > good.job.wire.diameter / 2,
    );
    tell(wide ? "passes" : "slight", first.what);
  }
  const holes = (d: Deeds): Pt[] =>
    d.replay.threadings
      .filter((t) => !isOpen(good, t, d))
      .map((t) => t.at)
      .filter((p, k, all) => all.findIndex((q) => gap(p, q) <= CHANGE) === k);
  if (holes(b).length > holes(a).length)
    tell(
      "hole",
      `holes ${JSON.stringify(holes(b))}, before ${JSON.stringify(holes(a))}`,
    );
  if (a.dry.length === 0 && b.dry.length > 0)
    tell("dry", `line ${b.dry[0]} burns without flushing`);
  good.layout.features.forEach((f, n) => {
    const own = a.own[n] as number[];
    // An opening that is cut away whole frees nothing, and calls nobody.
    if (a.replay.stops.some((s) => names(s.comment, f.id)))
      people(f.id, own, b, tell);
    const was = doubled(own, a, good);
    const is = doubled(own, b, good);
    if (was > 0 && is < was / 2)
      tell("overlap", `${f.id}: ${was} places run twice before, ${is} now`);
  });
  return [...found].map(([effect, what]) => ({ effect, what }));
}

/** Is there air where the wire is threaded: a drawn hole, an earlier kerf, an opening that was cut out before? */
function isOpen(good: GoodProgram, t: Threading, d: Deeds): boolean {
  const { layout, job } = good;
  const wire = job.wire.diameter / 2;
  const block = layout.stock?.segments.map(pieceOf);
  return (
    (block !== undefined && !insideRing(flattened(block, 0.01), t.at)) ||
    layout.holes.some((h) => gap(h.at, t.at) <= (h.diameter ?? 0) / 2 - wire) ||
    movesOf(d.replay).some(
      (m) => m.line < t.line && nearestOn(m.piece, t.at).d < 0.005,
    ) ||
    outlinesOf(good).some(
      (pieces, n) =>
        insideRing(flattened(pieces, 0.01), t.at) &&
        (freedAt(d.own[n] as number[], d) ?? Number.POSITIVE_INFINITY) < t.line,
    )
  );
}

const names = (comment: string, id: string): boolean =>
  new RegExp(`(^|[^\\w-])${id}($|[^\\w-])`).test(comment);

/** Places that the last pass ran over more than once. */
function doubled(
  own: readonly number[],
  d: Deeds,
  { job }: GoodProgram,
): number {
  const last = job.passes.at(-1)?.offset as number;
  return own.filter(
    (k) =>
      (d.visits[k] as Visit[]).filter(
        (v) => Math.abs(v.nearest - last) < SAME_PASS,
      ).length > 1,
  ).length;
}

/** mm of skimming beside a loose piece in the thread that freed it, from which it is a fault beyond doubt. */
const SKIMMED_LOOSE = 2;

/** mm round a change in which chips are looked for. */
const LOOK_ROUND = 1;

/** mm of burning after which nobody who was called to a stop still stands there. */
const GONE = 100;

function people(
  id: string,
  own: readonly number[],
  b: Deeds,
  tell: (effect: Difference["effect"], what: string) => void,
): void {
  const freed = freedAt(own, b);
  if (freed === null) return;
  const stops = b.replay.stops.filter(
    (s) => !s.optional && names(s.comment, id),
  );
  const before = stops.filter((s) => s.line < freed).at(-1);
  const other = Math.max(
    0,
    ...b.own
      .map((places) => freedAt(places, b))
      .filter((line): line is number => line !== null && line < freed),
  );
  if (before && before.line < other)
    tell(
      "stop early",
      `${id} comes loose at line ${freed}, and another piece in line ${other} after its stop`,
    );
  if (!before) tell("unattended", `${id} comes loose at line ${freed}`);
  else {
    const freeing = b.replay.threadings.findLast((t) => t.line < freed);
    const burnt = b.replay.threadings
      .filter((t) => t.line > before.line && t.line < (freeing?.line ?? 0))
      .flatMap((t) => t.moves)
      .reduce((sum, m) => sum + lengthOf(m.piece), 0);
    if (burnt > GONE)
      tell(
        "stop early",
        `${id} comes loose at line ${freed}, ${burnt.toFixed(0)} mm after its stop`,
      );
  }
  const next =
    b.replay.threadings.find((t) => t.line > freed)?.line ??
    Number.POSITIVE_INFINITY;
  const again = own.filter((k) => {
    const visits = b.visits[k] as Visit[];
    const until = nearestOf(visits.filter((v) => v.line <= freed));
    return visits.some(
      (v) => v.line > freed && v.line < next && v.nearest < until - SAME_PASS,
    );
  }).length;
  if (again * STEP > SKIMMED_LOOSE)
    tell(
      "cuts on",
      `${id}, freed at line ${freed}, is skimmed before line ${next}`,
    );
  else if (again > 0)
    tell("slight", `${id} is skimmed a little when it is loose`);
  if (next === Number.POSITIVE_INFINITY) return;
  let back = Number.POSITIVE_INFINITY;
  for (const k of own)
    for (const { line } of b.visits[k] as Visit[])
      if (line > next && line < back) back = line;
  const thread = b.replay.threadings.findLast((t) => t.line < back)?.line ?? 0;
  if (
    back < Number.POSITIVE_INFINITY &&
    !stops.some((s) => s.line > freed && s.line < thread)
  )
    tell(
      "in the way",
      `the wire is back at ${id} at line ${back}, freed at line ${freed}`,
    );
}

/** The line with which the wire has been all round an outline; null when it never was. */
function freedAt(own: readonly number[], d: Deeds): number | null {
  let line = 0;
  for (const k of own) {
    const first = (d.visits[k] as Visit[])[0];
    if (!first) return null;
    line = Math.max(line, first.line);
  }
  return own.length > 0 ? line : null;
}

/** Looked at closely round what one program does and the other does not. */
function freesMore(good: GoodProgram, before: Replay, now: Replay): boolean {
  const key = (m: { piece: Piece }): string => JSON.stringify(m.piece);
  const [was, is] = [before, now].map((r) => new Set(movesOf(r).map(key)));
  const changed = [
    ...movesOf(now).filter((m) => !was?.has(key(m))),
    ...movesOf(before).filter((m) => !is?.has(key(m))),
  ];
  if (changed.length === 0) return false;
  const window = grown(
    boundsOfAll(changed.map((m) => boundsOf(m.piece))),
    LOOK_ROUND,
  );
  const { wire, passes } = good.job;
  const kerf = wire.diameter / 2 + (passes[0]?.gap as number);
  const pieces = (r: Replay): number =>
    loosened(
      window,
      r.threadings.map((t) => t.moves.map((m) => m.piece as Piece)),
      kerf,
      [],
      false,
    ).length;
  return pieces(now) > pieces(before);
}

function freesEarly(
  good: GoodProgram,
  r: Replay,
  surely: boolean,
  web: number,
): boolean {
  const { wire, passes } = good.job;
  const kerf = wire.diameter / 2 + (passes[0]?.gap as number) + web / 2;
  return good.layout.features.some((f, n) => {
    const window = grown(
      boundsOfAll((outlinesOf(good)[n] as Piece[]).map(boundsOf)),
      2,
    );
    const stop = r.stops.find((s) => !s.optional && s.comment.includes(f.id));
    const cut = movesOf(r)
      .filter((m) => m.line < (stop?.line ?? Number.POSITIVE_INFINITY))
      .map((m) => m.piece);
    return loosened(window, [cut], kerf, [], surely).length > 0;
  });
}
