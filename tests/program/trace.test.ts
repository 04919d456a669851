import { describe, expect, test } from "vitest";
import type { Action, ProgramText } from "../../src/program/moves.js";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL, type WordTable } from "../../src/program/words.js";

const read = (body: string, words: WordTable = NEUTRAL): ProgramText =>
  readProgram(`%\nG71 G90 G17 G40\n${body}\nM30\n%\n`, words);

type Feed = Extract<Action, { kind: "feed" }>;
const feeds = (p: ProgramText): Feed[] =>
  p.actions.filter((a): a is Feed => a.kind === "feed");
const codes = (p: ProgramText): string[] => p.findings.map((f) => f.code);
const errors = (p: ProgramText): string[] =>
  p.findings.filter((f) => f.severity === "error").map((f) => f.code);

describe("moves", () => {
  test("units, absolute and increment coordinates and modal words", () => {
    const p = readProgram(
      "%\nG70 G90\nG00 X1. Y1.\nT1 M06\nG91 G01 X1.\nY-0.5\nG90 X0. M30\n%",
      NEUTRAL,
    );
    expect(errors(p)).toEqual([]);
    expect(p.units).toBe("in");
    // 1 in = 25.4 mm exactly.
    expect(feeds(p).map((f) => f.segment.end)).toEqual([
      { x: 50.8, y: 25.4 },
      { x: 50.8, y: 12.7 },
      { x: 0, y: 12.7 },
    ]);
  });

  test("an arc by its centre: I and J count from the start, also under G90", () => {
    const p = read("G00 X10. Y0.\nT1 M06\nG03 X0. Y10. I-10. J0.");
    const arc = feeds(p)[0]?.segment;
    if (arc?.kind !== "arc") throw new Error("no arc");
    expect(arc.center).toEqual({ x: 0, y: 0 });
    expect(arc.radius).toBe(10);
    expect(arc.sweep).toBeCloseTo(Math.PI / 2, 12);
  });

  test("G02 runs the other way round", () => {
    const p = read("G00 X10. Y0.\nT1 M06\nG02 X0. Y10. I-10. J0.");
    const arc = feeds(p)[0]?.segment;
    if (arc?.kind !== "arc") throw new Error("no arc");
    expect(arc.sweep).toBeCloseTo((-3 * Math.PI) / 2, 12);
  });

  test("an arc that ends where it starts is a full circle, read as two halves of one line", () => {
    const p = read("G00 X10. Y0.\nT1 M06\nG03 I-10.");
    expect(feeds(p).map((f) => [f.line, f.segment.end])).toEqual([
      [5, { x: -10, y: 0 }],
      [5, { x: 10, y: 0 }],
    ]);
  });

  test("an arc by R under 180 degrees", () => {
    const p = read("G00 X10. Y0.\nT1 M06\nG03 X0. Y10. R10.");
    const arc = feeds(p)[0]?.segment;
    if (arc?.kind !== "arc") throw new Error("no arc");
    expect(arc.center.x).toBeCloseTo(0, 12);
    expect(arc.center.y).toBeCloseTo(0, 12);
    expect(errors(p)).toEqual([]);
  });

  test("R over 180 degrees, R too short and R for a full circle are refused", () => {
    for (const words of ["X0. Y10. R-10.", "X0. Y10. R5.", "R10."])
      expect(errors(read(`G00 X10. Y0.\nT1 M06\nG03 ${words}`)), words).toEqual(
        ["program/arc-centre"],
      );
  });

  test("radii that differ by 0.001 mm are taken, by 0.003 mm refused", () => {
    // NISTIR 6556: at most 0.002 mm; rule from memory. (0,0), I5 J0, end (10.001,0): radii 5 and 5.001.
    const arc = (end: string) =>
      read(`G00 X0. Y0.\nT1 M06\nG02 X${end} Y0. I5. J0.`);
    expect(errors(arc("10.001"))).toEqual([]);
    expect(codes(arc("10.001"))).toContain("program/arc-radii");
    expect(codes(arc("10.0004"))).toEqual([]);
    expect(errors(arc("10.003"))).toEqual(["program/arc-radii"]);
    expect(arc("10.003").findings[0]?.message).toContain("line 5");
  });

  test("G41 and G42 with their register hold until G40", () => {
    const p = read(
      "G00 X0. Y0.\nT1 M06\nG41 D2 G01 X1.\nX5.\nG40 X5. Y1.\nG42 D1 X6.",
    );
    expect(feeds(p).map((f) => f.compensation)).toEqual([
      { side: "left", register: 2 },
      { side: "left", register: 2 },
      null,
      { side: "right", register: 1 },
    ]);
    expect(errors(p)).toEqual([]);
  });

  test("G41 without D is refused", () => {
    expect(errors(read("G00 X0. Y0.\nT1 M06\nG41 G01 X1."))).toEqual([
      "program/no-register",
    ]);
  });
});

