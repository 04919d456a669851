/** Programs in the habits of other people: whatever way they are typed, what they cut is what is judged. */
import { describe, expect, test } from "vitest";
import { check, InputError, type Proof } from "../../src/index.js";
import { dxfText } from "../helpers/dxf.js";
import { PUNCH, proveText, punchProgram } from "../helpers/programs.js";

const codes = (lines: readonly string[], layout = PUNCH): string[] =>
  proveText(lines, layout)
    .findings.filter((f) => f.severity !== "note")
    .map((f) => f.code);

/** The punch with its corners run on to a point instead of rolled round, as one types it without arcs. */
function pointedPunch(): string[] {
  const lines: string[] = [];
  let [x0, y0] = [0, 0];
  for (const l of punchProgram()) {
    const [x, y] = numbers(l, "X", "Y");
    const [i, j] = numbers(l, "I", "J");
    // Start, end and centre of a quarter turn are three corners of a square; the fourth is where its tangents meet.
    if (i === undefined || j === undefined) lines.push(l);
    else
      lines[lines.length - 1] =
        `G01 X${n(x0 + (x as number) - (x0 + i))} Y${n(y0 + (y as number) - (y0 + j))}`;
    [x0, y0] = [x ?? x0, y ?? y0];
  }
  return lines;
}

const n = (value: number): string => value.toFixed(4);
const numbers = (line: string, ...letters: string[]): (number | undefined)[] =>
  letters.map((letter) => {
    const found = new RegExp(`${letter}(-?[\\d.]+)`).exec(line)?.[1];
    return found === undefined ? undefined : Number(found);
  });

describe("outside corners", () => {
  test("run on to a point finish the corner as well: no alarm", () => {
    const proof = proveText(pointedPunch(), PUNCH);
    expect(codes(pointedPunch())).toEqual([]);
    expect(proof.ok).toBe(true);
    expect(proof.maxExcess).toBe(0);
  });
});

/**
 * A die plate of 60 × 32 mm with a rounded opening of 20 × 12 mm (R2) and a round one of 8 mm, and a program for it as
 * somebody types it who never saw ours: one pass, 0.155 mm off the edge; G1 for G01, modal words, R here and I J there,
 * a J or I of nought left out, decimal points without noughts behind.
 */
const DRAWING = dxfText([
  ...rectangle("PLATE", 0, 0, 60, 32),
  ...[
    [12, 10, 28, 10],
    [30, 12, 30, 20],
    [28, 22, 12, 22],
    [10, 20, 10, 12],
  ].map(([a, b, c, d]) =>
    line("DIE", a as number, b as number, c as number, d as number),
  ),
  ...[
    [28, 12, 270],
    [28, 20, 0],
    [12, 20, 90],
    [12, 12, 180],
  ].map(([x, y, from]) => [
    0,
    "ARC",
    8,
    "DIE",
    10,
    x as number,
    20,
    y as number,
    40,
    2,
    50,
    from as number,
    51,
    ((from as number) + 90) % 360 || 360,
  ]),
  [0, "CIRCLE", 8, "DIE", 10, 45, 20, 16, 40, 4],
]);

function line(layer: string, x1: number, y1: number, x2: number, y2: number) {
  return [0, "LINE", 8, layer, 10, x1, 20, y1, 11, x2, 21, y2];
}

function rectangle(
  layer: string,
  x1: number,
  y1: number,
  x2: number,
  y2: number,
) {
  return [
    line(layer, x1, y1, x2, y1),
    line(layer, x2, y1, x2, y2),
    line(layer, x2, y2, x1, y2),
    line(layer, x1, y2, x1, y1),
  ];
}

const DIE_JOB = JSON.stringify({
  units: "mm",
  wire: { diameter: 0.25, material: "brass" },
  stock: { material: "tool-steel", thickness: 20 },
  passes: [{ kind: "rough", gap: 0.03, leave: 0 }],
  roles: { layers: { PLATE: "stock", DIE: "opening" } },
});

const DIE = `%
(DIE PLATE, TYPED)
G71 G90 G40
G0 X20. Y16.
T1 M6
M8
G1 X20. Y10.155
X28.
G3 X29.845 Y12. R1.845
G1 Y20.
G3 X28. Y21.845 I-1.845 J0.
G1 X12.
G3 X10.155 Y20. J-1.845
G1 Y12.
G3 X12. Y10.155 I1.845
G1 X18.
M9
T0 M6
M0 (OPENING-1: HOLD IT)
G0 X20. Y16.
T1 M6
M8
G1 X20. Y10.155
X18.
M9
T0 M6
M0 (OPENING-1: TAKE IT OUT)
G0 X45. Y16.
T1 M6
M8
G1 X45. Y12.155
G3 X48.845 Y16. J3.845
X45. Y19.845 I-3.845
X41.155 Y16. J-3.845
X44. Y12.2872 I3.845
M9
T0 M6
M0 (OPENING-2: HOLD IT)
G0 X45. Y16.
T1 M6
M8
G1 X45. Y12.155
G2 X44. Y12.2872 J3.845
M9
T0 M6
M0 (OPENING-2: TAKE IT OUT)
M30
%
`;

