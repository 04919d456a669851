/** The same loops as clipper-lib finds on the flattened outlines, but for what flattening cannot tell. */
import {
  type Contour,
  contourArea,
  contourLength,
  polygonContour,
  reverseContour,
} from "../../src/geometry/contour.js";
import { loopContour, offsetLeft } from "../../src/geometry/offset.js";
import { clipperOffset, GRID } from "../helpers/clipper.js";
import { placed } from "./families.js";
import {
  type Corner,
  extent,
  type OffsetCase,
  outlinesOf,
} from "./offset-case.js";

/** Chord errors as shares of the size: a finer one is tried where a coarser one finds other loops. */
const CHORDS = [1e-4, 1e-5, 1e-6];

/** A loop as both know it: its area, positive round what is left of the side that is asked for, and its length. */
interface Loop {
  readonly area: number;
  readonly length: number;
}

/**
 * Loops on average thinner than flattening's error are left out on both sides. Where necks open within that error, for
 * the answers to d that much smaller and larger differ, only the whole area is compared.
 */
export function clipperFaults(c: OffsetCase): string[] {
  const [[x, y]] = c.outlines[0] as [Corner];
  const near = { ...c, outlines: placed(c.outlines, 0, -x, -y) };
  let fault: string | null = null;
  for (const share of CHORDS) {
    const chord = share * extent(c);
    // Too fine for clipper's grid, or too coarse for the distance, to judge by.
    if (chord < 4 / GRID || c.d < 100 * chord) continue;
    fault = disagreement(near, chord);
    if (fault === null) return [];
  }
  return fault === null ? [] : [fault];
}

function disagreement(c: OffsetCase, chord: number): string | null {
  const error = 3 * chord + 2 / GRID;
  const ours = ourLoops(c);
  const theirs = clipperLoops(c, chord);
  const found = difference(seen(ours, error), seen(theirs, error), error);
  if (found === null) return null;
  if (
    opensNecks(c, error) &&
    difference([total(ours)], [total(theirs)], error) === null
  )
    return null;
  return `${found} at chords of ${chord} mm`;
}

function difference(
  ours: readonly Loop[],
  theirs: readonly Loop[],
  error: number,
): string | null {
  if (ours.length !== theirs.length)
    return `${ours.length} loops, clipper-lib has ${theirs.length}`;
  for (const [i, { area, length }] of ours.entries()) {
    const other = (theirs[i] as Loop).area;
    if (!(Math.abs(area - other) <= error * (length + 8 * error)))
      return `a loop of ${area} mm², clipper-lib says ${other}`;
  }
  return null;
}

/** Between d − error and d + error loops come, go, part or lose a branch. */
function opensNecks(c: OffsetCase, error: number): boolean {
  const lengths = (d: number): number[] =>
    ourLoops({ ...c, d })
      .map(contourLength)
      .filter((l) => l > 10 * error)
      .sort((a, b) => a - b);
  const less = lengths(c.d - error);
  const more = lengths(c.d + error);
  if (less.length !== more.length) return true;
  return less.some((l, i) => Math.abs(l - (more[i] as number)) > 0.05 * l);
}

function total(loops: readonly Contour[]): Loop {
  return {
    area: loops.reduce((sum, l) => sum + contourArea(l), 0),
    length: loops.reduce((sum, l) => sum + contourLength(l), 0),
  };
}

function ourLoops(c: OffsetCase): Contour[] {
  return offsetLeft(outlinesOf(c), c.d).map(loopContour);
}

/** Clipper grows and shrinks what is filled: its loops run the other way round when we go outward. */
function clipperLoops(c: OffsetCase, chord: number): Contour[] {
  const drawn = outlinesOf({ ...c, outward: false });
  const loops = clipperOffset(drawn, c.outward ? c.d : -c.d, chord).map(
    polygonContour,
  );
  return c.outward ? loops.map(reverseContour) : loops;
}

function seen(loops: readonly Contour[], error: number): Loop[] {
  return loops
    .map((l) => ({ area: contourArea(l), length: contourLength(l) }))
    .filter(({ area, length }) => Math.abs(area) > error * length)
    .sort((a, b) => a.area - b.area);
}
