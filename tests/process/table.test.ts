import { describe, expect, it } from "vitest";
import { InputError } from "../../src/base/finding.js";
import { BUILT_IN, readProcessTable } from "../../src/process/table.js";

const read = (value: unknown) => readProcessTable(JSON.stringify(value));

function fault(value: unknown): InputError {
  try {
    read(value);
  } catch (e) {
    if (e instanceof InputError) return e;
    throw e;
  }
  throw new Error("no fault was found");
}

describe("a shop's own process table", () => {
  it("may be empty: then the built-in one holds", () => {
    expect(read({})).toEqual(BUILT_IN);
  });

  it("may be the whole built-in one, to start from", () => {
    expect(read(BUILT_IN)).toEqual(BUILT_IN);
  });

  it("changes one figure of one row and nothing else", () => {
    const { materials, ...others } = read({
      materials: { "tool-steel": { density: 7.7 } },
    });
    const { materials: base, ...rest } = BUILT_IN;
    expect(others).toEqual(rest);
    expect(materials).toEqual({
      ...base,
      "tool-steel": { ...base["tool-steel"], density: 7.7 },
    });
  });

  it("adds a material of its own", () => {
    const bronze = {
      title: "bell bronze",
      density: 8.7,
      relativeRate: 0.9,
      relativeGap: 1,
      strength: { yield: 120, shear: 150 },
      source: "supplier's sheet",
    };
    expect(
      read({ materials: { "bell-bronze": bronze } }).materials["bell-bronze"],
    ).toEqual(bronze);
  });

  it("hides built-in schedules of the same wire, material and number of passes, for figures must not mix", () => {
    const own = { ...BUILT_IN.schedules["steel-3"], height: 60 };
    expect(Object.keys(read({ schedules: { ours: own } }).schedules)).toEqual([
      "steel-1",
      "steel-2",
      "steel-4",
      "steel-5",
      "steel-6",
      "ours",
    ]);
  });

  it.each([
    [
      { material: {} },
      "process/unknown-key",
      'unknown key "material": did you mean "materials"?',
    ],
    [
      { wires: { brass: { densty: 8.4 } } },
      "process/unknown-key",
      'unknown key "wires.brass.densty": did you mean "density"?',
    ],
    [
      { wires: { brass: { density: 0 } } },
      "process/bad-value",
      "wires.brass.density must be a number above 0, up to 25 (g/cm³), not 0",
    ],
    // Figures in kg/m³ and in µm, the usual slips.
    [
      { materials: { "tool-steel": { density: 7850 } } },
      "process/bad-value",
      "materials.tool-steel.density must be a number above 0, up to 25 (g/cm³), not 7850",
    ],
    [
      {
        schedules: {
          "steel-1": { passes: [{ gap: 30, leave: 0, areaRate: 150 }] },
        },
      },
      "process/bad-value",
      "schedules.steel-1.passes[0].gap must be a number above 0, up to 1 (mm), not 30",
    ],
    [
      { working: { setup: -1 } },
      "process/bad-value",
      "working.setup must be a number from 0 to 10000 (min), not -1",
    ],
    [
      { materials: { "tool-steel": { title: "steel\nM30" } } },
      "process/bad-value",
      "materials.tool-steel.title must be a text on one line",
    ],
    [
      [{ wires: {} }],
      "process/bad-value",
      "the process table: it must be a group in braces, not [",
    ],
    [
      { wires: [{ density: 8.4 }] },
      "process/bad-value",
      "wires must be a group",
    ],
    [
      { wires: { brass: [] } },
      "process/bad-value",
      "wires.brass must be a group in braces, not []",
    ],
    [
      { materials: { bronze: { density: 8.7 } } },
      "process/bad-value",
      "materials.bronze.title must be given, not left out",
    ],
    [
      { wires: { brass: { diameters: [0.36, 0.1] } } },
      "process/bad-value",
      "wires.brass.diameters must have the smaller number first",
    ],
    [
      { schedules: { "steel-3": { material: "steel" } } },
      "process/bad-value",
      'schedules.steel-3 names "steel", which is not among the materials',
    ],
    [
      {
        schedules: {
          "steel-2": {
            passes: [
              { gap: 0.02, leave: 0, areaRate: 1 },
              { gap: 0.02, leave: 0, areaRate: 1 },
            ],
          },
        },
      },
      "process/bad-value",
      "schedules.steel-2.passes[1] must run nearer to the outline",
    ],
    [
      {
        schedules: {
          "steel-1": { passes: [{ gap: 0.03, leave: 0.01, areaRate: 1 }] },
        },
      },
      "process/bad-value",
      "schedules.steel-1.passes[0].leave must be 0",
    ],
    [
      {
        heightCurve: {
          points: [
            [10, 1],
            [10, 2],
          ],
        },
      },
      "process/bad-value",
      "heightCurve.points must go up in height",
    ],
    [
      {
        tabs: {
          rows: [{ below: 5, length: 1, count: 1, source: "ours" }],
        },
      },
      "process/bad-value",
      "only the last must have null for below",
    ],
    [
      {
        schedules: {
          ours: BUILT_IN.schedules["steel-3"],
          more: BUILT_IN.schedules["steel-3"],
        },
      },
      "process/bad-value",
      "schedules.ours and schedules.more are for the same",
    ],
  ])("that says %j is refused with %s and the place", (value, code, says) => {
    const e = fault(value);
    expect(e.code).toBe(code);
    expect(e.message).toContain(says);
  });

  it("that is no JSON is refused with line and column", () => {
    expect(() => readProcessTable('{ "wires": }')).toThrow(
      /process table is not valid JSON: line 1, column 12/,
    );
  });
});

describe("every row of the built-in table", () => {
  it("says where its figures are from", () => {
    const sources = (value: unknown): string[] =>
      typeof value !== "object" || value === null
        ? []
        : Object.entries(value).flatMap(([key, inner]) =>
            key === "source" ? [String(inner)] : sources(inner),
          );
    const all = sources(BUILT_IN);
    // Wires, materials, schedules, curve, two flushings, tabs with three rows, drilling, working.
    expect(all).toHaveLength(4 + 8 + 6 + 1 + 2 + 4 + 1 + 1);
    for (const source of all)
      expect(source).toMatch(/common practice|handbook figure/);
  });
});
