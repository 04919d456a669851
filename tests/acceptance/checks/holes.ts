/** Check e: start holes. */

import { type Complain, show, type Who } from "../complaints.js";
import { insideRing, pt } from "../plane.js";
import type { Asked, Printed } from "../printed.js";
import { innermost, type Truth } from "../truth.js";

/** (e) Start holes: in the waste, clear of every finished edge, on the grid, within the block. */
export function checkHoles(
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
