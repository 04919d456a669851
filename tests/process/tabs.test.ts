import { describe, expect, it } from "vitest";
import { FLUSHING, jetForce } from "../../src/process/flushing.js";
import {
  MATERIALS,
  type MaterialName,
  pieceMass,
} from "../../src/process/materials.js";
import { tabNeeds, tabShearForce } from "../../src/process/tabs.js";

const needs = (
  size: readonly [number, number],
  height: number,
  material: MaterialName = "tool-steel",
) =>
  tabNeeds(
    {
      size,
      mass: pieceMass(size[0] * size[1], height, MATERIALS[material].density),
    },
    MATERIALS[material],
    height,
    FLUSHING.sealed,
  );

describe("a tab", () => {
  it("of 1 × 50 mm and 400 MPa shear strength takes 20000 N to shear: no slug weighs that", () => {
    expect(tabShearForce(1, 50, 400)).toBe(20000);
  });

  it("meets a jet of 1 MPa and 6 mm with 28.3 N, more than a 50 mm steel cube weighs", () => {
    // 1 N/mm² · π/4 · 6² mm²
    expect(jetForce({ pressure: 1, jetDiameter: 6 })).toBeCloseTo(28.274334, 6);
  });

  it.each([
    // Common practice: 0.5-1 mm under half a kilo, 2-3 mm up to five, 3-6 mm or several tabs above.
    [[20, 20], 40, 1, 1],
    [[50, 50], 50, 2.5, 1],
    [[150, 150], 40, 5, 2],
  ] as const)(
    "for a steel slug of %j in a plate of %d mm is %d mm, %d of it: practice governs",
    (size, height, length, count) => {
      expect(needs(size, height)).toMatchObject({
        length,
        count,
        governedBy: "practice",
        bears: null,
      });
    },
  );

  it("in a thin plate is as long as the jet bends it: 50 × 50 mm steel, 3 mm thick", () => {
    // m = 58.875 g, 0.57737 N; with the jet 28.85170 N at 25 mm: 721.29257 N·mm. Annealed steel yields at 350 MPa,
    // half of it is allowed: 6 · 721.29257 / (175 · 3²) = 2.74778 mm, the next tenth is 2.8.
    expect(needs([50, 50], 3)).toMatchObject({
      length: 2.8,
      count: 1,
      governedBy: "flushing",
      bears: null,
    });
  });

  it("that would have to be longer than 6 mm says what pressure it bears instead: 50 × 50 mm, 1 mm thick", () => {
    // 6 mm bear 175 · 6 · 1² / 6 / 25 = 7 N; the slug weighs 0.19246 N; 6.80754 N on 28.27433 mm².
    const thin = needs([50, 50], 1);
    expect(thin).toMatchObject({
      length: 6,
      count: 1,
      governedBy: "flushing",
    });
    expect(thin.bears).toBeCloseTo(6.80754 / 28.274334, 5);
  });

  it("under a slug that weighs more than the jet presses is as long as its weight asks: 220 × 220 mm steel, 8 mm thick", () => {
    // 3.03952 kg, 29.80751 N, and 28.27433 N of jet, at 110 mm: 6 · 6389.0024 / (175 · 8²) = 3.42268 mm.
    expect(needs([220, 220], 8)).toMatchObject({
      length: 3.5,
      count: 1,
      governedBy: "weight",
      bears: null,
    });
  });

  it("that the weight alone would bend gets a second one across: 200 × 300 mm steel, 1 mm thick", () => {
    // 0.471 kg, 4.61893 N at 150 mm: 6 · 692.84 / 175 = 23.8 mm.
    expect(needs([200, 300], 1)).toMatchObject({
      length: 6,
      count: 2,
      governedBy: "weight",
    });
  });

  it("of a brittle material is never asked to bend", () => {
    for (const material of [
      "carbide",
      "graphite",
      "polycrystalline-diamond",
    ] as const)
      expect(needs([50, 50], 1, material).governedBy).toBe("practice");
  });

  it("is never shorter than practice, nor shorter for a heavier piece or a thinner plate", () => {
    for (const side of [1, 3, 10, 30, 60])
      for (const height of [0.5, 1, 2, 5, 10, 40]) {
        const here = needs([side, side], height).length;
        expect(here).toBeGreaterThanOrEqual(1);
        expect(needs([side * 1.5, side], height).length).toBeGreaterThanOrEqual(
          here,
        );
      }
  });
});
