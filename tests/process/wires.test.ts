import { describe, expect, it } from "vitest";
import {
  WIRE_DIAMETERS,
  WIRE_MATERIALS,
  WIRES,
  wireMassPerMetre,
} from "../../src/process/wires.js";

/** g/cm³ */
const BRASS = WIRES.brass.density;

describe("wire", () => {
  // π/4 · d² · 8.5 g/cm³, worked by hand to eight digits.
  it.each([
    [0.25, 0.41724277],
    [0.1, 0.06675884],
    [0.3, 0.60082959],
  ])("of %d mm brass weighs %d g a metre", (diameter, grams) => {
    expect(wireMassPerMetre(diameter, BRASS)).toBeCloseTo(grams, 8);
  });

  it("of 0.25 mm brass fed at 10 m/min uses 250.345665 g in an hour", () => {
    expect(wireMassPerMetre(0.25, BRASS) * 10 * 60).toBeCloseTo(250.345665, 5);
  });

  it("is offered from 0.02 to 0.36 mm, thinnest first", () => {
    expect(WIRE_DIAMETERS[0]).toBe(0.02);
    expect(WIRE_DIAMETERS.at(-1)).toBe(0.36);
    expect([...WIRE_DIAMETERS].sort((a, b) => a - b)).toEqual(WIRE_DIAMETERS);
  });

  it("carries a source for every kind", () => {
    for (const name of WIRE_MATERIALS) {
      expect(WIRES[name].source).toMatch(/handbook.*(practice|measure)/);
    }
  });

  it.each([0, -0.25, Number.NaN, Number.POSITIVE_INFINITY])(
    "refuses a diameter of %d",
    (diameter) => {
      expect(() => wireMassPerMetre(diameter, BRASS)).toThrow(RangeError);
    },
  );
});
