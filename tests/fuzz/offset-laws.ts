/** Laws that an offset obeys whatever the outlines: asked of distances that no width or radius hangs on. */
import {
  type Contour,
  contourArea,
  contourLength,
  reverseContour,
  turnBetween,
} from "../../src/geometry/contour.js";
import { loopContour, offsetLeft } from "../../src/geometry/offset.js";
import { pointAt, type Segment } from "../../src/geometry/segment.js";
import { crossesBehindTip, mirrored, placed } from "./families.js";
import { extent, type OffsetCase, outlinesOf } from "./offset-case.js";
import { bruteDistance, roundingOf } from "./offset-judge.js";

export function lawFaults(c: OffsetCase, rnd: () => number): string[] {
  const once = offsetOf(c);
  const rounding = roundingOf(c, outlinesOf(c));
  return [
    ...sameSize("moved", once, offsetOf(moved(c, rnd)), rounding),
    ...sameSize(
      "mirrored",
      once,
      offsetOf({ ...c, outlines: mirrored(c.outlines) }),
      rounding,
    ),
    ...sameSize(
      "begun elsewhere",
      once,
      offsetOf(begunElsewhere(c, rnd)),
      rounding,
    ),
    // An outline that crosses itself behind a tip, be it by 30 nm, encloses nothing there for the law to hold of.
    ...(outlinesOf(c).some(crossesBehindTip)
      ? []
      : openingFaults(once, c.d, rounding, slackOf(c, rounding))),
  ];
}

function offsetOf(c: OffsetCase): Contour[] {
  return offsetLeft(outlinesOf(c), c.d).map(loopContour);
}

function moved(c: OffsetCase, rnd: () => number): OffsetCase {
  const outlines = placed(
    c.outlines,
    2 * Math.PI * rnd(),
    20 * rnd(),
    -20 * rnd(),
  );
  return { ...c, outlines };
}

function begunElsewhere(c: OffsetCase, rnd: () => number): OffsetCase {
  const outlines = c.outlines.map((corners) => {
    const k = Math.floor(rnd() * corners.length);
    return [...corners.slice(k), ...corners.slice(0, k)];
  });
  return { ...c, outlines };
}

/** Loops of less than this many times rounding may come and go. */
const CRUMB = 1e3;

function sameSize(
  what: string,
  a: readonly Contour[],
  b: readonly Contour[],
  rounding: number,
): string[] {
  const sizes = (loops: readonly Contour[]): number[] =>
    loops.filter((l) => contourLength(l) > CRUMB * rounding).map(contourArea);
  const sum = (values: number[]): number => values.reduce((s, v) => s + v, 0);
  const lengths = Math.max(
    ...[a, b].map((loops) => sum(loops.map(contourLength))),
  );
  const off = Math.abs(sum(sizes(a)) - sum(sizes(b)));
  if (sizes(a).length !== sizes(b).length)
    return [`${what}: ${sizes(a).length} loops become ${sizes(b).length}`];
  return off <= 10 * rounding * (lengths + rounding)
    ? []
    : [`${what}: the area changes by ${off} mm²`];
}

/** Turns this near to straight back (rad) are tips of no angle. */
const TIP = 0.01;

/** How far in and out again may move a place: at a tip of no angle a little across is the root of it along. */
function slackOf(c: OffsetCase, rounding: number): number {
  const tips = outlinesOf(c).some(({ segments }) =>
    segments.some((s, i) => {
      const turn = turnBetween(segments.at(i - 1) as Segment, s);
      return Math.PI - Math.abs(turn) < TIP;
    }),
  );
  return tips ? Math.sqrt(rounding * extent(c)) : CRUMB * rounding;
}

/** In by d, out by d and in by d again is in by d once. */
function openingFaults(
  once: readonly Contour[],
  d: number,
  rounding: number,
  slack: number,
): string[] {
  if (once.length === 0) return [];
  const back = offsetLeft(once.map(reverseContour), d).map(loopContour);
  const again = offsetLeft(back.map(reverseContour), d).map(loopContour);
  const faults = sameSize("in, out and in again", once, again, 10 * rounding);
  const from = once.flatMap((l) => l.segments);
  const to = again.flatMap((l) => l.segments);
  for (const [a, b] of [
    [from, to],
    [to, from],
  ] as const)
    for (const s of a) {
      const off = bruteDistance(b, pointAt(s, 0.5));
      if (!(off <= slack))
        faults.push(`in, out and in again: off by ${off} mm`);
    }
  return faults;
}
