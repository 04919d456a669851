/** Random lines and arcs, and slow measures of them by looking everywhere. */
import fc from "fast-check";
import {
  arcAbout,
  line,
  pointAt,
  type Segment,
  segmentLength,
} from "../../src/geometry/segment.js";
import { distance, type Vec, vec } from "../../src/geometry/vec.js";

const coordinate = fc.double({ min: -20, max: 20, noNaN: true });
const place = fc.record({ x: coordinate, y: coordinate });

/** Lines and arcs of 0.01 mm and more within a square of some 100 mm. */
export const segments: fc.Arbitrary<Segment> = fc.oneof(
  fc
    .tuple(place, place)
    .map(([a, b]) => line(vec(a.x, a.y), vec(b.x, b.y)))
    .filter((s) => segmentLength(s) > 0.01),
  fc
    .record({
      center: place,
      radius: fc.double({ min: 0.05, max: 30, noNaN: true }),
      from: fc.double({ min: -3.2, max: 3.2, noNaN: true }),
      sweep: fc.double({ min: 0.01, max: 6.2, noNaN: true }),
      back: fc.boolean(),
    })
    .map(({ center, radius, from, sweep, back }) =>
      arcAbout(vec(center.x, center.y), radius, from, back ? -sweep : sweep),
    )
    .filter((s) => segmentLength(s) > 0.01),
);

/** Places along a segment, `n` + 1 of them. */
export function along(s: Segment, n: number): Vec[] {
  return Array.from({ length: n + 1 }, (_, k) => pointAt(s, k / n));
}

/**
 * mm from a place to a segment by looking at `n` places of it and narrowing down about the nearest. Right but for the
 * case that two far-off stretches are nearly equally near.
 */
export function nearestByLooking(s: Segment, p: Vec, n = 400): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k <= n; k++) {
    const d = distance(pointAt(s, k / n), p);
    if (d < least) {
      least = d;
      best = k / n;
    }
  }
  let step = 1 / n;
  while (step > 1e-12) {
    const a = Math.max(0, best - step);
    const b = Math.min(1, best + step);
    const da = distance(pointAt(s, a), p);
    const db = distance(pointAt(s, b), p);
    if (da < least && da <= db) {
      least = da;
      best = a;
    } else if (db < least) {
      least = db;
      best = b;
    } else step /= 2;
  }
  return least;
}
