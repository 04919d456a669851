/**
 * The outside judge: a drawing's truth, the text of a program and what the command line printed go in, every way in
 * which they disagree with the contract comes out. Checks: a clear of the edge, b offset curves traced, c right side,
 * d loose pieces, e start holes, f program text, o order of work, j the printed JSON.
 */

import {
  checkFindings,
  checkOwnPasses,
  checkPasses,
  checkTotals,
  matchFeatures,
} from "./checks/claims.js";
import { checkCutAway } from "./checks/cut-away.js";
import { checkHoles } from "./checks/holes.js";
import { checkLoose } from "./checks/loose.js";
import { checkOrder } from "./checks/order.js";
import { checkTraced } from "./checks/traced.js";
import { whoseCut } from "./checks/track.js";
import { checkClear, checkSides } from "./checks/wire.js";
import { type Complaint, show } from "./complaints.js";
import { gap } from "./plane.js";
import { type Asked, type Paper, type Printed, waysOf } from "./printed.js";
import { replay } from "./replay.js";
import type { Truth } from "./truth.js";

export interface Verdict {
  readonly complaints: readonly Complaint[];
  /** Deepest the wire came inside the final offset, mm; negative when it kept off. */
  readonly gouge: number;
  /** Furthest a place the wire must pass is from its path, mm. */
  readonly miss: number;
  readonly pieces: number;
  readonly blocks: number;
}

export function judge(
  truth: Truth,
  text: string,
  printed: Printed,
  asked: Asked,
  paper: Paper,
): Verdict {
  const complaints: Complaint[] = [];
  const tally: Record<string, number> = {};
  const complain = (check: string, what: string): void => {
    tally[check] = (tally[check] ?? 0) + 1;
    if ((tally[check] as number) <= 6) complaints.push({ check, text: what });
  };
  const registers: Record<number, number> = {};
  for (const p of printed.passes) registers[p.number] = p.offset;
  for (const p of paper.own)
    if (p.register !== null) registers[p.register] = p.offset;
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
  checkOwnPasses(printed, paper, asked, complain);
  const feature = r.threadings.map((t) => {
    const here = printed.features.filter((f) =>
      waysOf(f).some((w) => gap(w.at, t.at) < 0.001),
    );
    if (here.length === 0)
      complain("e", `line ${t.line}: threads at ${show(t.at)}, no start hole`);
    const id = whoseCut(
      truth,
      t,
      here.map((f) => f.id).filter((f) => who.has(f)),
      who,
    );
    return id ?? "";
  });
  const last = printed.passes[printed.passes.length - 1]?.offset ?? 0;
  const gouge = checkClear(truth, r, last, complain);
  checkSides(truth, r, feature, who, complain);
  const miss = checkTraced(
    truth,
    r,
    feature,
    who,
    printed,
    paper,
    asked,
    complain,
  );
  const pieces = checkLoose(
    truth,
    r,
    feature,
    who,
    printed,
    asked,
    paper,
    complain,
  );
  checkCutAway(truth, r, who, printed, asked, paper, complain);
  checkHoles(truth, printed, asked, who, paper, complain);
  checkOrder(r, feature, who, printed, asked, complain);
  checkFindings(printed, who, last, complain);
  for (const [check, n] of Object.entries(tally))
    if (n > 6) complaints.push({ check, text: `… and ${n - 6} more` });
  return { complaints, gouge, miss, pieces, blocks: r.blocks };
}
