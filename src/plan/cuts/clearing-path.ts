/**
 * Small openings without a slug: the whole inside is cut away in nested loops from the start hole outward, so that
 * nothing is left to fall.
 *
 *     A point that is d from the edge is d − o from the loop at offset o ≤ d (parallel sets). So loops whose offsets
 *     differ by no more than half a kerf, taken on until none is left, leave nothing between them, in corners neither.
 *
 * Loops nest like rings. The path goes outward through those around the hole, each travelled once; where the inside
 * parts into lobes, it turns off into the rings of another lobe as soon as it comes by, and back. So before a loop
 * closes round anything, that is gone already: nothing comes loose on the way either. What lies within a hole that is
 * there already needs no ring.
 */
import {
  type Contour,
  circleContour,
  windingNumber,
} from "../../geometry/contour.js";
import { deepestPoint } from "../../geometry/deepest.js";
import { nearestOnSegment } from "../../geometry/distance.js";
import { intersectSegments } from "../../geometry/intersect.js";
import { loopContour, offsetLeft } from "../../geometry/offset.js";
import {
  line,
  pointAt,
  type Segment,
  segmentLength,
  subSegment,
} from "../../geometry/segment.js";
import { distance, type Vec } from "../../geometry/vec.js";
import { type Job, type Pass, roughKerf } from "../job/job.js";
import { steps } from "../steps.js";
import { edgesNearer, type Surroundings } from "../surroundings.js";
import { type PassLoop, reversePath, type Track } from "../track/track.js";

/** Share of half a kerf by which loops lie apart: the rest is for a real gap that is narrower than the table's. */
const STEPOVER = 0.9;

/** Share of an opening's size to which its deepest place has to be known here: slots are many, and slow to search. */
export const COARSE = 1e-3;

/** A loop and those right inside it. */
interface Ring {
  readonly loop: Contour;
  readonly within: Ring[];
}

/** Where the wire is threaded, and mm about it that are drilled for certain; 0 where a hole is yet to be made. */
export interface Bored {
  readonly at: Vec;
  readonly radius: number;
}

/**
 * The path of the wire's centre from the hole over everything inside the rough's own loop, to where a straight way leads
 * to `start`, from which the rough begins; empty where the rough alone takes everything. `null` where the hole is
 * nearer to the edge than the rough, or another feature is in the way.
 */
export function clearingPath(
  track: Track,
  around: Surroundings,
  job: Job,
  bored: Bored,
  start: Vec,
): Segment[] | null {
  const all = ringsOf(track, job);
  const root = bored.radius > 0 ? standing(all, bored) : all;
  const hole = bored.at;
  if (windingNumber(root.loop, hole) === 0) return null;
  const straight = (from: Vec, to: Vec): boolean =>
    distance(from, to) === 0 ||
    edgesNearer(around.edges, line(from, to), roughOffset(job) - 1e-6)
      .length === 0;

  const path: Segment[] = [];
  let at = hole;
  const follow = (way: readonly Segment[]): void => {
    path.push(...way);
    at = way.at(-1)?.end ?? at;
  };
  const goTo = (p: Vec): void => {
    if (distance(at, p) > 0) follow([line(at, p)]);
  };
  let done: Ring | null = null;
  for (const ring of ringsAround(root, hole)) {
    const near = nearestOn(ring.loop.segments, done ? at : start).at;
    goTo(straight(at, near) ? near : nearestOn(ring.loop.segments, at).at);
    follow(onceRound(ring, at, done));
    done = ring;
  }
  if (root.within.some((ring) => ring !== done)) {
    goTo(nearestOn(root.loop.segments, at).at);
    follow(onceRound(root, at, done));
  }
  if (!straight(at, start)) {
    goTo(nearestOn(root.loop.segments, at).at);
    follow(shorterWay(root.loop, at, start));
  }
  const lines = [...path.filter((s) => s.kind === "line"), line(at, start)];
  return lines.every((s) => straight(s.start, s.end)) ? path : null;
}

function roughOffset({ passes }: Job): number {
  return (passes[0] as Pass).offset;
}

