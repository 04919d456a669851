import { describe, expect, it } from "vitest";
import { SCHEDULES, vdiClass, vdiRa } from "../../src/process/schedules.js";

const rows = Object.values(SCHEDULES);

describe("the built-in schedules", () => {
  it("have one to six passes for 0.25 brass in tool steel", () => {
    expect(rows.map((r) => r.passes.length)).toEqual([1, 2, 3, 4, 5, 6]);
    for (const r of rows) {
      expect(r.wire).toEqual({ material: "brass", diameter: 0.25 });
      expect(r.source).toContain("common practice");
    }
  });

  it("keep to common practice: rough gap 0.02-0.05, 0.03-0.08 left for the skims, 100-250 mm²/min", () => {
    for (const { passes } of rows) {
      const [rough] = passes;
      expect(rough?.gap).toBeGreaterThanOrEqual(0.02);
      expect(rough?.gap).toBeLessThanOrEqual(0.05);
      if (passes.length > 1) {
        expect(rough?.leave).toBeGreaterThanOrEqual(0.03);
        expect(rough?.leave).toBeLessThanOrEqual(0.08);
      }
      for (const { areaRate } of passes) {
        expect(areaRate).toBeGreaterThanOrEqual(100);
        expect(areaRate).toBeLessThanOrEqual(250);
      }
    }
  });

  it("promise Ra and tolerance by the number of passes, as common practice does", () => {
    expect(rows.map((r) => r.ra)).toEqual([
      [2, 3.5],
      [1.2, 2],
      [0.6, 1],
      [0.35, 0.6],
      [0.2, 0.35],
      [0.2, 0.35],
    ]);
    expect(rows.map((r) => r.tolerance)).toEqual([
      0.02, 0.01, 0.006, 0.003, 0.003, 0.003,
    ]);
  });
});

describe("VDI 3400", () => {
  it.each([
    // Formula of VDI 3400 (1975), from memory: class = 20·log10(10·Ra/µm).
    [0.1, 0],
    [0.8, 18.0618],
    [1, 20],
    [10, 40],
  ])("gives Ra %d µm the class %d", (ra, vdi) => {
    expect(vdiClass(ra)).toBeCloseTo(vdi, 4);
  });

  it.each([
    [24, 1.58489],
    [30, 3.16228],
  ])("gives class %d an Ra of %d µm", (vdi, ra) => {
    expect(vdiRa(vdi)).toBeCloseTo(ra, 5);
  });
});
