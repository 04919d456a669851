/** What a slit comes so near to that its kerf takes it away, or nearly, though the line does not run into it. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { HOLDING_WEB, MAX_GOUGE } from "../../base/tolerance.js";
import { distanceBetween, distanceToSegment } from "../../geometry/distance.js";
import {
  pointAt,
  type Segment,
  segmentLength,
} from "../../geometry/segment.js";
import { distance, pair, type Vec } from "../../geometry/vec.js";
import type { Layout } from "../feature.js";
import { type Job, roughKerf } from "../job/job.js";
import { edgesOf, meetings, reaching } from "./ground.js";

/** mm from place to place that is looked at: a tenth of the narrowest kerf or less. */
const STEP = 0.01;

/** How far (in half widths of the slit) from where a slit crosses an edge it may come near that edge: a crossing at 20°. */
const ABOUT_CROSSING = 3;

/** Edges and other slits that a slit takes away, or nearly, without running into them. */
export function tooClose(layout: Layout, job: Job): Finding[] {
  const half = roughKerf(job) / 2;
  return layout.slits.flatMap((slit, i) => {
    const whole = reaching(layout, slit);
    const others = [
      ...edgesOf(layout).map((e) => ({ ...e, limit: half - MAX_GOUGE })),
      ...layout.slits.slice(0, i).map((s) => ({
        name: s.id,
        segments: s.contour.segments,
        limit: 2 * half + HOLDING_WEB,
      })),
    ];
    return others.flatMap(({ name, segments, limit }): Finding[] => {
      const crossings = meetings(whole, segments);
      const place = runsWithin(slit.contour.segments, segments, limit)
        .flatMap((run) => {
          const own = crossings.filter((c) =>
            run.some((p) => distance(c, p) <= STEP),
          );
          return run.filter((p) =>
            own.every((c) => distance(c, p) > ABOUT_CROSSING * limit),
          );
        })
        .at(0);
      if (!place) return [];
      const where = pair(place);
      return [
        {
          code: "slit/too-close",
          severity: "error",
          message: `${slit.id} passes ${name} near ${placeText(where)} without running into it, nearer than half its width (${trimmed(half, 3)} mm) and would break through there: move it off, or draw it on until it ends in ${name}`,
          where,
          feature: slit.id,
        },
      ];
    });
  });
}

/**
 * Places of `edge`, `STEP` apart, that lie nearer to `path` than `limit`, in runs: on the other wall of a thin bar they are
 * another run.
 */
export function runsWithin(
  path: readonly Segment[],
  edge: readonly Segment[],
  limit: number,
): Vec[][] {
  const runs: Vec[][] = [];
  let run: Vec[] | null = null;
  for (const q of edge) {
    const near = path.filter((s) => distanceBetween(s, q) < limit);
    if (near.length === 0) {
      run = null;
      continue;
    }
    const long = segmentLength(q);
    for (let s = 0; ; ) {
      const p = pointAt(q, s / long);
      const off = distanceTo(near, p);
      if (off >= limit) run = null;
      else if (run) run.push(p);
      else {
        run = [p];
        runs.push(run);
      }
      if (s >= long) break;
      s = Math.min(long, s + Math.max(STEP, off - limit));
    }
  }
  const [first] = runs;
  const last = runs.at(-1);
  // Once round an outline, the last may go on in the first.
  if (first && last && first !== last && run === last)
    if (distance(first[0] as Vec, last.at(-1) as Vec) <= STEP)
      return [[...last, ...first], ...runs.slice(1, -1)];
  return runs;
}

function distanceTo(path: readonly Segment[], { x, y }: Vec): number {
  return Math.min(...path.map((s) => distanceToSegment(s, x, y)));
}

/**
 * Where a line comes back to within `limit` of itself round metal, which comes loose then. At a sharp bend its two legs run
 * near each other as well, but from there back to the bend they do all the way.
 */
export function closesOnItself(
  path: readonly Segment[],
  limit: number,
): Vec | null {
  const step = limit / 3;
  const places = path.flatMap((s) => {
    const n = Math.ceil(segmentLength(s) / step);
    return Array.from({ length: n }, (_, k) => pointAt(s, (k + 1) / n));
  });
  const n = places.length;
  const near = new Set<number>();
  places.forEach((p, i) => {
    for (let j = i + 1; j < n; ) {
      const off = distance(p, places[j] as Vec);
      if (off < limit) near.add(i * n + j);
      j += Math.max(1, Math.floor((off - limit) / step));
    }
  });
  const reached: (readonly [number, number])[] = places
    .slice(1)
    .map((_, i) => [i, i + 1]);
  for (let next = reached.pop(); next; next = reached.pop()) {
    const [i, j] = next;
    if (!near.delete(i * n + j)) continue;
    for (const a of [i - 1, i, i + 1])
      for (const b of [j - 1, j, j + 1]) reached.push([a, b]);
  }
  const [ring] = near;
  return ring === undefined ? null : (places[ring % n] as Vec);
}
