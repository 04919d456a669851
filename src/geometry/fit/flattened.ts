/**
 * Where a chain looks like a curve that was flattened into chords. A chord of length L beside a turn θ lies Lθ/8 inside
 * its circle; where that is more than a tolerance, a line or a corner is meant.
 */
import type { Contour } from "../contour.js";
import { type Segment, segmentLength, tangentAt } from "../segment.js";
import { angleBetween, rotate, type Vec } from "../vec.js";

/** A row of chords that stand in for a smooth curve. */
export interface Stretch {
  /** The chords, each beginning where the one before ends. */
  readonly chords: readonly Segment[];
  /** Unit directions that its neighbours, which are no chords, go on in; `null` at a corner or a loose end. */
  readonly set: Vec | null;
  readonly arrive: Vec | null;
}

/** Rounding in files makes chords a little flatter or steeper than they were meant. */
export const ROUNDED = 1.25;

/** How many chords of the contour look flattened, and by how much (mm) the flattest lie inside their curve at most. */
export function flattenedChords(
  c: Contour,
  tolerance: number,
): { readonly chords: number; readonly sagitta: number } {
  let chords = 0;
  let sagitta = 0;
  if (c.segments.filter((s) => s.kind === "line").length < FEWEST_CHORDS)
    return { chords, sagitta };
  for (const part of partsOf(c, tolerance))
    if ("chords" in part) {
      chords += part.chords.length;
      sagitta = Math.max(sagitta, sagittaOf(part));
    }
  return { chords, sagitta };
}

/** Fewer chords in a row are corners that were broken, not curves. */
const FEWEST_CHORDS = 5;
/** No flattened curve turns more (rad) from chord to chord. */
const SHARPEST = Math.PI / 4;

/** Stretches, and the segments between them, in order; a closed contour may begin elsewhere. */
export function partsOf(c: Contour, tolerance: number): (Stretch | Segment)[] {
  const n = c.segments.length;
  const at = (i: number): Segment => c.segments[(i + n) % n] as Segment;
  const lengths = c.segments.map(segmentLength);
  /** Turn at the start of each; `null` where the contour begins, or goes round a corner. */
  const turns = c.segments.map((s, i): number | null => {
    if (i === 0 && !c.closed) return null;
    const before = at(i - 1);
    const turn = angleBetween(tangentAt(before, 1), tangentAt(s, 0));
    const shorter = Math.min(
      lengths[i] as number,
      lengths[(i + n - 1) % n] as number,
    );
    const gentle =
      Math.abs(turn) <= SHARPEST &&
      shorter * Math.abs(turn) <= FLATTENING * ROUNDED * tolerance;
    return gentle ? turn : null;
  });
  const isChord = c.segments.map((s, i) => {
    const ends = [turns[i], turns[i + 1 === n ? 0 : i + 1]].filter(
      (t): t is number => typeof t === "number",
    );
    return (
      s.kind === "line" &&
      ends.length > 0 &&
      ends.every(
        (t) =>
          (lengths[i] as number) * Math.abs(t) <=
          FLATTENING * ROUNDED * tolerance,
      )
    );
  });
  const goesOn = (i: number): boolean =>
    isChord[i] === true &&
    isChord[(i + n - 1) % n] === true &&
    turns[i] !== null;

  let begin = 0;
  if (c.closed) while (begin < n && goesOn(begin)) begin++;
  // A ring of chords without a break is one stretch, closed in itself.
  const ring = begin === n;
  const parts: (Stretch | Segment)[] = [];
  for (let i = 0; i < n; ) {
    const first = (begin + i) % n;
    let count = 1;
    while (i + count < n && goesOn((first + count) % n)) count++;
    const row = Array.from({ length: count }, (_, k) => at(first + k));
    if (isChord[first] && count >= FEWEST_CHORDS) {
      const next = (first + count) % n;
      const set = turns[first] === null ? null : tangentAt(at(first - 1), 1);
      const arrive = turns[next] === null ? null : tangentAt(at(next), 0);
      parts.push(
        ring
          ? { chords: row, ...ringDirection(row) }
          : { chords: row, set, arrive },
      );
    } else parts.push(...row);
    i += count;
  }
  return parts;
}

/** A chord of length L beside a turn θ lies Lθ/8 inside its circle. */
const FLATTENING = 8;

function ringDirection(row: readonly Segment[]): { set: Vec; arrive: Vec } {
  const direction = circleTangent(row.at(-1) as Segment, row[0] as Segment);
  return { set: direction, arrive: direction };
}

/** Tangent, where two chords meet, of the circle through their three ends. */
export function circleTangent(a: Segment, b: Segment): Vec {
  const direction = tangentAt(a, 1);
  const turn = angleBetween(direction, tangentAt(b, 0));
  const la = segmentLength(a);
  return rotate(direction, (turn * la) / (la + segmentLength(b)));
}

export function sagittaOf({ chords }: Stretch): number {
  return chords.reduce((most, s, i) => {
    const next = chords[i + 1];
    if (!next) return most;
    const turn = Math.abs(angleBetween(tangentAt(s, 1), tangentAt(next, 0)));
    const longer = Math.max(segmentLength(s), segmentLength(next));
    return Math.max(most, (longer * turn) / FLATTENING);
  }, 0);
}
