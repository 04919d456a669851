/** Check d: what comes loose, and whether somebody is there. */

import { type Complain, show, type Who } from "../complaints.js";
import { type Loosened, loosened } from "../material.js";
import {
  type Bounds,
  boundsOf,
  boundsOfAll,
  grown,
  insideRing,
  pt,
} from "../plane.js";
import type { Asked, Paper, Printed } from "../printed.js";
import type { Replay, Threading } from "../replay.js";
import { innermost, type Known, type Truth } from "../truth.js";
import { names } from "./track.js";

/** (d) No piece comes loose but after an M00 that names it. */
export function checkLoose(
  truth: Truth,
  r: Replay,
  feature: readonly string[],
  who: Who,
  printed: Printed,
  asked: Asked,
  paper: Paper,
  complain: Complain,
): number {
  const kerf = asked.wire / 2 + (printed.passes[0]?.gap ?? 0);
  const rough = printed.passes[0]?.offset ?? 0;
  const ids = new Map([...who].map(([id, o]) => [o.index, id]));
  const cuts = r.threadings.map((t) => t.moves.map((m) => m.piece));
  const boxes: Bounds[] = cuts.map((c) => boundsOfAll(c.map(boundsOf)));
  const drilled = paper.holes.map((h) => ({ at: h.at, r: h.diameter / 2 }));
  const cutAway = new Set(
    printed.features.filter((f) => f.tab === null).map((f) => f.id),
  );
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
        if (owner !== o.index && ids.has(owner)) return false;
        // What passes through the kerf is flushed out: half its width squared, and as much again for the thinner kerf.
        return l.area >= 2 * kerf ** 2;
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
      if (owner !== undefined)
        checkTakenOut(r, feature, owner, l.cut, t.lastStop, complain);
      if (
        owner !== undefined &&
        !printed.proof.loosePieces.some((p) => p.feature === owner)
      )
        complain("j", `${owner}: its loose piece is not in proof.loosePieces`);
    }
    if (sure.length > 0 || cutAway.has(id)) continue;
    if (o.role === "opening" && !hasSlug(truth, o, rough + kerf + 0.1))
      continue;
    if (run(false).length === 0)
      complain("d", `${id} (${o.kind} ${o.role}): nothing ever comes loose`);
  }
  return pieces;
}

/** The wire must not come back to a feature while a piece lies loose in it: a stop that names it comes between. */
function checkTakenOut(
  r: Replay,
  feature: readonly string[],
  id: string,
  cut: number,
  stopBefore: number,
  complain: Complain,
): void {
  const next = feature.indexOf(id, cut + 1);
  const t = r.threadings[next];
  if (!t) return;
  const between = r.stops.slice(stopBefore + 1, t.lastStop + 1);
  if (!between.some((s) => !s.optional && names(s.comment, id)))
    complain(
      "d",
      `${id}: threaded again at line ${t.line} with no stop to take out what came loose`,
    );
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
