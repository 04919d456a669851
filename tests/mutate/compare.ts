/** In what two programs differ by what they do to the work. */
import {
  flattened,
  gap,
  insideRing,
  nearestOn,
  type Pt,
} from "../acceptance/plane.js";
import type { Threading } from "../acceptance/replay.js";
import type { Difference, Told } from "./difference.js";
import type { GoodProgram } from "./good-programs.js";
import { freedAt, inLoosePiece, names, people } from "./loosening.js";
import {
  type Deeds,
  movesOf,
  nearestOf,
  outlinesOf,
  type Place,
  passesAt,
  pieceOf,
  SAME_PASS,
  type Visit,
} from "./visits.js";

/** mm: what is called a change of the cut. */
const CHANGE = 0.0005;

/** mm: less is no change; between the two the proof may speak or not. */
const SLIGHT = 0.0001;

/** Faults of form that change nothing in what is done; a stop may well come with the wire in. */
const FORM =
  /number|columns|decimal point|finer than|N is not|M00 with|do not meet/;

export function differences(
  good: GoodProgram,
  places: readonly Place[],
  a: Deeds,
  b: Deeds,
): Difference[] {
  // Each effect once an outline: on each it must be told.
  const found = new Map<string, Difference>();
  const tell: Told = (effect, what, feature) => {
    const key = `${effect} ${feature ?? ""}`;
    if (!found.has(key))
      found.set(key, { effect, what, ...(feature && { feature }) });
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
    const id = good.layout.features[feature]?.id;
    const where = `${id} at (${at.x.toFixed(3)}, ${at.y.toFixed(3)})`;
    // Beside a corner only what the kerf takes and leaves counts: outside, the ends of its neighbours take it already.
    if (corner) {
      if (w > finish && i < finish - CHANGE)
        tell("too deep", `${where}: ${w} before, ${i} now`, id);
      if (w <= finish && i > finish + CHANGE)
        tell("left standing", `${where}: ${w} before, ${i} now`, id);
      return;
    }
    const was = passesAt(a.visits[k] as Visit[], offsets);
    const is = passesAt(b.visits[k] as Visit[], offsets);
    if (i < w - CHANGE)
      tell(
        i < finish - CHANGE ? "too deep" : "deeper",
        `${where}: ${w} before, ${i} now`,
        id,
      );
    else if (i > w + CHANGE)
      tell("left standing", `${where}: ${w} before, ${i} now`, id);
    else if (!holdsAll(is, was))
      changed.push({
        at,
        feature,
        corner,
        what: `${where}: ${was.join(", ")} before, ${is.join(", ")} now`,
      });
    else if (
      Math.abs(i - w) > SLIGHT ||
      was.length !== is.length ||
      was.some((d, n) => Math.abs(d - (is[n] as number)) > SLIGHT)
    )
      tell("slight", `${where}: ${w} before, ${i} now`);
  });
  tooDeepAtEnds(good, a, b, finish, tell);
  good.layout.features.forEach(({ id }, n) => {
    const here = changed.filter((c) => c.feature === n);
    const [first] = here;
    if (!first) return;
    // Within a kerf's width the end of a stroke is round: which pass comes first there changes next to nothing.
    const wide = here.some(
      (c) => gap(c.at, first.at) > good.job.wire.diameter / 2,
    );
    tell(wide ? "passes" : "slight", first.what, id);
  });
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
    inLoosePiece(good.layout.features, n, b, tell);
    const was = doubled(own, a, good);
    const is = doubled(own, b, good);
    if (was > 0 && is < was / 2)
      tell(
        "overlap",
        `${f.id}: ${was} places run twice before, ${is} now`,
        f.id,
      );
  });
  return [...found.values()];
}

/** Have all passes been there that were before? One more before them, a rough that ends in its tab, takes nothing from them. */
function holdsAll(is: readonly number[], was: readonly number[]): boolean {
  let n = 0;
  for (const d of is)
    if (n < was.length && Math.abs(d - (was[n] as number)) <= CHANGE) n++;
  return n === was.length;
}

/** A move may run into an edge with its tip alone, between two places: at ends that the good program does not have. */
function tooDeepAtEnds(
  good: GoodProgram,
  a: Deeds,
  b: Deeds,
  finish: number,
  tell: Told,
): void {
  const ends = (d: Deeds): Pt[] =>
    movesOf(d.replay).flatMap(({ piece }) => [piece.a, piece.b]);
  const keyOf = (p: Pt): string => `${p.x} ${p.y}`;
  const known = new Set(ends(a).map(keyOf));
  const added = ends(b).filter((e) => !known.has(keyOf(e)));
  outlinesOf(good).forEach((pieces, n) => {
    const id = good.layout.features[n]?.id;
    for (const e of added) {
      const foot = pieces
        .map((p) => nearestOn(p, e))
        .reduce((x, y) => (y.d < x.d ? y : x));
      if (foot.d >= finish - CHANGE) continue;
      const was = Math.min(
        ...movesOf(a.replay).map((m) => nearestOn(m.piece, foot.at).d),
      );
      if (foot.d >= was - CHANGE) continue;
      const at = `(${foot.at.x.toFixed(3)}, ${foot.at.y.toFixed(3)})`;
      tell("too deep", `${id} at ${at}: ${was} before, ${foot.d} now`, id);
      return;
    }
  });
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
