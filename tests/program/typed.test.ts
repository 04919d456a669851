/** Programs as people type them: each is read as meant, or its first unknown word is named with line and column. */
import { describe, expect, test } from "vitest";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";

/** A 4 × 3 box from (0, 0), and an arc of a quarter turn with radius 1 back to the start's column. */
const box = [
  "%",
  "G71 G90 G40",
  "G00 X0. Y0.",
  "T1 M06",
  "M08",
  "G01 X4. Y0.",
  "G01 X4. Y3.",
  "G02 X3. Y2. I0. J-1.",
  "M09",
  "T0 M06",
  "M30",
  "%",
];
const ends = (text: string): [number, number][] =>
  readProgram(text, NEUTRAL).actions.flatMap((a) =>
    a.kind === "feed"
      ? [[a.segment.end.x, a.segment.end.y] as [number, number]]
      : [],
  );
const faults = (text: string): string[] =>
  readProgram(text, NEUTRAL)
    .findings.filter((f) => f.severity !== "note")
    .map((f) => f.message);
const meant = ends(box.join("\n"));

describe("read as meant", () => {
  test.each([
    ["lower case", box.join("\n").toLowerCase()],
    ["no blanks", box.join("\n").replaceAll(" ", "")],
    ["blanks between letter and number", box.join("\n").replace(/X/g, "X ")],
    ["blank lines", box.join("\n\n")],
    ["Windows line ends", box.join("\r\n")],
    ["no % at all", box.slice(1, -1).join("\n")],
    [
      "block numbers out of order",
      box.map((l, k) => (k % 11 ? `N${99 - k} ${l}` : l)).join("\n"),
    ],
    [
      "plus signs and short zeros",
      box.join("\n").replaceAll("X4.", "X+4.0").replaceAll("G01", "G1"),
    ],
    ["G01 said once", box.join("\n").replace("G01 X4. Y3.", "X4. Y3.")],
    [
      "only the coordinate that changes",
      box.join("\n").replace("G01 X4. Y3.", "G01 Y3."),
    ],
    ["the arc by its radius", box.join("\n").replace("I0. J-1.", "R1.")],
    [
      "the rest of the way in increments",
      box
        .join("\n")
        .replace("G01 X4. Y3.", "G91 G01 X0. Y3.")
        .replace("X3. Y2. I", "X-1. Y-1. I"),
    ],
    [
      "comments in between",
      box
        .join("\n")
        .replace("G01 X4. Y3.", "(up) G01 X4. (right side) Y3. (done)"),
    ],
    ["M02 for M30", box.join("\n").replace("M30", "M02")],
    ...["G04 X2.", "G04 P500", "G04 F1.5", "G4 U2."].map(
      (wait): [string, string] => [
        `waiting for the water: ${wait} is a time and no place`,
        box.join("\n").replace("M08", `M08\n${wait}`),
      ],
    ),
    [
      "the words that many programs begin with",
      box.join("\n").replace("G90 G40", "G90 G40 G80 G94 F3."),
    ],
    ["a file closed by the mark of old systems", `${box.join("\r\n")}\x1a`],
  ])("%s", (_, text) => {
    const read = ends(text);
    // (4,3) to (3,2) about (4,2): a clockwise arc would go the long way round; ends are what is asked here.
    expect(read).toHaveLength(meant.length);
    read.forEach(([x, y], k) => {
      expect(x).toBeCloseTo(meant[k]?.[0] as number, 9);
      expect(y).toBeCloseTo(meant[k]?.[1] as number, 9);
    });
    expect(faults(text)).toEqual([]);
  });
});

describe("the first word that nobody knows is named with line and column", () => {
  test.each([
    ["a semicolon comment", "G01 X4. Y3. ; up", "line 7, column 13"],
    ["a decimal comma", "G01 X4. Y3,5", "line 7, column 11"],
    ["the letter O for a nought", "G01 X4. YO.", "line 7, column 10"],
    ["a word of another trade", "G01 X4. Y3. E12", "line 7, column 13"],
    ["a G word of no standard", "G01 G77 X4. Y3.", "line 7, column 5"],
    ["half a tool change", "M06", "line 7, column 1"],
    ["plain text", "go to 4", "line 7, column 1"],
    ["a unit as other controls say it", "G21", "G71: write that"],
    ["a datum", "G92 X0. Y0.", "line 7, column 1: G92 is a new datum"],
    ["a wait with a move", "G04 G01 X4. Y3.", "line 7, column 1"],
    ["an arc by both its ways", "G02 X4. Y3. J1.5 R1.5", "line 7, column 18"],
    ["a switch to leave a block out", "/2 G01 X4. Y3.", "line 7, column 4"],
  ])("%s", (_, line, place) => {
    const [first] = faults(box.with(6, line).join("\n"));
    expect(first).toContain(place);
  });
});
