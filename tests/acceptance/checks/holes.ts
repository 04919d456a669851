/** Check e: start holes. */

import { type Complain, show, type Who } from "../complaints.js";
import { gap, insideRing, nearestOn, type Pt } from "../plane.js";
import {
  type Asked,
  holeAt,
  type Paper,
  type Printed,
  type PrintedFeature,
  waysOf,
} from "../printed.js";
import { innermost, type Known, type Truth } from "../truth.js";

/** (e) Start holes: in the waste, clear of every finished edge, on the grid, within the block. */
export function checkHoles(
  truth: Truth,
  printed: Printed,
  asked: Asked,
  who: Who,
  paper: Paper,
  complain: Complain,
): void {
  checkApart(paper, complain);
  for (const f of printed.features) {
    const o = who.get(f.id);
    if (!o) continue;
    for (const { at } of waysOf(f))
      checkHole(truth, printed, asked, f, o, at, holeAt(paper, at), complain);
  }
}

/** Two holes are one and the same, or have metal between them. */
function checkApart({ holes }: Paper, complain: Complain): void {
  holes.forEach((a, i) => {
    for (const b of holes.slice(i + 1)) {
      const d = gap(a.at, b.at);
      if (d > 0.001 && d < (a.diameter + b.diameter) / 2 + 0.1)
        complain(
          "e",
          `start holes ${show(a.at)} and ${show(b.at)} run into each other`,
        );
    }
  });
}

function checkHole(
  truth: Truth,
  printed: Printed,
  asked: Asked,
  f: PrintedFeature,
  o: Known,
  at: Pt,
  dia: number | undefined,
  complain: Complain,
): void {
  const stock = truth.outlines.filter((q) => q.role === "stock");
  if (asked.edge && dia === 0) {
    if (o.role !== "part" || stock.some((s) => insideRing(s.ring, at)))
      complain("e", `${f.id}: threaded at ${show(at)} with no hole there`);
    return;
  }
  if (dia === undefined || !(dia > asked.wire)) {
    complain("e", `${f.id}: start hole of ${dia} mm for wire ${asked.wire}`);
    return;
  }
  const home = o.role === "opening" ? o.index : o.parent;
  if (innermost(truth, at) !== home)
    complain("e", `${f.id}: start hole ${show(at)} is not in its waste`);
  if (stock.length > 0 && !stock.some((s) => insideRing(s.ring, at)))
    complain("e", `${f.id}: start hole ${show(at)} is outside the block`);
  else if (
    stock.some((s) => s.pieces.some((q) => nearestOn(q, at).d < dia / 2 + 0.1))
  )
    complain("e", `${f.id}: start hole ${show(at)} breaks out of the block`);
  const drawn = (asked.drawn ?? []).filter(
    (d) => innermost(truth, d.at) === home,
  );
  if (drawn.length > 0) {
    // What is drawn is drawn: it is to be used, whatever room it has.
    if (
      !drawn.some(
        (d) => gap(d.at, at) < 0.001 && Math.abs(d.diameter - dia) < 0.001,
      )
    )
      complain("e", `${f.id}: a hole is drawn for it, threaded at ${show(at)}`);
    return;
  }
  const need = dia / 2 + asked.clearance;
  const has = truth.edges.nearest(at, need + 0.01).d;
  if (has < need - 1e-6)
    complain(
      "e",
      `${f.id}: wall of the ${dia} mm start hole ${show(at)} is ${(has - dia / 2).toFixed(4)} mm from an edge, asked ${asked.clearance}`,
    );
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
