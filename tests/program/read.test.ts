import { describe, expect, test } from "vitest";
import { readBlocks } from "../../src/program/read.js";

const wordsOf = (text: string) =>
  readBlocks(text).blocks.map((b) => b.words.map((w) => w.letter + w.value));

describe("reading blocks", () => {
  test("lower case, no N, spaces anywhere or none say the same", () => {
    const said = [["G1", "X10.5", "Y-3"]];
    for (const line of [
      "N0010 G01 X10.5 Y-3.",
      "g1x10.5y-3",
      "  G 01   X+10.50 Y -3.000",
      "\tg01\tx10.5\ty-3",
      ":10 G01 X10.5 Y-3",
    ])
      expect(wordsOf(line)).toEqual(said);
  });

  test("numbers with and without a leading or trailing zero", () => {
    expect(wordsOf("X.5 Y-.25 I5. J+7")).toEqual([
      ["X0.5", "Y-0.25", "I5", "J7"],
    ]);
  });

  test("lines and columns count from 1, across all three line endings", () => {
    const { blocks } = readBlocks("%\r\nG90 X1\n\n  (note) Y2\rM30");
    expect(blocks.map((b) => b.line)).toEqual([2, 4, 5]);
    expect(blocks[0]?.words[1]?.column).toBe(5);
    expect(blocks[1]?.words[0]?.column).toBe(10);
    expect(blocks[1]?.comments).toEqual([{ text: "note", column: 3 }]);
  });

  test("a / at the front marks a block that may be left out", () => {
    const { blocks } = readBlocks("/N10 M00\n/ M01\nM30");
    expect(blocks.map((b) => b.skip)).toEqual([true, true, false]);
  });

  test("a comment ends at its first closing bracket; one that never closes is told of", () => {
    const { blocks, findings } = readBlocks("G01 (a (b) X5\nX6 (open");
    expect(blocks[0]?.comments[0]?.text).toBe("a (b");
    expect(blocks[0]?.words.map((w) => w.letter)).toEqual(["G", "X"]);
    const fault = findings.find((f) => f.code === "program/open-comment");
    expect(fault?.message).toContain("line 2, column 4");
  });

  test.each([
    ["X1.2.3", "column 5"],
    ["X--5", "column 1"],
    ["X1 ; old note", "column 4"],
    ["XY5", "column 1"],
    ["G01 )", "column 5"],
    ["G01 X1,5", "column 7"],
  ])("%s is not passed over in silence", (line, column) => {
    const { findings } = readBlocks(line);
    const fault = findings.find((f) => f.code === "program/unreadable");
    expect(fault?.severity).toBe("error");
    expect(fault?.message).toContain(column);
  });

  test("the closing % ends the reading, and what follows it is told of once", () => {
    const { blocks, findings } = readBlocks("%\nM30\n%\nG01 X5\nG01 X6");
    expect(blocks).toHaveLength(1);
    expect(findings.filter((f) => f.code === "program/after-end")).toHaveLength(
      1,
    );
  });

  test("a program typed without % is read, with a note", () => {
    const { blocks, findings } = readBlocks("G01 X5\nM30");
    expect(blocks).toHaveLength(2);
    expect(findings.map((f) => f.code)).toEqual(["program/no-percent"]);
  });
});
