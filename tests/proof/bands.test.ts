/** The kerf as bands, against the same way widened by clipper-lib from its chords. */
import ClipperLib from "clipper-lib";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  arcAbout,
  line,
  pointAt,
  type Segment,
} from "../../src/geometry/segment.js";
import { vec } from "../../src/geometry/vec.js";
import { bandsOf, type Swath } from "../../src/proof/bands.js";

const ORIGIN = vec(0, 0);
const STEP = 1e-4;

type Paths = ClipperLib.Paths;
const { ctDifference, ctUnion } = ClipperLib.ClipType;
const { pftNonZero } = ClipperLib.PolyFillType;

function clip(type: number, subject: Paths, other: Paths): Paths {
  const clipper = new ClipperLib.Clipper();
  clipper.AddPaths(subject, ClipperLib.PolyType.ptSubject, true);
  clipper.AddPaths(other, ClipperLib.PolyType.ptClip, true);
  const result: Paths = [];
  clipper.Execute(type, result, pftNonZero, pftNonZero);
  return result;
}

const sweptByBands = (kerf: readonly Swath[]): Paths =>
  clip(
    ctUnion,
    bandsOf(kerf, ORIGIN).flatMap((b) => [...b.paths]),
    [],
  );

/** Chords within 0.3 µm, widened with round joints and ends; `more` mm wider or narrower. */
function sweptByClipper(kerf: readonly Swath[], more: number): Paths {
  const swept = kerf.flatMap(({ segment, radius }) => {
    const offset = new ClipperLib.ClipperOffset(2, 3);
    offset.AddPath(
      chords(segment),
      ClipperLib.JoinType.jtRound,
      ClipperLib.EndType.etOpenRound,
    );
    const paths: Paths = [];
    offset.Execute(paths, (radius + more) / STEP);
    return paths;
  });
  return clip(ctUnion, swept, []);
}

function chords(s: Segment): ClipperLib.Path {
  const n = s.kind === "line" ? 1 : 120;
  return Array.from({ length: n + 1 }, (_, k) => {
    const { x, y } = pointAt(s, k / n);
    return { X: Math.round(x / STEP), Y: Math.round(y / STEP) };
  });
}

const area = (paths: Paths): number =>
  Math.abs(paths.reduce((sum, p) => sum + ClipperLib.Clipper.Area(p), 0)) *
  STEP ** 2;

/** A way that goes on smoothly or with a corner: lines and arcs, tight ones too. */
const way = fc
  .array(
    fc.record({
      bend: fc.constantFrom(0, 0.03, 0.15, 0.18, 0.5, 4),
      sweep: fc.double({ min: 0.05, max: 3.1, noNaN: true }),
      left: fc.boolean(),
      corner: fc.constantFrom(0, 0, 0, 0.001, 0.3, 1.6, -2.5),
    }),
    { minLength: 1, maxLength: 7 },
  )
  .map((steps) => {
    const segments: Segment[] = [];
    let at = vec(0, 0);
    let heading = 0;
    for (const { bend, sweep, left, corner } of steps) {
      heading += corner;
      const side = left ? 1 : -1;
      const turn = Math.PI / 2;
      const s =
        bend === 0
          ? line(
              at,
              vec(
                at.x + sweep * Math.cos(heading),
                at.y + sweep * Math.sin(heading),
              ),
            )
          : arcAbout(
              vec(
                at.x + bend * Math.cos(heading + side * turn),
                at.y + bend * Math.sin(heading + side * turn),
              ),
              bend,
              heading - side * turn,
              side * sweep,
            );
      if (bend > 0) heading += side * sweep;
      segments.push(s);
      at = s.end;
    }
    return segments;
  });

/** mm: what chords and overlaps are off, and the grid. */
const OFF = 0.003;
/** mm²: some corners rounded to the grid. */
const CELL = 10 * STEP ** 2;

describe("bands cover what the wire sweeps", () => {
  test("and nothing else, whatever way it goes", () => {
    fc.assert(
      fc.property(way, fc.constantFrom(0.05, 0.15, 0.2), (segments, radius) => {
        const kerf = segments.map((segment) => ({ segment, radius }));
        const swept = sweptByBands(kerf);
        // No crack parts one band from the next.
        expect(
          swept.filter((p) => ClipperLib.Clipper.Area(p) * STEP ** 2 > CELL),
        ).toHaveLength(1);
        // Nothing of a kerf a little narrower is left out, and nothing lies outside one a little wider.
        expect(
          area(clip(ctDifference, sweptByClipper(kerf, -OFF), swept)),
        ).toBeLessThan(CELL);
        expect(
          area(clip(ctDifference, swept, sweptByClipper(kerf, OFF))),
        ).toBeLessThan(CELL);
      }),
      { numRuns: 60 },
    );
  });

  test("a hole is a disc, and a whole turn a ring: π · d²/4 and 2πr · d", () => {
    const hole = [{ segment: line(vec(3, 4), vec(3, 4)), radius: 0.5 }];
    expect(area(sweptByBands(hole)) / (Math.PI * 0.25)).toBeCloseTo(1, 2);
    const halves = [0, Math.PI].map((from) => ({
      segment: arcAbout(vec(0, 0), 10, from, Math.PI),
      radius: 0.15,
    }));
    expect(area(sweptByBands(halves)) / (2 * Math.PI * 10 * 0.3)).toBeCloseTo(
      1,
      3,
    );
  });
});