/** The rough's own loop, and within it all others. */
function ringsOf(track: Track, job: Job): Ring {
  const { loop } = track.passes[0] as PassLoop;
  const root: Ring = { loop: loopContour(loop), within: [] };
  const offset = roughOffset(job);
  const reach = STEPOVER * (roughKerf(job) / 2);
  const { distance: deepest, precision } = deepestPoint(track.contour, COARSE);
  // No place is deeper than this: of the loops there is none.
  const depth = deepest + precision - offset;
  const step = depth / Math.ceil(depth / reach);
  let outer = [root];
  for (let d = offset + step; outer.length > 0; d += step) {
    const rings = offsetLeft([track.contour], d)
      .map(loopContour)
      .map((inner): Ring => ({ loop: inner, within: [] }));
    for (const ring of rings) {
      const p = (ring.loop.segments[0] as Segment).start;
      outer.find((o) => windingNumber(o.loop, p) !== 0)?.within.push(ring);
    }
    outer = rings;
  }
  return root;
}

/**
 * Without the rings whose loops lie within the hole: what such a one would take and the next one out does not lies
 * within it.
 */
function standing({ loop, within }: Ring, { at, radius }: Bored): Ring {
  const rim = circleContour(at, radius).segments;
  const isBored = (ring: Ring): boolean =>
    ring.loop.segments.every(
      (s) =>
        distance(s.start, at) < radius &&
        rim.every((r) => intersectSegments(s, r).length === 0),
    );
  return {
    loop,
    within: within
      .filter((ring) => !isBored(ring))
      .map((ring) => standing(ring, { at, radius })),
  };
}

/** The rings within `root` that `p` lies in, the innermost first. */
function ringsAround(root: Ring, p: Vec): Ring[] {
  const own = root.within.find(({ loop }) => windingNumber(loop, p) !== 0);
  return own ? [...ringsAround(own, p), own] : [];
}

/** Once round a ring from `from` on it; on the way everything within it but `done` is cleared. */
function onceRound(ring: Ring, from: Vec, done: Ring | null): Segment[] {
  const round = startingAt(ring.loop, from);
  const turnings = ring.within
    .filter((inner) => inner !== done)
    .map((inner) => ({ inner, ...turnOff(round, inner) }))
    .sort((a, b) => a.off.place - b.off.place);
  const path: Segment[] = [];
  let place = 0;
  for (const { inner, off, on } of turnings) {
    path.push(
      ...stretch(round, place, off.place),
      line(off.at, on),
      ...onceRound(inner, on, null),
      line(on, off.at),
    );
    place = off.place;
  }
  return [...path, ...stretch(round, place, round.length)];
}

/** A place on a chain of segments: the number of whole ones before it, and the fraction of its own. */
interface Foot {
  readonly place: number;
  readonly at: Vec;
}

/** Where the round comes by the inner ring first: all of that is one step away, each of its points from its foot. */
function turnOff(
  round: readonly Segment[],
  inner: Ring,
): { readonly off: Foot; readonly on: Vec } {
  return inner.loop.segments
    .flatMap((s) => [s.start, pointAt(s, 0.5)])
    .map((on) => ({ on, off: nearestOn(round, on) }))
    .reduce((a, b) => (b.off.place < a.off.place ? b : a));
}

/** Of places that are equally near the first. */
function nearestOn(chain: readonly Segment[], p: Vec): Foot {
  let best: Foot & { readonly distance: number } = {
    place: 0,
    at: p,
    distance: Number.POSITIVE_INFINITY,
  };
  chain.forEach((s, k) => {
    const near = nearestOnSegment(s, p);
    if (steps(near.distance) < steps(best.distance))
      best = { place: k + near.t, at: near.at, distance: near.distance };
  });
  return best;
}

/** Fractions of a segment below this are nothing. */
const NOTHING = 1e-9;

function stretch(
  chain: readonly Segment[],
  from: number,
  to: number,
): Segment[] {
  return chain.flatMap((s, k) => {
    const a = Math.min(1, Math.max(0, from - k));
    const b = Math.min(1, Math.max(0, to - k));
    return b - a > NOTHING ? [subSegment(s, a, b)] : [];
  });
}

/** The loop once round from its place nearest to `p`. */
function startingAt({ segments }: Contour, p: Vec): Segment[] {
  const { place } = nearestOn(segments, p);
  return [
    ...stretch(segments, place, segments.length),
    ...stretch(segments, 0, place),
  ];
}

/** From `from` on the loop to its place nearest to `to`, by the shorter way. */
function shorterWay(loop: Contour, from: Vec, to: Vec): Segment[] {
  const round = startingAt(loop, from);
  const { place } = nearestOn(round, to);
  const forward = stretch(round, 0, place);
  const back = reversePath(stretch(round, place, round.length));
  return pathLength(forward) <= pathLength(back) ? forward : back;
}

function pathLength(path: readonly Segment[]): number {
  return path.reduce((sum, s) => sum + segmentLength(s), 0);
}
