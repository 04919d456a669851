import { describe, expect, it } from "vitest";
import {
  MATERIAL_NAMES,
  MATERIALS,
  pieceMass,
  weight,
} from "../../src/process/materials.js";

describe("material", () => {
  it("of steel, a slug 20 mm round and 40 mm high weighs 98.646009 g", () => {
    // π · 10² · 40 mm³ · 7.85 g/cm³
    expect(
      pieceMass(Math.PI * 100, 40, MATERIALS["tool-steel"].density) * 1000,
    ).toBeCloseTo(98.646009, 6);
  });

  it("of steel, a 50 mm cube weighs 981.25 g", () => {
    expect(pieceMass(50 * 50, 50, MATERIALS["tool-steel"].density)).toBeCloseTo(
      0.98125,
      12,
    );
  });

  it.each([
    // Handbook densities, g/cm³; of a range the heavy end.
    ["carbide", 15],
    ["copper", 8.96],
    ["aluminium", 2.7],
    ["titanium", 4.43],
    ["nickel-alloy", 8.19],
    ["graphite", 1.85],
  ] as const)("%s weighs %d g/cm³", (name, density) => {
    expect(MATERIALS[name].density).toBe(density);
  });

  it("knows which break instead of bending: carbide, graphite and diamond", () => {
    expect(
      MATERIAL_NAMES.filter((n) => MATERIALS[n].strength === "brittle"),
    ).toEqual(["carbide", "graphite", "polycrystalline-diamond"]);
  });

  it("of steel, a slug of 98.646009 g presses down with 0.96738689 N, a 50 mm cube with 9.62277531 N", () => {
    // m · 9.80665 m/s² (exact since 1901).
    expect(weight(0.098646009)).toBeCloseTo(0.96738689, 7);
    expect(weight(0.98125)).toBeCloseTo(9.62277531, 7);
  });

  it("says of each figure where it is from", () => {
    for (const name of MATERIAL_NAMES)
      expect(MATERIALS[name].source).toMatch(/density: handbook/);
  });
});
