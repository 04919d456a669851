/** Which closed contours lie in which. Contours that cross have no answer; those that only touch have. */
import Flatbush from "flatbush";
import { noStep, type OnStep } from "../base/pace.js";
import { type Contour, contourArea, contourBox } from "./contour.js";
import { windingIndex } from "./inside.js";
import { type Box, pointAt, type Segment } from "./segment.js";
import type { Vec } from "./vec.js";

export interface Nesting {
  /** Index of the contour right around it. */
  readonly parent: number | null;
  /** How many contours lie around it. */
  readonly depth: number;
}

export function nestContours(
  contours: readonly Contour[],
  onStep: OnStep = noStep,
): Nesting[] {
  if (contours.length === 0) return [];
  const boxes = contours.map(contourBox);
  const areas = contours.map((c) => {
    onStep(c.segments.length);
    return Math.abs(contourArea(c));
  });
  const index = new Flatbush(contours.length);
  for (const b of boxes) index.add(b.minX, b.minY, b.maxX, b.maxY);
  index.finish();

  const windings = new Map<number, (p: Vec) => number>();
  const insideOf = (i: number): ((p: Vec) => boolean) => {
    const known = windings.get(i) ?? windingIndex([contours[i] as Contour]);
    windings.set(i, known);
    return (p) => known(p) !== 0;
  };

  const nestings: Nesting[] = new Array(contours.length);
  // From the largest down, so that a parent's depth is known before its children's.
  const order = contours
    .map((_, i) => i)
    .sort((a, b) => (areas[b] as number) - (areas[a] as number) || a - b);
  const rank = new Int32Array(contours.length);
  order.forEach((i, r) => {
    rank[i] = r;
  });
  for (const i of order) {
    const box = boxes[i] as Box;
    const around: number[] = [];
    index.search(
      box.minX,
      box.minY,
      box.maxX,
      box.maxY,
      (j, minX, minY, maxX, maxY) => {
        if (
          (rank[j] as number) < (rank[i] as number) &&
          minX <= box.minX &&
          minY <= box.minY &&
          maxX >= box.maxX &&
          maxY >= box.maxY
        )
          around.push(rank[j] as number);
        return false;
      },
    );
    onStep(1 + around.length / CHEAP);
    const parent = innermost(around, contours[i] as Contour, (r) => {
      onStep();
      return insideOf(order[r] as number);
    });
    nestings[i] =
      parent === null
        ? { parent: null, depth: 0 }
        : {
            parent: order[parent] as number,
            depth: (nestings[order[parent] as number] as Nesting).depth + 1,
          };
  }
  return nestings;
}

/** So many boxes compared cost about as much as one piece of other work. */
const CHEAP = 8;

/** The highest of the ranks whose contour is around `c`: the smallest contour, and usually the first that is asked. */
function innermost(
  around: readonly number[],
  c: Contour,
  insideOf: (rank: number) => (p: Vec) => boolean,
): number | null {
  if (around.length === 0) return null;
  const witnesses = witnessPoints(c);
  const isAround = (r: number): boolean => mostly(witnesses, insideOf(r));
  const nearest = around.reduce((a, b) => Math.max(a, b));
  if (isAround(nearest)) return nearest;
  return [...around].sort((a, b) => b - a).find(isAround) ?? null;
}

/** Points of a contour, off its vertices: where it touches another it usually does so at one of them. */
function witnessPoints(c: Contour): Vec[] {
  const n = c.segments.length;
  const chosen = [0, Math.floor(n / 3), Math.floor((2 * n) / 3)];
  return chosen.map((k, i) =>
    pointAt(c.segments[k] as Segment, 0.37 + 0.13 * i),
  );
}

/** One witness may lie on the other contour, where inside has no meaning. */
function mostly(
  witnesses: readonly Vec[],
  inside: (p: Vec) => boolean,
): boolean {
  return witnesses.filter(inside).length * 2 > witnesses.length;
}
