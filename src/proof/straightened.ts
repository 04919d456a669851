/** A wire's way in a thousand short moves, for its kerf's polygons alone: what runs straight on is one piece. */
import { KERF_CHORD, SAME_POINT } from "../base/tolerance.js";
import { line as straight } from "../geometry/segment.js";
import { cross, dot, sub, type Vec } from "../geometry/vec.js";
import type { Swath } from "./bands.js";

/** mm by which a point may lie beside the piece that stands for it: little against what chords of arcs are off. */
const BESIDE = KERF_CHORD / 4;

/** Moves that become one, so that all points of a piece can be asked again for each. */
const MOST_JOINED = 32;

/** The same kerf, to within `BESIDE`, in as few straight pieces as are found going along it. */
export function straightened(kerf: readonly Swath[]): Swath[] {
  const pieces: Swath[] = [];
  let k = 0;
  while (k < kerf.length) {
    const first = kerf[k] as Swath;
    let [last, passed] = [k, [] as Vec[]];
    while (last - k < MOST_JOINED) {
      const next = kerf[last + 1];
      if (!next || !goesOn(kerf[last] as Swath, next)) break;
      const points = [...passed, next.segment.start];
      if (!isStraight(first.segment.start, points, next.segment.end)) break;
      [last, passed] = [last + 1, points];
    }
    const { end } = (kerf[last] as Swath).segment;
    pieces.push(
      last === k
        ? first
        : {
            segment: straight(first.segment.start, end),
            radius: first.radius,
          },
    );
    k = last + 1;
  }
  return pieces;
}

function goesOn(a: Swath, b: Swath): boolean {
  const [p, q] = [a.segment.end, b.segment.start];
  return (
    a.segment.kind === "line" &&
    b.segment.kind === "line" &&
    a.radius === b.radius &&
    Math.abs(p.x - q.x) <= SAME_POINT &&
    Math.abs(p.y - q.y) <= SAME_POINT
  );
}

/** Do points lie one after the other beside the way from one place to another? */
function isStraight(from: Vec, points: readonly Vec[], to: Vec): boolean {
  const way = sub(to, from);
  const long = Math.sqrt(dot(way, way));
  let before = 0;
  for (const p of points) {
    const off = sub(p, from);
    const along = dot(off, way);
    if (along <= before || Math.abs(cross(off, way)) > BESIDE * long)
      return false;
    before = along;
  }
  return before < long * long;
}
