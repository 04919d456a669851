/** One fault that stands in line after line is told once, and every word that nobody knows is still named. */
import { expect, test } from "vitest";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";

const errorsOf = (lines: readonly string[]): string[] =>
  readProgram(["%", "G71 G90", ...lines, "M30", "%"].join("\n"), NEUTRAL)
    .findings.filter((f) => f.severity === "error")
    .map((f) => f.message);

const begin = ["G00 X0. Y0.", "T1 M06", "M08"];

test("unknown words on 300 lines are told word by word, each with its first places and how often it stands there", () => {
  const told = errorsOf([
    ...begin,
    ...Array.from({ length: 150 }, (_, k) => [
      `G01 X${k}.5 E5`,
      `G01 X${k}.9 M77`,
    ]).flat(),
  ]);
  expect(told).toHaveLength(2);
  const [e5 = "", m77 = ""] = told;
  expect(e5).toMatch(/^line 6, column 10: E5 .*in 149 more places/);
  expect(e5).toContain("line 8, column 10");
  expect(m77).toMatch(/^line 7, column 10: M77 .*in 149 more places/);
});

test("two or three of a kind are told one by one", () => {
  expect(errorsOf([...begin, "G01 X1. E5", "G01 X2. E5"])).toHaveLength(2);
});

test("arcs whose radii disagree since all coordinates have two decimals are one fault, and more decimals are its cure", () => {
  // Quarters of a circle of radius 5 cut at 17°: rounded to 0.01 mm, both radii differ by up to 0.028 mm.
  const spot = (k: number): [number, number] => {
    const a = (17 + 23 * k) * (Math.PI / 180);
    return [5 * Math.cos(a), 5 * Math.sin(a)];
  };
  const arcs = Array.from({ length: 40 }, (_, k) => {
    const [x0, y0] = spot(k);
    const [x1, y1] = spot(k + 1);
    return `G03 X${x1.toFixed(2)} Y${y1.toFixed(2)} I${(-x0).toFixed(2)} J${(-y0).toFixed(2)}`;
  });
  const [x, y] = spot(0);
  const told = errorsOf([
    `G00 X${x.toFixed(2)} Y${y.toFixed(2)}`,
    "T1 M06",
    ...arcs,
  ]);
  expect(told).toHaveLength(1);
  expect(told[0]).toContain("steps of 0.01 mm");
  expect(told[0]).toMatch(/more places/);
});

test("decimal commas all through a program are one fault that says what to write", () => {
  const told = errorsOf([
    "G00 X0. Y0.",
    "T1 M06",
    ...Array.from({ length: 30 }, (_, k) => `G01 X${k + 1},${k}5 Y2.`),
  ]);
  expect(told).toHaveLength(1);
  expect(told[0]).toMatch(/decimal comma.*point.*29 more places/);
});

test("a space in the middle of numbers all through a program is one fault, whatever figures follow it", () => {
  const told = errorsOf([
    ...begin,
    ...Array.from({ length: 30 }, (_, k) => `G01 X${k} .${k}5 Y2.`),
  ]).filter((m) => m.includes("space"));
  expect(told).toHaveLength(1);
  // G01 X0 .05: the point is the eighth character of the line after the three before.
  expect(told[0]).toMatch(/^line 6, column 8: .*29 more places/);
});
