/**
 * What must be true of an offset, asked of the answer by means of its own: distances and winding numbers by brute
 * force over all segments, and clipper-lib on the flattened outlines.
 *
 * The heart of it: the answer's winding number at a point says whether the point is further than d from everything,
 * for every point of the plane. It is asked on both sides of every piece of the answer and of every place where a
 * piece could be missing, as close as rounding allows: no loop missing, none too many, none twice, all oriented.
 */
import {
  type Contour,
  contourArea,
  contourLength,
} from "../../src/geometry/contour.js";
import {
  loopContour,
  type OffsetLoop,
  offsetLeft,
} from "../../src/geometry/offset.js";
import {
  pointAt,
  type Segment,
  tangentAt,
} from "../../src/geometry/segment.js";
import { along, left, type Vec } from "../../src/geometry/vec.js";
import { distanceFrom } from "../helpers/nearness.js";
import { extent, type OffsetCase, outlinesOf } from "./offset-case.js";
import { windingByHalving } from "./winding.js";

/** What double arithmetic cannot tell apart on this case, mm: a billionth of its size, or rounding of large numbers. */
export function roundingOf(
  c: OffsetCase,
  outlines: readonly Contour[],
): number {
  const size = Math.max(extent(c), c.d);
  const far = Math.max(
    ...c.outlines.flat().flatMap(([x, y]) => [Math.abs(x), Math.abs(y)]),
  );
  const radius = Math.max(
    0,
    ...outlines.flatMap((o) =>
      o.segments.map((s) => (s.kind === "arc" ? s.radius : 0)),
    ),
  );
  return 1e-9 * size + 1e-14 * (far + radius);
}

/** Everything wrong with the offset of a case; nothing when it is right. */
export function faultsOf(c: OffsetCase, rnd: () => number): string[] {
  const outlines = outlinesOf(c);
  let loops: OffsetLoop[];
  try {
    loops = offsetLeft(outlines, c.d);
  } catch (error) {
    return [`throws ${error}`];
  }
  const rounding = roundingOf(c, outlines);
  return [
    ...endsFaults(loops, rounding),
    ...distanceFaults(loops, outlines, c.d, rounding, rnd),
    ...sourceFaults(loops, outlines, c.d, rounding),
    ...windingFaults(loops, outlines, c, rounding, rnd),
  ];
}

export function bruteDistance(segments: readonly Segment[], p: Vec): number {
  let least = Number.POSITIVE_INFINITY;
  for (const s of segments) least = Math.min(least, distanceFrom(s, p));
  return least;
}

/** Each piece ends where the next begins; no empty loops; every arc goes through its ends. */
function endsFaults(loops: readonly OffsetLoop[], rounding: number): string[] {
  return loops.flatMap(({ segments }) => {
    if (segments.length === 0) return ["a loop without pieces"];
    return segments.flatMap(({ segment: s }, i) => {
      const next = (segments[(i + 1) % segments.length] ?? { segment: s })
        .segment;
      const off = Math.hypot(next.start.x - s.end.x, next.start.y - s.end.y);
      const faults: string[] = [];
      if (!(off <= rounding))
        faults.push(`piece ${i} ends ${off} mm before the next`);
      if (s.kind === "arc") {
        for (const p of [s.start, s.end, pointAt(s, 1 - 1e-12)]) {
          const r = Math.hypot(p.x - s.center.x, p.y - s.center.y);
          if (!(Math.abs(r - s.radius) <= rounding))
            faults.push(`arc ${i} misses its circle by ${r - s.radius}`);
        }
        const end = pointAt(s, 1 - 1e-12);
        const miss = Math.hypot(end.x - s.end.x, end.y - s.end.y);
        if (!(miss <= 4 * rounding))
          faults.push(`arc ${i} misses its end by ${miss}`);
        if (!(Math.abs(s.sweep) < 2 * Math.PI))
          faults.push(`arc ${i} sweeps ${s.sweep}`);
      }
      return faults;
    });
  });
}

