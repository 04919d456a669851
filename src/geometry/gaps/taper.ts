/** Walls that are all but parallel. */
import { NEARLY_PARALLEL, SAME_DRAWN } from "../../base/tolerance.js";
import {
  angleBetween,
  cross,
  distance,
  lerp,
  negate,
  sub,
  type Vec,
} from "../vec.js";
import { feetOn, sharedStretch, type Wall } from "./feet.js";

/**
 * Straight walls that close by a hair have no double normal, yet make a slot: it is as wide as at its narrow end. It
 * must be longer than wide, or it is only a corner with its tip cut off.
 */
export function taperedGap(a: Wall, b: Wall): Stretch | null {
  const s = a.segment;
  const r = b.segment;
  if (s.kind === "arc" || r.kind === "arc") return null;
  const u = a.travel;
  const v = negate(b.travel);
  if (Math.abs(cross(u, v)) > NEARLY_PARALLEL) return null;
  const closing = Math.abs(angleBetween(u, v));
  const parallel = a.side === b.side ? closing : Math.PI - closing;
  if (parallel > NEARLY_PARALLEL) return null;
  const onS = sharedStretch(s, r);
  const onR = sharedStretch(r, s);
  if (onS === null || onR === null) return null;
  const off = (p: Vec): number => Math.abs(cross(u, sub(p, s.start)));
  const step = 4 * SAME_DRAWN + parallel * Math.max(off(r.start), off(r.end));
  const gaps = [
    ...stepIn(onS, step).flatMap((p) =>
      feetOn(b, p).map((f) => stretch(p, f.at)),
    ),
    ...stepIn(onR, step).flatMap((p) =>
      feetOn(a, p).map((f) => stretch(f.at, p)),
    ),
  ];
  const narrow = gaps.reduce<Stretch | null>(
    (best, g) => (best && best.width <= g.width ? best : g),
    null,
  );
  if (narrow === null || narrow.width <= SAME_DRAWN) return null;
  if (distance(onS[0], onS[1]) <= narrow.width) return null;
  const [p, q] = narrow.ends;
  if (a.side * cross(u, sub(q, p)) <= 0) return null;
  if (b.side * cross(negate(v), sub(p, q)) <= 0) return null;
  return narrow;
}

/**
 * Both ends a step (mm) towards each other: right at its end a slot may be closed by a wall, which stands askew to the
 * line across by no more than the walls do to each other.
 */
function stepIn([from, to]: readonly [Vec, Vec], step: number): Vec[] {
  const t = Math.min(0.5, step / distance(from, to));
  return [lerp(from, to, t), lerp(from, to, 1 - t)];
}

/** A straight way across, from the first wall to the second. */
export interface Stretch {
  readonly width: number;
  readonly ends: readonly [Vec, Vec];
}

function stretch(a: Vec, b: Vec): Stretch {
  return { width: distance(a, b), ends: [a, b] };
}
