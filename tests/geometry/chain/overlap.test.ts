import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { mergeOverlaps } from "../../../src/geometry/chain/overlap.js";
import {
  type Arc,
  type Line,
  line,
  type Segment,
  segmentLength,
} from "../../../src/geometry/segment.js";

type Stretch = readonly [from: number, to: number];

/** How much of a line is drawn at all: sweeping over the sorted stretches. */
function covered(stretches: readonly Stretch[]): number {
  let sum = 0;
  let reached = Number.NEGATIVE_INFINITY;
  for (const [from, to] of [...stretches].sort((a, b) => a[0] - b[0])) {
    sum += Math.max(0, to - Math.max(from, reached));
    reached = Math.max(reached, to);
  }
  return sum;
}

function drawnLength(segments: readonly Segment[]): number {
  return mergeOverlaps(segments).merged.reduce(
    (sum, s) => sum + (s ? segmentLength(s) : 0),
    0,
  );
}

const DIRECTION = { x: 0.6, y: 0.8 };

function onLine([from, to]: Stretch, forward: boolean): Line {
  const at = (t: number) => ({
    x: 3 + t * DIRECTION.x,
    y: -1 + t * DIRECTION.y,
  });
  return forward ? line(at(from), at(to)) : line(at(to), at(from));
}

const RADIUS = 5;

function onCircle([from, to]: Stretch, forward: boolean): Arc {
  const at = (t: number) => ({
    x: 100 + RADIUS * Math.cos(t),
    y: RADIUS * Math.sin(t),
  });
  const [start, end] = forward ? [from, to] : [to, from];
  return {
    kind: "arc",
    start: at(start),
    end: at(end),
    center: { x: 100, y: 0 },
    radius: RADIUS,
    sweep: end - start,
  };
}

/** Stretches on a grid of 32 places, so that ends often lie on ends, each drawn one way or the other. */
const stretches = fc.array(
  fc.tuple(
    fc.integer({ min: 0, max: 31 }),
    fc.integer({ min: 1, max: 16 }),
    fc.boolean(),
  ),
  { minLength: 1, maxLength: 12 },
);

describe("what is drawn over each other", () => {
  it("on one line comes to the length that is drawn at all", () => {
    fc.assert(
      fc.property(stretches, (drawn) => {
        const along = drawn.map(([from, n]): Stretch => [from, from + n]);
        const lines = along.map((s, i) => onLine(s, drawn[i]?.[2] ?? true));
        expect(drawnLength(lines)).toBeCloseTo(covered(along), 9);
      }),
    );
  });

  it("on one circle comes to the length that is drawn at all, and never to more than once round", () => {
    const step = (2 * Math.PI) / 32;
    fc.assert(
      fc.property(stretches, (drawn) => {
        const round = drawn.map(
          ([from, n]): Stretch => [from * step, (from + n) * step],
        );
        const arcs = round.map((s, i) => onCircle(s, drawn[i]?.[2] ?? true));
        const turn = 2 * Math.PI;
        const once = round.flatMap(([from, to]): Stretch[] =>
          to > turn
            ? [
                [from, turn],
                [0, to - turn],
              ]
            : [[from, to]],
        );
        expect(drawnLength(arcs)).toBeCloseTo(RADIUS * covered(once), 7);
      }),
      { numRuns: 500 },
    );
  });

  it("costs no more for each of them in a long row than in a short one", () => {
    // Pieces of work, as they are counted for who waits: a long row is asked piece by piece, not over and over.
    const work = (n: number): number => {
      let pieces = 0;
      mergeOverlaps(
        Array.from({ length: n }, (_, i) => onLine([2 * i, 2 * i + 3], true)),
        (k = 1) => {
          pieces += k;
        },
      );
      return pieces / n;
    };
    expect(work(4000)).toBeLessThan(1.5 * work(400));
  });
});