describe("events", () => {
  test("thread, cut, flushing, stops and end in their order, with lines", () => {
    const p = read(
      "G00 X1. Y2.\nm8 t1 m6\n(opening-1: secure)\nM00 (now)\nM01\nM09\nT0 M06",
    );
    expect(p.actions.slice(1)).toEqual([
      { kind: "flushing", line: 4, on: true },
      { kind: "thread", line: 4, at: { x: 1, y: 2 } },
      {
        kind: "stop",
        line: 6,
        optional: false,
        comment: "opening-1: secure now",
      },
      { kind: "stop", line: 7, optional: true, comment: "" },
      { kind: "flushing", line: 8, on: false },
      { kind: "cut-wire", line: 9, at: { x: 1, y: 2 } },
      { kind: "end", line: 10 },
    ]);
    expect(p.words).toEqual({
      G00: 1,
      G17: 1,
      G40: 1,
      G71: 1,
      G90: 1,
      M00: 1,
      M01: 1,
      M06: 2,
      M08: 1,
      M09: 1,
      M30: 1,
    });
    expect(p.blocks).toBe(8);
  });

  test("a stop in the block of a move comes after the move (ISO 6983-1)", () => {
    const p = read("G00 X1. Y2.\nT1 M06\nG01 X5. M00 (part-1)");
    expect(p.actions.map((a) => a.kind).slice(2, 4)).toEqual(["feed", "stop"]);
  });

  test("another control's words, by table alone", () => {
    const words = {
      ...NEUTRAL,
      thread: "M60",
      cutWire: "M50",
      inch: "G20",
      mm: "G21",
    };
    const p = readProgram(
      "%\nG21 G90\nG00 X0. Y0.\nM60\nG01 X1.\nM50\nM30\n%",
      words,
    );
    expect(p.actions.map((a) => a.kind)).toEqual([
      "rapid",
      "thread",
      "feed",
      "cut-wire",
      "end",
    ]);
    expect(errors(p)).toEqual([]);
    expect(errors(readProgram("%\nG71 G90\nM30\n%", words))).toEqual([
      "program/unknown-word",
    ]);
  });
});

describe("what a control would refuse, or could take in two ways", () => {
  const START = "G00 X0. Y0.\nT1 M06\n";
  test.each([
    ["G12 X5.", "program/unknown-word", "column 1"],
    ["G01 X5. M77", "program/unknown-word", "column 9"],
    ["T1", "program/half-a-word", "T1 M06"],
    ["M06", "program/half-a-word", "M06"],
    ["G01 X1. X2.", "program/word-twice", "column 9"],
    ["G01 G00 X2.", "program/two-of-a-kind", "line 5"],
    ["G40 G41 D1 G01 X2.", "program/two-of-a-kind", "line 5"],
    ["G81 X5. Y5.", "program/idle-word", "a fixed cycle"],
    ["G54", "program/datum", "one datum, named before"],
    ["G92 X0. Y0.", "program/datum", "start hole by G00"],
    ["G01 X5. U1.", "program/other-axis", "U1"],
    ["G02 X5.", "program/arc-centre", "no centre"],
    ["G02 X5. I0. J0.", "program/arc-centre", "own start"],
    ["G01 X5. I2.", "program/centre-on-a-line", "line 5"],
    ["/G01 X5.", "program/skipped-block", "two programs"],
    ["G01 X5. T0 M06", "program/move-and-wire", "own block"],
    ["G41 D1 G00 X5.", "program/rapid-compensated", "line 5"],
    ["M30\nG01 X5.", "program/after-end", "line 6"],
  ])("%s: %s", (line, code, part) => {
    const p = read(START + line);
    const fault = p.findings.find((f) => f.code === code);
    expect(fault?.severity).toBe("error");
    expect(fault?.message).toContain(part);
  });

  test.each([
    ["G04 F2.", "program/idle-word"],
    ["G94", "program/idle-word"],
    ["M03", "program/idle-word"],
    ["G01 X5. Z1.", "program/other-axis"],
    ["G01 X5", "program/no-decimal-point"],
  ])("%s is remarked on, not refused", (line, code) => {
    const p = read(START + line);
    expect(errors(p)).toEqual([]);
    expect(codes(p)).toContain(code);
  });

  test.each([
    ["G54, once or again", "G54\nG00 X1. Y2.\nT1 M06\nG54", []],
    ["a second datum", "G54\nG00 X1. Y2.\nT1 M06\nG55", ["error"]],
    ["another one before anything moves", "G54\nG55\nG00 X1. Y2.", ["error"]],
    ["the place of the wire by G92", "G92 X1. Y2.\nT1 M06", []],
    ["half a place by G92", "G92 X1.\nG00 X1. Y2.\nT1 M06", ["error"]],
    ["G92 far away", "G92 X1. Y20000000.\nT1 M06", ["error"]],
  ])("%s", (_, lines, severities) => {
    const p = readProgram(`G71 G90\n${lines}\nM30`, NEUTRAL);
    const told = p.findings.filter(
      (f) => f.severity !== "note" && f.code !== "program/nowhere",
    );
    expect(told.map((f) => f.severity)).toEqual(severities);
    const thread = p.actions.find((a) => a.kind === "thread");
    if (severities.length === 0) expect(thread?.at).toEqual({ x: 1, y: 2 });
  });

  test("a stop in a block that may be left out counts as optional", () => {
    const p = read(`${START}/M00 (part-1)`);
    const stop = p.actions.find((a) => a.kind === "stop");
    expect(stop?.optional).toBe(true);
    expect(errors(p)).toEqual([]);
  });

  test("a program cut off before its end is refused", () => {
    expect(
      errors(readProgram("%\nG71 G90\nG00 X0. Y0.\nT1 M06\n", NEUTRAL)),
    ).toEqual(["program/no-end"]);
  });

  test("a feed, a thread and a half-given move before any place is known", () => {
    for (const line of ["G01 X5. Y5.", "T1 M06", "G00 X5.", "G91 G00 X5. Y5."])
      expect(errors(read(line)), line).toContain("program/nowhere");
  });

  test("units that nobody says are read as mm, with a warning", () => {
    const p = readProgram("%\nG00 X1. Y1.\nM30\n%", NEUTRAL);
    expect(codes(p)).toContain("program/no-units");
    expect(p.units).toBe("mm");
  });

  test("a file that is no program gives a few findings, not thousands", () => {
    const p = readProgram("?? !! ##\n".repeat(5000), NEUTRAL);
    expect(p.findings.length).toBeLessThan(40);
    expect(errors(p)).toContain("program/unreadable");
  });
});