/** Every point of the answer is at distance d from the outlines. */
function distanceFaults(
  loops: readonly OffsetLoop[],
  outlines: readonly Contour[],
  d: number,
  rounding: number,
  rnd: () => number,
): string[] {
  const sources = outlines.flatMap((o) => o.segments);
  const faults: string[] = [];
  for (const { segments } of loops)
    for (const { segment } of segments)
      for (const t of [0, 0.5, rnd()]) {
        const p = pointAt(segment, t);
        const off = bruteDistance(sources, p) - d;
        if (!(Math.abs(off) <= rounding))
          faults.push(`(${p.x}, ${p.y}) is at d ${off < 0 ? "" : "+"}${off}`);
      }
  return faults;
}

/** Each piece is at d from the very stretch it says it comes from. */
function sourceFaults(
  loops: readonly OffsetLoop[],
  outlines: readonly Contour[],
  d: number,
  rounding: number,
): string[] {
  return loops.flatMap(({ segments }) =>
    segments.flatMap((piece, i) => {
      const source = outlines[piece.contour]?.segments[piece.index];
      if (!source) return [`piece ${i} has no source`];
      return [0, 0.5, 1].flatMap((t) => {
        const p = pointAt(piece.segment, t);
        const from = piece.from + (piece.to - piece.from) * t;
        const q = piece.corner ? source.end : pointAt(source, from);
        const off = Math.hypot(p.x - q.x, p.y - q.y) - d;
        return Math.abs(off) <= 10 * rounding
          ? []
          : [`piece ${i} is ${off} mm off its source's distance`];
      });
    }),
  );
}

/** At most this many places are asked for their winding number: the cost goes with places times segments. */
const MOST_PLACES = 240;

function windingFaults(
  loops: readonly OffsetLoop[],
  outlines: readonly Contour[],
  { d, outward }: OffsetCase,
  rounding: number,
  rnd: () => number,
): string[] {
  const sources = outlines.flatMap((o) => o.segments);
  const answer = loops.map(loopContour);
  // Inside the plate the outlines wind once, beyond it not at all; turned round for outward, it is 0 beyond and −1 inside.
  const top = outward ? 0 : 1;
  const wind = (contours: readonly Contour[], p: Vec): number =>
    contours.reduce((sum, c) => sum + windingByHalving(c, p), 0);
  const faults: string[] = [];
  for (const p of sample(
    places(answer, sources, d, rounding, rnd),
    MOST_PLACES,
    rnd,
  )) {
    const far = bruteDistance(sources, p);
    if (Math.abs(far - d) <= 3 * rounding || far <= 3 * rounding) continue;
    const clear = far > d && wind(outlines, p) === top;
    const found = wind(answer, p);
    const expected = clear ? top : top - 1;
    if (found !== expected)
      faults.push(
        `(${p.x}, ${p.y}), ${far} mm from the outlines, is ${clear ? "free" : "not free"}, yet the answer winds ${found} times round it, not ${expected}`,
      );
  }
  return faults;
}

/** Both sides of the answer, and of the outlines moved by d: wherever the answer runs or could run. */
function places(
  answer: readonly Contour[],
  sources: readonly Segment[],
  d: number,
  rounding: number,
  rnd: () => number,
): Vec[] {
  const beside = (s: Segment, t: number, shift: number): Vec[] => {
    const normal = left(tangentAt(s, t));
    const p = along(pointAt(s, t), normal, shift);
    const step = rnd() < 0.7 ? 10 * rounding : d * 10 ** (-6 * rnd());
    return [along(p, normal, step), along(p, normal, -step)];
  };
  return [
    ...answer.flatMap((c) => c.segments.flatMap((s) => beside(s, rnd(), 0))),
    ...sources.flatMap((s) => [...beside(s, rnd(), d), ...beside(s, 0.5, d)]),
    ...sources.map((s) => {
      const angle = 2 * Math.PI * rnd();
      const r = d + 10 * rounding;
      return {
        x: s.end.x + r * Math.cos(angle),
        y: s.end.y + r * Math.sin(angle),
      };
    }),
  ];
}

function sample<T>(all: readonly T[], most: number, rnd: () => number): T[] {
  return all.length <= most
    ? [...all]
    : Array.from(
        { length: most },
        () => all[Math.floor(rnd() * all.length)] as T,
      );
}

/** Area and length of an answer, to compare it with another. */
export function sizeOf(loops: readonly Contour[]): {
  area: number;
  length: number;
} {
  return {
    area: loops.reduce((sum, c) => sum + contourArea(c), 0),
    length: loops.reduce((sum, c) => sum + contourLength(c), 0),
  };
}
