/** The tab that really stands when the wire is cut for the night: does it hold the slug? */
import { describe, expect, test } from "vitest";
import {
  CUT_WIRE,
  feature,
  HEAD,
  jobOf,
  layoutOf,
  proveText,
  squareContour,
  TAIL,
  threadAt,
} from "../helpers/programs.js";

/** Wire 0.25, gap 0.03: offset 0.155, kerf 0.31. */
const job = jobOf({
  stock: { material: "tool-steel", thickness: 8 },
  passes: [{ kind: "rough", gap: 0.03, leave: 0 }],
});
const layout = layoutOf([feature("opening-1", "opening", squareContour(220))]);

/** A square opening of 220 mm in one pass, its tab so wide in the middle of the lower side: between two kerfs. */
function withTab(width: number): string[] {
  const s = 110 - 0.155;
  const half = ((width + 0.31) / 2).toFixed(4);
  return [
    ...HEAD,
    ...threadAt(0, -100),
    `G01 X${half} Y-100.`,
    `Y-${s}`,
    `X${s}`,
    `Y${s}`,
    `X-${s}`,
    `Y-${s}`,
    `X-${half}`,
    "Y-109.",
    ...CUT_WIRE,
    "M00 (opening-1: hold the slug)",
    ...threadAt(0, -100),
    "G01 X-1.5 Y-109.",
    `Y-${s}`,
    "X1.5",
    "Y-109.",
    ...CUT_WIRE,
    ...TAIL,
  ];
}

const told = (width: number, material = job) =>
  proveText(withTab(width), layout, material).findings.filter((f) =>
    f.code.startsWith("proof/tab"),
  );

/**
 * The slug: (220 - 0.62)² · 8 mm³ of steel of 7.85 g/cm³, of which the leads take 1 g, weigh 3.02241 kg, 29.63975 N on an arm of half its side. The
 * tab bends when M / Z passes the yield stress, 350 MPa annealed, here halved for safety; Z = width · 8² / 6 (elementary
 * beam theory): width = 6 · 29.63975 · 109.69 / (175 · 64) = 1.742 mm.
 */
describe("a slug of 3 kg", () => {
  test.each([0.05, 0.5, 1.7])(
    "on a tab of %d mm is as good as loose: an error with mass, place and what it takes",
    (width) => {
      const [found, ...more] = told(width);
      expect(more).toEqual([]);
      expect(found).toMatchObject({
        code: "proof/tab-weak",
        severity: "error",
      });
      expect(found?.message).toContain(`a tab of ${width.toFixed(3)} mm`);
      const [, grams, wanted] =
        /\((\S+) g\).* leave (\S+) mm/.exec(found?.message ?? "") ?? [];
      expect(Math.abs(Number(grams) - 3022.4)).toBeLessThan(1.5);
      expect(Math.abs(Number(wanted) - 1.742)).toBeLessThan(0.0015);
      expect(found?.where?.[0]).toBeCloseTo(0, 3);
    },
  );

  test("on a tab of 1.8 mm is held", () => {
    expect(told(1.8)).toEqual([]);
  });

  test("of carbide, which does not bend, is asked for what practice leaves: half of 2.5 mm", () => {
    const carbide = jobOf({
      stock: { material: "carbide", thickness: 8 },
      passes: [{ kind: "rough", gap: 0.03, leave: 0 }],
    });
    expect(told(0.05, carbide).map((f) => f.code)).toEqual(["proof/tab-weak"]);
    expect(told(1, carbide).map((f) => f.code)).toEqual(["proof/tab-thin"]);
  });
});
