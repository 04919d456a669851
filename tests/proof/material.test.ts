import ClipperLib from "clipper-lib";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { line } from "../../src/geometry/segment.js";
import { type Vec, vec } from "../../src/geometry/vec.js";
import { bandsOf, type Swath, toGrid } from "../../src/proof/bands.js";
import { metalAround } from "../../src/proof/material.js";
import { enclosedBy, insidePoint } from "../../src/proof/polygons.js";

const path = (points: readonly Vec[], radius = 0.15): Swath[] =>
  points
    .slice(1)
    .map((end, k) => ({ segment: line(points[k] as Vec, end), radius }));

/** Once round a circle, 2000 chords: far more than a tile holds. */
const ring = (radius: number, share = 1): Vec[] =>
  Array.from({ length: 2001 }, (_, k) => {
    const a = (share * 2 * Math.PI * k) / 2000;
    return vec(radius * Math.cos(a), radius * Math.sin(a));
  });

const coordinate = fc.double({ min: 0, max: 6, noNaN: true });
const SHEET = [vec(-1, -1), vec(7, -1), vec(7, 7), vec(-1, 7)];

/** mm² of the sheet that a kerf leaves, by one clipping without tiles. */
function atOnce(kerf: readonly Swath[]): number {
  const origin = vec(0, 0);
  const clipper = new ClipperLib.Clipper();
  clipper.AddPath(
    SHEET.map((p) => toGrid(p, origin)),
    ClipperLib.PolyType.ptSubject,
    true,
  );
  for (const band of bandsOf(kerf, origin))
    clipper.AddPaths([...band.paths], ClipperLib.PolyType.ptClip, true);
  const left: ClipperLib.Paths = [];
  clipper.Execute(
    ClipperLib.ClipType.ctDifference,
    left,
    ClipperLib.PolyFillType.pftNonZero,
    ClipperLib.PolyFillType.pftNonZero,
  );
  return left.reduce((sum, p) => sum + ClipperLib.Clipper.Area(p), 0) * 1e-8;
}

describe("metal that hangs together, tile by tile", () => {
  test("a ring leaves a disc, π · (20 - 0.15)² mm², and the rest", () => {
    const areas = metalAround(path(ring(20)), null).areas;
    expect(areas).toHaveLength(2);
    const disc = areas.find((a) => a.onFrame === 0);
    expect(disc?.parts.length).toBeGreaterThan(4);
    expect((disc?.size ?? 0) / (Math.PI * 19.85 ** 2)).toBeCloseTo(1, 4);
    expect((disc?.rimLength ?? 0) / (2 * Math.PI * 19.85)).toBeCloseTo(1, 3);
    if (!disc) throw new Error("no disc");
    expect(enclosedBy(disc, vec(0, 0.01))).toBe(true);
    expect(enclosedBy(disc, vec(19.9, 0))).toBe(false);
    const inside = insidePoint(disc);
    expect(Math.hypot(inside.x, inside.y)).toBeLessThan(19.85);
  });

  test("a ring left open by a tab leaves one area", () => {
    // Open by 0.3 % of 125.66 mm = 0.377 mm, less the kerf of 0.3.
    expect(metalAround(path(ring(20, 0.997)), null).areas).toHaveLength(1);
    // By 0.2 % = 0.251 mm: the kerf closes it.
    expect(metalAround(path(ring(20, 0.998)), null).areas).toHaveLength(2);
  });

  test("a comb of 300 slots is still one area, and each tooth cut off is one more", () => {
    const teeth = 300;
    const comb = Array.from({ length: teeth }, (_, k) => [
      vec(k, 0),
      vec(k, 8),
      vec(k + 0.5, 8),
      vec(k + 0.5, 0),
    ]).flat();
    // Between a tooth's sides 0.5 mm lie open; closing them with a cut along the foot frees them all.
    expect(metalAround(path(comb), null).areas).toHaveLength(1);
    const foot = path([vec(-1, 0), vec(teeth + 1, 0)]);
    const areas = metalAround([...path(comb), ...foot], null).areas;
    expect(areas).toHaveLength(1 + teeth);
    // Each 0.5 - 0.3 wide and 8 - 0.3 high, but for the kerf's roundings.
    const small = areas.filter((a) => a.onFrame === 0);
    for (const a of small) expect(a.size).toBeCloseTo(0.2 * 7.7, 2);
  });

  test("the dust of a cut is counted once, however often the wire goes over it", () => {
    // 10 mm long, 0.3 mm wide, round at both ends.
    const way = path([vec(0, 0), vec(10, 0)]);
    const dust = 10 * 0.3 + Math.PI * 0.15 ** 2;
    expect(metalAround(way, null).swept).toBeCloseTo(dust, 2);
    expect(metalAround([...way, ...way, ...way], null).swept).toBeCloseTo(
      dust,
      2,
    );
  });

  test("a block is an area with an end", () => {
    const block = [vec(0, 0), vec(30, 0), vec(30, 10), vec(0, 10)];
    const cut = path([vec(10, -1), vec(10, 11)]);
    const areas = metalAround(cut, block).areas;
    expect(areas.map((a) => a.size).sort((p, q) => p - q)).toEqual([
      expect.closeTo(9.85 * 10, 6),
      expect.closeTo(19.85 * 10, 6),
    ]);
  });

  test("rings 0.01 mm apart leave the disc inside them and the rest, and of dust less than 0.0001 mm²", () => {
    const rings = Array.from({ length: 40 }, (_, k) => 3 + k * 0.01);
    const areas = metalAround(
      rings.flatMap((r) => path(ring(r).filter((_, k) => k % 20 === 0))),
      null,
    ).areas;
    expect(areas.filter((a) => a.size > 1e-4)).toHaveLength(2);
    const disc = areas.find((a) => a.onFrame === 0 && a.size > 1e-4);
    expect((disc?.size ?? 0) / (Math.PI * 2.85 ** 2)).toBeCloseTo(1, 2);
  });

  test("a scribble leaves what clipping it all at once leaves", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(coordinate, coordinate), {
          minLength: 80,
          maxLength: 150,
        }),
        (places) => {
          const kerf = path(places.map(([x, y]) => vec(x, y)));
          const areas = metalAround(kerf, SHEET).areas;
          const tiled = areas.reduce((sum, a) => sum + a.size, 0);
          expect(tiled).toBeCloseTo(atOnce(kerf), 3);
        },
      ),
      { numRuns: 20 },
    );
  });
});
