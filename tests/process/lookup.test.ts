import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { FLUSHING } from "../../src/process/flushing.js";
import { type Found, findSchedule } from "../../src/process/lookup.js";
import { MATERIAL_NAMES } from "../../src/process/materials.js";
import {
  BUILT_IN,
  type ProcessTable,
  readProcessTable,
} from "../../src/process/table.js";
import { WIRE_DIAMETERS, WIRE_MATERIALS } from "../../src/process/wires.js";

interface Wish {
  readonly count?: number;
  readonly diameter?: number;
  readonly wire?: string;
  readonly material?: string;
  readonly height?: number;
  readonly flushing?: "sealed" | "open";
  readonly table?: ProcessTable;
}

const look = (w: Wish = {}): Found =>
  findSchedule(w.table ?? BUILT_IN, w.count ?? 3, {
    wire: { material: w.wire ?? "brass", diameter: w.diameter ?? 0.25 },
    material: w.material ?? "tool-steel",
    height: w.height ?? 40,
    flushing: FLUSHING[w.flushing ?? "sealed"],
  }) as Found;

const rate = (w: Wish): number => look(w).passes[0]?.areaRate as number;
const gap = (w: Wish): number => look(w).passes[0]?.gap as number;

describe("passes from the built-in table", () => {
  it("for 0.25 brass in tool steel 40 mm high are a row of it, and nothing is interpolated", () => {
    const found = look();
    expect(found.passes.map((p) => [p.gap, p.leave])).toEqual([
      [0.03, 0.055],
      [0.015, 0.005],
      [0.01, 0],
    ]);
    expect([found.steps, found.outside]).toEqual([[], []]);
  });

  it("run each pass nearer than the one before and leave nothing at the end, whatever is cut", () => {
    fc.assert(
      fc.property(
        fc.record({
          count: fc.integer({ min: 1, max: 6 }),
          diameter: fc.constantFrom(...WIRE_DIAMETERS),
          wire: fc.constantFrom(...WIRE_MATERIALS),
          material: fc.constantFrom(...MATERIAL_NAMES),
          height: fc.double({ min: 0.1, max: 800, noNaN: true }),
          flushing: fc.constantFrom("sealed" as const, "open" as const),
        }),
        (wish) => {
          const { passes, source } = look(wish);
          expect(passes).toHaveLength(wish.count);
          expect(passes.at(-1)?.leave).toBe(0);
          expect(source).toContain("common practice");
          passes.forEach((p, i) => {
            const before = passes[i - 1];
            expect(p.gap).toBeGreaterThan(0);
            expect(p.areaRate).toBeGreaterThan(0);
            if (before)
              expect(p.gap + p.leave).toBeLessThan(before.gap + before.leave);
          });
        },
      ),
    );
  });

  it("cut fastest between 40 and 80 mm height, slower in lower and in higher plates", () => {
    expect(rate({ height: 5 })).toBeLessThan(rate({ height: 20 }));
    expect(rate({ height: 20 })).toBeLessThan(rate({ height: 40 }));
    expect(rate({ height: 80 })).toBe(rate({ height: 40 }));
    expect(rate({ height: 200 })).toBeLessThan(rate({ height: 80 }));
  });

  it("cut carbide at a quarter to a half of steel's rate, and open 1.2-1.6 of steel's gap in aluminium", () => {
    const carbide = rate({ material: "carbide" }) / rate({});
    expect(carbide).toBeGreaterThanOrEqual(0.25);
    expect(carbide).toBeLessThanOrEqual(0.5);
    const aluminium = gap({ material: "aluminium" }) / gap({});
    expect(aluminium).toBeGreaterThanOrEqual(1.2);
    expect(aluminium).toBeLessThanOrEqual(1.6);
  });

  it("rough 30-50 % slower and with a wider gap where the nozzles stand off; the skims stay", () => {
    const [sealed, open] = [look(), look({ flushing: "open" })];
    const share = rate({ flushing: "open" }) / rate({});
    expect(share).toBeGreaterThanOrEqual(0.5);
    expect(share).toBeLessThanOrEqual(0.7);
    expect(gap({ flushing: "open" })).toBeGreaterThan(gap({}));
    expect(open.passes.slice(1)).toEqual(sealed.passes.slice(1));
  });

  it("say every step that leads from a row to them", () => {
    const { steps } = look({
      diameter: 0.1,
      wire: "tungsten",
      material: "carbide",
      height: 10,
    });
    expect(steps).toHaveLength(4);
    expect(steps.join()).toMatch(
      /40 mm to 10 mm height.*0\.25 mm to 0\.1 mm wire.*tool steel to cemented carbide.*brass to tungsten/,
    );
  });

  it("say when a wire is thinner or thicker than its kind comes in", () => {
    expect(look({ diameter: 0.05 }).outside.join()).toMatch(
      /brass wire is usual from 0\.1 mm to 0\.36 mm/,
    );
    expect(look({ diameter: 0.05, wire: "tungsten" }).outside).toEqual([]);
  });

  it("are not there for seven", () => {
    expect(
      findSchedule(BUILT_IN, 7, {
        wire: { material: "brass", diameter: 0.25 },
        material: "tool-steel",
        height: 40,
        flushing: FLUSHING.sealed,
      }),
    ).toBeNull();
  });
});

describe("passes from a shop's own rows", () => {
  const row = (height: number, gap: number, areaRate: number) => ({
    wire: { material: "brass", diameter: 0.25 },
    material: "carbide",
    height,
    passes: [{ gap, leave: 0, areaRate }],
    ra: [1, 2],
    tolerance: 0.01,
    source: "test cuts of Quarterpast & Nought",
  });
  const table = readProcessTable(
    JSON.stringify({
      schedules: { low: row(20, 0.02, 40), high: row(60, 0.04, 80) },
    }),
  );
  const own = (height: number) =>
    look({ table, count: 1, material: "carbide", height });

  it("are taken as they stand where a row is for just this", () => {
    expect(own(20)).toMatchObject({
      passes: [{ gap: 0.02, leave: 0, areaRate: 40 }],
      steps: [],
    });
  });

  it("are interpolated between two heights, and say so: 30 mm is a quarter of the way from 20 to 60", () => {
    const found = own(30);
    expect(found.passes[0]?.gap).toBeCloseTo(0.025, 12);
    expect(found.passes[0]?.areaRate).toBeCloseTo(50, 9);
    expect(found.steps.join()).toMatch(/between.*20 mm and 60 mm/);
  });

  it("go on beyond the last row by the height curve, and say so", () => {
    const found = own(120);
    expect(found.passes[0]?.gap).toBe(0.04);
    expect(found.passes[0]?.areaRate).toBeLessThan(80);
    expect(found.steps.join()).toMatch(/60 mm to 120 mm height/);
  });

  it("leave the other materials and counts to the built-in rows", () => {
    expect(look({ table })).toEqual(look());
  });
});
