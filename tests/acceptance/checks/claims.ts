/** Checks j and n: the printed JSON against the drawing, the job and the program. */

import { type Complain, show, type Who } from "../complaints.js";
import { folded, gap, type Pt, pointOn, pt } from "../plane.js";
import {
  type Asked,
  type Paper,
  type Printed,
  pointFrom,
  waysOf,
} from "../printed.js";
import { burntLength, type Replay } from "../replay.js";
import {
  endHeading,
  innermost,
  type Known,
  type Span,
  startHeading,
  type Truth,
} from "../truth.js";

export function checkPasses(
  p: Printed,
  asked: Asked,
  complain: Complain,
): void {
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

/** A pass that leaves less for one feature: less it must be, by the same sum, outside the next pass, and told. */
export function checkOwnPasses(
  p: Printed,
  paper: Paper,
  asked: Asked,
  complain: Complain,
): void {
  for (const own of paper.own) {
    const label = `${own.feature} pass ${own.pass}`;
    const usual = p.passes[own.pass - 1];
    const next = p.passes[own.pass];
    // Half of the last figure that the sheet prints, thrice over.
    const fine = asked.inch ? 0.0004 : 0.00016;
    if (!usual || !(own.leave >= 0) || own.leave > usual.leave - fine)
      complain("j", `${label}: leaves ${own.leave}, usual ${usual?.leave}`);
    if (Math.abs(own.offset - asked.wire / 2 - own.gap - own.leave) > fine)
      complain(
        "j",
        `${label}: offset ${own.offset} is not radius, gap and leave`,
      );
    if (!next || own.offset <= next.offset)
      complain("j", `${label}: runs no farther out than the pass after it`);
    if (
      !p.findings.some((f) => f.feature === own.feature && /leave/.test(f.code))
    )
      complain("n", `${label}: leaves less, and no finding says so`);
  }
}

/** Printed feature to true outline: the place of the tab on the outline and the area must both fit. */
export function matchFeatures(
  truth: Truth,
  p: Printed,
  complain: Complain,
): Who {
  const who = new Map<string, Known>();
  const cut = truth.outlines.filter((o) => o.role !== "stock");
  const taken = new Set<number>();
  for (const f of p.features) {
    const o =
      f.tab === null
        ? truth.outlines[innermost(truth, pt(...f.startHole))]
        : outlineAtTab(truth, f.id, f.tab, complain);
    if (!o) continue;
    if (f.tab === null && o.role !== "opening")
      complain("j", `${f.id}: a ${o.role} without a tab`);
    for (const { tab } of waysOf(f).slice(1))
      if (tab && outlineAtTab(truth, f.id, tab, complain) !== o)
        complain("j", `${f.id}: its further tab is not on its outline`);
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

function outlineAtTab(
  truth: Truth,
  id: string,
  tab: { readonly at: unknown },
  complain: Complain,
): Known | undefined {
  const at = pointFrom(tab.at);
  if (!at) {
    complain("j", `${id}: tab.at is no point`);
    return undefined;
  }
  const near = truth.edges.nearest(at, 0.05);
  const o = truth.outlines[truth.owner[near.index] ?? -1];
  if (o && near.d <= 0.002) return o;
  complain("j", `${id}: tab at ${show(at)} lies on no outline`);
  return undefined;
}

export function checkTotals(p: Printed, r: Replay, complain: Complain): void {
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

/** Inside corners that the wire cannot fill must be told of, at their place. */
export function checkFindings(
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
