import { describe, expect, it } from "vitest";
import { InputError } from "../../src/base/finding.js";
import { drawingUnits, scaleFinding } from "../../src/drawing/units.js";

const say = (insunits: string) => new Map([["$INSUNITS", insunits]]);
const never = () => {
  throw new Error("the size is asked only when the unit is missing");
};

describe("the drawing's unit", () => {
  // Check value 18; the astronomical ones by definition (IAU 2012: 1 au = 149,597,870,700 m; 1 ly = c · 365.25 d).
  it.each([
    [1, "in", 25.4],
    [2, "ft", 304.8],
    [3, "mile", 1_609_344],
    [4, "mm", 1],
    [5, "cm", 10],
    [6, "m", 1000],
    [7, "km", 1e6],
    [8, "microinch", 0.0000254],
    [9, "mil", 0.0254],
    [10, "yd", 914.4],
    [11, "angstrom", 1e-7],
    [12, "nm", 1e-6],
    [13, "um", 0.001],
    [14, "dm", 100],
    [15, "dam", 1e4],
    [16, "hm", 1e5],
    [17, "Gm", 1e12],
    [18, "au", 1.495978707e14],
    [19, "ly", 299_792_458 * 365.25 * 86_400 * 1000],
    [20, "pc", 3.08567758149137e19],
    [21, "US survey ft", 304.8006096012192],
    [22, "US survey in", 25.4000508001016],
    [23, "US survey yd", 914.4018288036576],
    [24, "US survey mile", 1_609_347.21869444],
  ])("of code %d is %s: %d mm", (code, name, mm) => {
    const { units, findings } = drawingUnits(say(String(code)), {}, never);
    expect([units.drawing, units.source]).toEqual([name, "$INSUNITS"]);
    expect(units.toMm / mm).toBeCloseTo(1, 12);
    expect(findings).toEqual([]);
  });

  it("rules over $MEASUREMENT, and a note says when the two disagree", () => {
    const read = (insunits: string, measurement: string) =>
      drawingUnits(
        new Map([
          ["$INSUNITS", insunits],
          ["$MEASUREMENT", measurement],
        ]),
        {},
        never,
      );
    expect(read("4", "1").findings).toEqual([]);
    expect(read("1", "0").findings).toEqual([]);
    for (const [insunits, measurement, mm] of [
      ["4", "0", 1],
      ["1", "1", 25.4],
    ] as const) {
      const { units, findings } = read(insunits, measurement);
      expect(units.toMm).toBe(mm);
      expect(findings.map((f) => [f.code, f.severity])).toEqual([
        ["drawing/unit-doubtful", "note"],
      ]);
    }
  });

  it("is asked for when it is missing, with a guess by the size", () => {
    for (const header of [new Map<string, string>(), say("0")]) {
      let message = "";
      try {
        drawingUnits(header, {}, () => [2.5, 1.25]);
      } catch (error) {
        expect(error).toBeInstanceOf(InputError);
        expect((error as InputError).code).toBe("drawing/no-unit");
        message = (error as InputError).message;
      }
      expect(message).toContain("--units mm");
      expect(message).toContain("--units in");
      expect(message).toContain("2.5 × 1.25 mm");
      expect(message).toContain("63.5 × 31.75 mm");
      expect(message).toContain("in is the likelier");
    }
    expect(() => drawingUnits(new Map(), {}, () => [80, 40])).toThrow(
      "mm is the likelier",
    );
  });

  it("may be given for a drawing that says none, and a note says so", () => {
    const taken = drawingUnits(new Map(), { fallbackUnit: "in" }, never);
    expect(taken.units.toMm).toBe(25.4);
    expect(taken.findings.map((f) => [f.code, f.severity])).toEqual([
      ["drawing/unit-taken", "note"],
    ]);
    expect(
      drawingUnits(say("4"), { fallbackUnit: "in" }, never).units.toMm,
    ).toBe(1);
  });

  it("given by the caller rules, and a warning says when the drawing disagrees", () => {
    const { units, findings } = drawingUnits(say("4"), { unit: "in" }, never);
    expect(units.toMm).toBe(25.4);
    expect(findings.map((f) => [f.code, f.severity])).toEqual([
      ["drawing/unit-overridden", "warning"],
    ]);
    expect(drawingUnits(say("1"), { unit: "in" }, never).findings).toEqual([]);
  });

  it("of an unknown code is refused", () => {
    expect(() => drawingUnits(say("99"), {}, never)).toThrow("$INSUNITS is 99");
  });
});

describe("dimensions at another scale", () => {
  it("are told: a sheet drawn 10:1", () => {
    expect(scaleFinding(new Map([["$DIMLFAC", "0.1"]]))[0]?.message).toContain(
      "0.1 times",
    );
    expect(scaleFinding(new Map([["$DIMLFAC", "1.0"]]))).toEqual([]);
    expect(scaleFinding(new Map())).toEqual([]);
  });
});
