/** Checks a and c: the wire keeps off every finished edge, and stays in its own waste. */

import { type Complain, show, um, type Who } from "../complaints.js";
import { between, boundsOf, grown, type Piece, pointOn } from "../plane.js";
import type { Replay } from "../replay.js";
import { innermost, type Truth } from "../truth.js";

/** Truth 1 of the contract. */
const GOUGE = 0.0005;

/** (a) Greatest depth inside the final offset. */
export function checkClear(
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
export function checkSides(
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
