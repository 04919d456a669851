import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { MATERIAL_NAMES } from "../../src/process/materials.js";
import { areaRate, schedule } from "../../src/process/schedules.js";
import { WIRE_DIAMETERS, WIRE_MATERIALS } from "../../src/process/wires.js";

const anySetting = fc.record({
  count: fc.integer({ min: 1, max: 6 }),
  diameter: fc.constantFrom(...WIRE_DIAMETERS),
  wire: fc.constantFrom(...WIRE_MATERIALS),
  material: fc.constantFrom(...MATERIAL_NAMES),
  thickness: fc.double({ min: 0.1, max: 800, noNaN: true }),
});

describe("schedule", () => {
  it("of three passes for 0.25 brass in tool steel is the one the design shows", () => {
    const passes = schedule(3, 0.25, "brass", "tool-steel", 25);
    expect(passes.map((p) => [p.kind, p.gap, p.leave])).toEqual([
      ["rough", 0.03, 0.055],
      ["skim", 0.015, 0.005],
      ["skim", 0.01, 0],
    ]);
  });

  it("keeps to common practice at 0.25 in steel: rough gap 0.02-0.05, 0.03-0.08 left for the skims", () => {
    for (let count = 2; count <= 6; count++) {
      const rough = schedule(count, 0.25, "brass", "tool-steel", 40)[0];
      expect(rough?.gap).toBeGreaterThanOrEqual(0.02);
      expect(rough?.gap).toBeLessThanOrEqual(0.05);
      expect(rough?.leave).toBeGreaterThanOrEqual(0.03);
      expect(rough?.leave).toBeLessThanOrEqual(0.08);
    }
  });

  it("runs each pass nearer than the one before and leaves nothing at the end, whatever is cut", () => {
    fc.assert(
      fc.property(anySetting, (s) => {
        const passes = schedule(
          s.count,
          s.diameter,
          s.wire,
          s.material,
          s.thickness,
        );
        expect(passes).toHaveLength(s.count);
        expect(passes.at(-1)?.leave).toBe(0);
        passes.forEach((p, i) => {
          const before = passes[i - 1];
          expect(p.kind).toBe(i === 0 ? "rough" : "skim");
          expect(p.gap).toBeGreaterThan(0);
          expect(p.areaRate).toBeGreaterThan(0);
          expect(p.source).toContain("common practice");
          if (before)
            expect(p.gap + p.leave).toBeLessThan(before.gap + before.leave);
        });
      }),
    );
  });

  it("opens a wider gap in aluminium than in steel, and a narrower one for a thin wire", () => {
    const gap = (d: number, m: "aluminium" | "tool-steel") =>
      schedule(1, d, "brass", m, 25)[0]?.gap as number;
    // Aluminium 1.2-1.6 of steel (common practice).
    expect(gap(0.25, "aluminium") / gap(0.25, "tool-steel")).toBeCloseTo(
      1.4,
      1,
    );
    expect(gap(0.1, "tool-steel")).toBeLessThan(gap(0.25, "tool-steel"));
  });

  it("refuses a count outside 1 to 6", () => {
    for (const count of [0, 7, 2.5, -1])
      expect(() => schedule(count, 0.25, "brass", "tool-steel", 25)).toThrow(
        RangeError,
      );
  });
});

describe("area rate", () => {
  it("of 0.25 brass in steel 40-60 mm thick lies at 100-250 mm²/min", () => {
    for (const thickness of [40, 50, 60])
      for (const kind of ["rough", "skim"] as const) {
        const rate = areaRate(kind, 0.25, "brass", "tool-steel", thickness);
        expect(rate).toBeGreaterThanOrEqual(100);
        expect(rate).toBeLessThanOrEqual(250);
      }
  });

  it("rises to a peak between 40 and 80 mm and falls again", () => {
    const at = (t: number) => areaRate("rough", 0.25, "brass", "tool-steel", t);
    expect(at(5)).toBeLessThan(at(20));
    expect(at(20)).toBeLessThan(at(40));
    expect(at(40)).toBe(at(80));
    expect(at(200)).toBeLessThan(at(80));
    expect(at(2000)).toBe(at(800));
  });

  it("of carbide is a quarter to a half of steel's", () => {
    const rate = (m: "carbide" | "tool-steel") =>
      areaRate("rough", 0.25, "brass", m, 40);
    const share = rate("carbide") / rate("tool-steel");
    expect(share).toBeGreaterThanOrEqual(0.25);
    expect(share).toBeLessThanOrEqual(0.5);
  });
});
