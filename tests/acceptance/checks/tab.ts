/** The part of check d that is about the tab: the bridge that the unattended rough leaves. */

import type { Complain } from "../complaints.js";
import { gap, type Pt } from "../plane.js";
import type { Asked, PrintedFeature } from "../printed.js";
import {
  type Known,
  offsetSamples,
  type Sample,
  type Truth,
} from "../truth.js";
import { fromTab } from "./track.js";

interface Gap {
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
