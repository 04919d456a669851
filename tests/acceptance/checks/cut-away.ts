/** The part of check d that is about openings cut away whole: nothing of the inside may stand. */
import { type Complain, show, type Who } from "../complaints.js";
import { reachable } from "../material.js";
import { gap, grown, insideRing, type Pt, pt } from "../plane.js";
import { type Asked, holeAt, type Paper, type Printed } from "../printed.js";
import type { Replay } from "../replay.js";
import type { Truth } from "../truth.js";
import { trackOf } from "./track.js";

/** Every place inside where the wire's centre can stand is within a kerf of its path, or was drilled. */
export function checkCutAway(
  truth: Truth,
  r: Replay,
  who: Who,
  printed: Printed,
  asked: Asked,
  paper: Paper,
  complain: Complain,
): void {
  const { field } = trackOf(r);
  const last = printed.passes[printed.passes.length - 1]?.offset ?? 0;
  const kerf = asked.wire / 2 + (printed.passes[0]?.gap ?? 0);
  for (const f of printed.features) {
    const o = who.get(f.id);
    if (!o || f.tab !== null) continue;
    const hole = pt(...f.startHole);
    const dia = holeAt(paper, hole) ?? 0;
    const b = o.bounds;
    const step = Math.max(kerf / 3, Math.hypot(b.x1 - b.x0, b.y1 - b.y0) / 600);
    const standing: Pt[] = [];
    for (let x = b.x0 + step / 2; x < b.x1; x += step)
      for (let y = b.y0 + step / 2; y < b.y1; y += step) {
        const p = pt(x, y);
        if (gap(p, hole) <= dia / 2 || !insideRing(o.ring, p)) continue;
        if (truth.edges.nearest(p, last).d < last) continue;
        if (field.nearest(p, kerf).d > kerf - 1e-6) standing.push(p);
      }
    if (standing.length === 0) continue;
    const can = reachable(
      grown(b, 1),
      (p) => truth.edges.nearest(p, last).d >= last - 1e-6,
      hole,
      standing,
    );
    const left = standing.filter((_, i) => can[i]);
    if (left.length > 0)
      complain(
        "d",
        `${f.id} (${o.kind}): cut away whole, but ${(left.length * step * step).toFixed(3)} mm² still stand, at ${show(left[0] as Pt)}`,
      );
  }
}
