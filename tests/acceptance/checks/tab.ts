/** The part of check d that is about the tab: the bridge that the unattended rough leaves. */

import type { Complain } from "../complaints.js";
import {
  gap,
  lengthOf,
  nearestOn,
  type Piece,
  type Pt,
  pointOn,
} from "../plane.js";
import type { Asked, PrintedFeature } from "../printed.js";
import type { Threading } from "../replay.js";
import {
  type Known,
  offsetSamples,
  type Sample,
  type Truth,
} from "../truth.js";
import { arcPosition, fromTab } from "./track.js";

export interface Gap {
  /** Ends of the stretch left out, arc length from the tab's middle. */
  readonly lo: number;
  readonly hi: number;
  readonly onPath: number;
}

/** The stretch about the tab that the unattended strokes at offset `d` left out; null when there is none to be seen. */
export function gapAt(
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
export function checkTab(
  o: Known,
  f: PrintedFeature,
  want: number,
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

/**
 * Metal between the kerfs on either side of the tab where they come nearest to each other, near the tab. The lead and
 * the hole it comes from belong to the side on which the lead meets the outline.
 */
export function bridgeAt(
  o: Known,
  tab: { readonly hole: Pt; readonly length: number; readonly s: number },
  early: readonly Threading[],
  { kerf, rough }: { readonly kerf: number; readonly rough: number },
  holeRadius: number,
): number {
  const reach = tab.length + 2 * kerf + 1;
  const middle = pointAt(o, tab.s);
  const near = o.pieces.filter((q) => nearestOn(q, middle).d < 2 * reach);
  const sides: Record<"before" | "after", { p: Pt; r: number }[]> = {
    before: [],
    after: [],
  };
  for (const t of early) {
    const own = gap(t.at, tab.hole) < 0.001;
    const lead: { p: Pt; r: number }[] = [{ p: t.at, r: holeRadius }];
    let met: "before" | "after" | null = null;
    for (const { piece } of t.moves) {
      if (nearestOn(piece, middle).d > reach) continue;
      const n = Math.max(1, Math.ceil(lengthOf(piece) / 0.02));
      for (let i = 0; i <= n; i++) {
        const p = pointOn(piece, i / n);
        if (gap(p, middle) > reach) continue;
        if (Math.min(...near.map((q) => nearestOn(q, p).d)) > rough + 0.15) {
          if (met === null) lead.push({ p, r: kerf });
          continue;
        }
        const s = fromTab(o, tab.s, arcPosition(o, p));
        if (Math.abs(s) > reach) continue;
        const side = s < 0 ? "before" : "after";
        met ??= side;
        sides[side].push({ p, r: kerf });
      }
    }
    if (own && met !== null) sides[met].push(...lead);
  }
  let least = Number.POSITIVE_INFINITY;
  for (const a of sides.before)
    for (const b of sides.after)
      least = Math.min(least, gap(a.p, b.p) - a.r - b.r);
  return least;
}

function pointAt(o: Known, s: number): Pt {
  let left = s;
  for (const piece of o.pieces) {
    const length = lengthOf(piece);
    if (left <= length) return pointOn(piece, length === 0 ? 0 : left / length);
    left -= length;
  }
  return (o.pieces[0] as Piece).a;
}
