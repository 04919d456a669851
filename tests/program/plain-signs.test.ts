/** Signs that mail and word processors put in: told once by their name, and the program read on as it was meant. */
import { expect, test } from "vitest";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";
import { HEAD, proveText, squareProgram, TAIL } from "../helpers/programs.js";

const errorsOf = (lines: readonly string[]): string[] =>
  proveText(lines)
    .findings.filter((f) => f.severity !== "note")
    .map((f) => `${f.severity} ${f.message}`);

// The square's program has 4 decimals and both signs in all of its blocks.
test.each([
  ["a typographic minus", /-(?=\d)/g, "\u2212", "U+2212"],
  ["an en dash", /-(?=\d)/g, "\u2013", "U+2013"],
  ["a space that does not break", / (?=[XY])/g, "\u00a0", "U+00A0"],
  ["a decimal comma", /\.(?=\d)/g, ",", "decimal comma"],
  ["a letter O for a nought", /(?<=[XY]-?)0/g, "O", "letter O"],
])(
  "%s in every block is one error, and nothing follows from it",
  (_, from, to, named) => {
    const typed = squareProgram().map((l) =>
      l.startsWith("M00") ? l : l.replace(from, to),
    );
    const told = errorsOf(typed);
    expect(told).toHaveLength(1);
    expect(told[0]).toMatch(/^error line \d+, column \d+: /);
    expect(told[0]).toContain(named);
    expect(told[0]).toMatch(/the same in \d+ more places/);
  },
);

test("the place named is that of the sign", () => {
  const program = readProgram(
    [...HEAD, "G00 X0. Y0.", "T1 M06", "G01 X1. Y\u22122.", ...TAIL].join("\n"),
    NEUTRAL,
  );
  // G01 X1. Y−2.: the dash is the tenth character of the block, in line 5.
  expect(program.findings.map((f) => f.message)).toContainEqual(
    expect.stringMatching(/^line 5, column 10: .*U\+2212/),
  );
  expect(program.actions.at(-2)).toMatchObject({
    kind: "feed",
    segment: { end: { x: 1, y: -2 } },
  });
});

test("in a comment every sign is free", () => {
  const lines = squareProgram();
  expect(
    errorsOf([
      ...lines.slice(0, 2),
      "(gap 0,03 mm \u2212 \u00a0)",
      ...lines.slice(2),
    ]),
  ).toEqual([]);
});

test("a program's number, O and figures, is no nought", () => {
  const program = readProgram(
    ["%", "O1234", "G71 G90", "G00 X0. Y0.", ...TAIL].join("\n"),
    NEUTRAL,
  );
  expect(program.findings.map((f) => [f.code, f.severity])).toEqual([
    ["program/idle-word", "note"],
  ]);
});
