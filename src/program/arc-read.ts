/** The arc that a block's words describe, from I J or R, and how well its radii agree. */

import { SAME_POINT } from "../base/tolerance.js";
import { arcFromTo, type Segment } from "../geometry/segment.js";
import {
  add,
  distance,
  left,
  lerp,
  scale,
  sub,
  unit,
  type Vec,
} from "../geometry/vec.js";

export interface ArcWords {
  readonly i: number | null;
  readonly j: number | null;
  readonly r: number | null;
}

export type ReadArc =
  | {
      readonly kind: "arc";
      /** Two halves for a full circle. */
      readonly segments: readonly Segment[];
      /** mm between the radius at the start and at the end. */
      readonly disagreement: number;
    }
  | {
      readonly kind:
        | "no-centre"
        | "zero-radius"
        | "no-turn"
        | "radius-too-short"
        | "large-radius-arc";
    };

/**
 * I J count from the start whatever G90 says. End = start is a full circle in centre form and none in radius form
 * (NISTIR 6556). The segment's radius is the mean of the two, so neither end is favoured.
 */
export function readArc(
  start: Vec,
  end: Vec,
  words: ArcWords,
  counterClockwise: boolean,
): ReadArc {
  if (words.i === null && words.j === null)
    return words.r === null
      ? { kind: "no-centre" }
      : arcByRadius(start, end, words.r, counterClockwise);
  const offset = { x: words.i ?? 0, y: words.j ?? 0 };
  const center = add(start, offset);
  const atStart = distance(start, center);
  const atEnd = distance(end, center);
  if (atStart <= SAME_POINT || atEnd <= SAME_POINT)
    return { kind: "zero-radius" };
  const disagreement = Math.abs(atStart - atEnd);
  if (distance(start, end) <= SAME_POINT) {
    const across = add(center, offset);
    return {
      kind: "arc",
      segments: [
        arcFromTo(center, start, across, counterClockwise),
        arcFromTo(center, across, start, counterClockwise),
      ],
      disagreement,
    };
  }
  const arc = arcFromTo(center, start, end, counterClockwise);
  if (arc.sweep === 0) return { kind: "no-turn" };
  return {
    kind: "arc",
    segments: [{ ...arc, radius: (atStart + atEnd) / 2 }],
    disagreement,
  };
}

function arcByRadius(
  start: Vec,
  end: Vec,
  radius: number,
  counterClockwise: boolean,
): ReadArc {
  const half = distance(start, end) / 2;
  if (radius < 0) return { kind: "large-radius-arc" };
  if (half <= SAME_POINT || half > radius + SAME_POINT)
    return { kind: "radius-too-short" };
  const rise = Math.sqrt(Math.max(0, radius * radius - half * half));
  const toCenter = scale(
    left(unit(sub(end, start))),
    counterClockwise ? rise : -rise,
  );
  const center = add(lerp(start, end, 0.5), toCenter);
  return {
    kind: "arc",
    segments: [arcFromTo(center, start, end, counterClockwise)],
    disagreement: 0,
  };
}