const dieProof = (text: string, job = DIE_JOB, drawing = DRAWING): Proof =>
  check({ name: "die", drawing, job }, text);

const inches = (text: string): string =>
  text
    .replace("G71", "G70")
    .replace(
      /([XYIJR])(-?[\d.]+)/g,
      (_, letter, mm) => letter + (Number(mm) / 25.4).toFixed(6),
    );

/** G91 from every thread on; G90 for the way there. */
function increments(text: string): string {
  let at = { X: 0, Y: 0 };
  return text
    .split("\n")
    .map((l) => {
      if (l.startsWith("(")) return l;
      const rapid = l.startsWith("G0");
      const moved = l.replace(
        /([XY])(-?[\d.]+)/g,
        (_, letter: "X" | "Y", to) => {
          const by = Number(to) - at[letter];
          at = { ...at, [letter]: Number(to) };
          return letter + (rapid ? to : by.toFixed(4));
        },
      );
      return rapid ? `G90 ${moved}\nG91` : moved;
    })
    .join("\n");
}

describe("a die plate as other people type it is proved", () => {
  test.each([
    ["as it is", DIE],
    ["with Windows line ends", DIE.replace(/\n/g, "\r\n")],
    [
      "in small letters and without blanks",
      DIE.replace(/^[^(]*/gm, (l) => l.toLowerCase().replace(/ /g, "")),
    ],
    ["with blanks inside words", DIE.replace(/([XYG])(\d)/g, "$1 $2")],
    [
      "with plus signs and leading noughts",
      DIE.replace(/([XY])(\d)/g, "$1+0$2"),
    ],
    ["with tabulators", DIE.replace(/ /g, "\t")],
    ["in inches", inches(DIE)],
    ["in increments", increments(DIE)],
    ["without %", DIE.replace(/%\n/g, "")],
    ["with M02", DIE.replace("M30", "M02")],
    ["without G40 and G90", DIE.replace(" G90 G40", "")],
    [
      "with stops that name the opening in two words",
      DIE.replace(/OPENING-/g, "Opening "),
    ],
    [
      "waiting for the water after threading",
      DIE.replace(/^M8$/gm, "M8\nG4 X2."),
    ],
    ["with feeds", DIE.replace(/^G1 /gm, "G1 F3.5 ")],
    ["with a ; after every block", DIE.replace(/([^%\n])\n/g, "$1;\n")],
    ["with comments everywhere", DIE.replace(/^G1/gm, "(NOW) G1 (STRAIGHT)")],
    ["with the stop's comment above it", DIE.replace(/M0 (\(.*\))/g, "$1\nM0")],
    ["counted from a named datum", DIE.replace("G90 G40", "G90 G40 G54")],
    ["with a program's number", DIE.replace("(DIE", "O1234 (DIE")],
    [
      "beginning where the wire stands by G92",
      DIE.replace("G0 X20. Y16.", "G92 X20. Y16."),
    ],
    [
      "with the words of a block in any order",
      DIE.replace(/^(G\d) (X\S+) (Y\S+)$/gm, "$3 $2 $1"),
    ],
    [
      "with N in no order and blocks that may be left out in between",
      DIE.replace(/^([GXYTM])/gm, "N9 $1").replace("M8\n", "M8\n/3 M1\n"),
    ],
    [
      "with halves and quarters of the circle by R",
      DIE.replace("G3 X48.845 Y16. J3.845\n", "G3 ").replace(
        "X45. Y19.845 I-3.845\nX41.155 Y16. J-3.845\n",
        "X45. Y19.845 R3.845\nX41.155 Y16. R3.845\n",
      ),
    ],
    [
      "with two stops where one is needed",
      DIE.replace(/^M0 /gm, "M0 (LOOK AT THE WIRE)\nM0 "),
    ],
  ])("%s", (_, text) => {
    const proof = dieProof(text);
    expect(proof.findings.filter((f) => f.severity !== "note")).toEqual([]);
    expect(proof.ok).toBe(true);
    expect(proof.loosePieces.map((p) => [p.feature, p.attended])).toEqual([
      ["opening-1", true],
      ["opening-2", true],
    ]);
  });
});

describe("a fault typed into it is called by its name, once", () => {
  test.each([
    [
      "two moves in one block",
      DIE.replace("X28.\nG3 X", "X28. G3 X"),
      "line 8, column 9: X29.845",
    ],
    [
      "a comment behind ;",
      DIE.replace("X28.\n", "X28. ; right\n"),
      "line 8, column 6: ; begins a comment",
    ],
    [
      "a minus sign from a word processor",
      DIE.replace("I-1.845", "I\u22121.845"),
      "line 11, column 18: the minus is the dash U+2212",
    ],
    [
      "a negative R",
      DIE.replace("R1.845", "R-1.845"),
      "line 9, column 1: a negative R",
    ],
    [
      "G41 without D",
      DIE.replace("G1 X20. Y10.155\nX28.", "G41 G1 X20. Y10.155\nX28."),
      "line 7, column 1: G41 or G42 without a D",
    ],
    [
      "T without M06",
      DIE.replace("T1 M6", "T1"),
      "line 5, column 1: T1 stands without its companion",
    ],
    [
      "a stop that names nothing",
      DIE.replace(" (OPENING-1: HOLD IT)", ""),
      "the one in line 19 names nothing",
    ],
    [
      "the wire left in at the stop",
      DIE.replace("T0 M6\nM0 (OPENING-1: H", "M0 (OPENING-1: H"),
      "line 19: G00 to (20, 16) with the wire in",
    ],
    [
      "a second datum",
      DIE.replace("G90 G40", "G90 G54").replace(
        "X41.155 Y16.",
        "G55\nX41.155 Y16.",
      ),
      "line 34, column 1: G55 changes the datum after coordinates from G54",
    ],
    [
      "an axis that tilts the wire",
      DIE.replace("G1 X12.", "G1 X12. U0.5"),
      "line 12, column 9: U0.5 tilts the wire",
    ],
  ])("%s", (_, text, part) => {
    const proof = dieProof(text);
    expect(proof.ok).toBe(false);
    const told = proof.findings.filter((f) => f.message.includes(part));
    expect(told).toHaveLength(1);
    expect(told[0]?.severity).toBe("error");
  });

  test("a wait in the middle of the cut is a warning with line and place", () => {
    const proof = dieProof(DIE.replace("X28.\n", "X28.\nG4 P500\n"));
    const told = proof.findings.filter((f) => f.severity !== "note");
    expect(told.map((f) => f.code)).toEqual(["proof/dwell"]);
    expect(told[0]?.message).toContain("program line 9:");
    expect(told[0]?.message).toContain("(28, 10.155)");
    expect(proof.ok).toBe(true);
  });

  test("a program for another drawing or job: that is said first", () => {
    const other = dxfText(rectangle("DIE", 5, 5, 40, 25));
    for (const proof of [
      dieProof(DIE, DIE_JOB, other),
      dieProof(DIE, DIE_JOB.replace("0.25", "0.1")),
    ]) {
      const errors = proof.findings.filter((f) => f.severity === "error");
      expect(errors[0]?.code).toBe("proof/follows-nothing");
    }
  });
});

describe("what can be no program is refused in one sentence", () => {
  test.each([
    ["an empty file", "", "program/empty"],
    ["a letter", "Dear Sir,\nplease find attached\n", "program/empty"],
    ["a picture", "\u0089PNG\r\n\u001a\n\0\0\0\rIHDR", "program/not-text"],
    ["two bytes a letter", [...DIE].join("\0"), "program/not-text"],
    ["a line of 50 MB", `G01 ${"X1 ".repeat(5e6)}`, "program/too-long"],
    [
      "a knot of 20,000 moves in one place",
      DIE.replace(
        "G1 X20. Y10.155\n",
        `G1 X20. Y10.155\n${"X20.0001\nX20.\n".repeat(10_000)}`,
      ),
      "program/tangled",
    ],
    ["a file of 50 MB", "G01 X1.\n".repeat(6e6), "program/too-long"],
  ])("%s", (_, text, code) => {
    let thrown: unknown;
    try {
      dieProof(text);
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toBeInstanceOf(InputError);
    expect((thrown as InputError).code).toBe(code);
  });
});

test.each([
  [
    "G70 in a program in mm",
    (text: string) => text.replace("G71", "G70"),
    "taken as mm: write G71",
  ],
  [
    "figures in inches under G71",
    (text: string) =>
      text.replace(
        /([XYIJR])(-?[\d.]+)/g,
        (_, letter, figure) => `${letter}${(Number(figure) / 25.4).toFixed(6)}`,
      ),
    "taken as inches: write G70",
  ],
])("%s: the unit is the one error", (_, spoil, words) => {
  const { findings, ok } = check(
    { name: "plate", drawing: DRAWING, job: DIE_JOB },
    spoil(DIE),
  );
  expect(ok).toBe(false);
  const errors = findings.filter((f) => f.severity === "error");
  expect(errors.map((f) => f.code)).toEqual(["proof/unit"]);
  expect(errors[0]?.message).toContain(words);
});
