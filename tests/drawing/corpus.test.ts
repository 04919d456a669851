import { describe, expect, it } from "vitest";
import { readDxf } from "../../src/drawing/read-dxf.js";
import { contourArea, contourLength } from "../../src/geometry/contour.js";
import { type KnownFile, skewedFile, writtenFile } from "./corpus.js";

const WRITTEN = 119;
const SKEWED = 31;

/** Greatest distance (mm) of fitted arcs from a curve, and how much longer than the curve they may be. */
const FIT = 0.0001;
const LONGER = 0.00002;

function judge({ bytes, outlines, rounding }: KnownFile): void {
  const drawing = readDxf(bytes);
  expect(drawing.findings.filter((f) => f.severity !== "note")).toEqual([]);
  expect(drawing.open).toEqual([]);
  expect(drawing.outlines.map((o) => o.layer).sort()).toEqual(
    outlines.map((o) => o.layer).sort(),
  );
  for (const { layer, area, perimeter, curved } of outlines) {
    const found = drawing.outlines.find((o) => o.layer === layer);
    if (!found) throw new Error(`nothing on ${layer}`);
    const off = Math.abs(contourArea(found.contour) - area);
    const longer = Math.abs(contourLength(found.contour) - perimeter);
    expect(off).toBeLessThan(
      curved ? FIT * perimeter : 1e-6 * area + rounding * perimeter,
    );
    expect(longer).toBeLessThan(
      curved ? LONGER * perimeter : 1e-6 * perimeter + 100 * rounding,
    );
  }
}

describe(`${WRITTEN} drawings by another library, R9 to 2018, in all forms and units`, () => {
  for (let k = 0; k < WRITTEN; k++) {
    const file = writtenFile(k);
    it(`${file.name}: every outline found, area and perimeter known`, () => {
      judge(file);
    });
  }
});

describe(`${SKEWED} drawings of blocks placed askew`, () => {
  for (let k = 0; k < SKEWED; k++) {
    const file = skewedFile(k);
    it(`${file.name}: every outline found, area and perimeter known`, () => {
      judge(file);
    });
  }
});
