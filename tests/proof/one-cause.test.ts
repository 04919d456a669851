/** One fault that shows in block after block is told once, and what only follows from it is held back. */
import { describe, expect, test } from "vitest";
import type { Layout } from "../../src/plan/feature.js";
import {
  controlProgram,
  PUNCH,
  proveText,
  punchProgram,
  ROUND,
  roundProgram,
  SQUARE,
  squareProgram,
} from "../helpers/programs.js";

const told = (lines: readonly string[], layout: Layout = SQUARE) =>
  proveText(lines, layout).findings.filter((f) => f.severity !== "note");

describe("G00 for every G01", () => {
  test.each([
    ["square", squareProgram(), SQUARE],
    ["punch", punchProgram(), PUNCH],
  ])(
    "of the %s is one error with its first line, how many more, and where",
    (_, lines, layout) => {
      const rapid = lines.map((l) => l.replace("G01", "G00"));
      const found = told(rapid, layout);
      expect(found.map((f) => f.code)).toEqual(["proof/rapid-threaded"]);
      expect(found[0]?.message).toMatch(
        /^program line 6: G00 .*the same in \d+ more places \(line 7;/,
      );
    },
  );
});

/** I and J of every arc as its centre's own coordinates. */
function withCentres(lines: readonly string[]): string[] {
  const at = { X: 0, Y: 0 };
  return lines.map((l) => {
    const value = (letter: string): number | undefined => {
      const found = new RegExp(`${letter}(-?[\\d.]+)`).exec(l)?.[1];
      return found === undefined ? undefined : Number(found);
    };
    const [i, j] = [value("I"), value("J")];
    const typed =
      i === undefined || j === undefined
        ? l
        : l.replace(
            /I.*/,
            `I${(at.X + i).toFixed(4)} J${(at.Y + j).toFixed(4)}`,
          );
    if (!l.startsWith("M")) {
      at.X = value("X") ?? at.X;
      at.Y = value("Y") ?? at.Y;
    }
    return typed;
  });
}

describe("arcs that are all typed in another way", () => {
  test("with the centre itself for I and J are one error, and the rest is judged as it is meant", () => {
    const found = told(withCentres(punchProgram()), PUNCH);
    expect(found.map((f) => f.code)).toEqual(["program/arc-centre"]);
    expect(found[0]?.message).toContain("count from the arc's start");
    expect(found[0]?.message).toMatch(/the same in \d+ more places/);
  });

  test.each([
    ["punch", punchProgram(), PUNCH],
    ["round opening", roundProgram(), ROUND],
  ])(
    "with G02 and G03 exchanged, on a %s, are one error that says so",
    (_, lines, layout) => {
      const exchanged = lines.map((l) =>
        l.replace(/^G0([23])/, (__, word) => `G0${5 - Number(word)}`),
      );
      const found = told(exchanged, layout);
      expect(found.map((f) => f.code)).toEqual(["proof/arcs-exchanged"]);
      expect(found[0]?.severity).toBe("error");
    },
  );

  test("one arc the wrong way round is told by its line, not as all of them", () => {
    const lines = punchProgram();
    const k = lines.findIndex((l) => l.startsWith("G03"));
    const found = told(
      lines.with(k, (lines[k] as string).replace("G03", "G02")),
      PUNCH,
    );
    expect(found.map((f) => f.code)).not.toContain("proof/arcs-exchanged");
    expect(found.map((f) => f.message).join("\n")).toContain(
      `program line ${k + 1}: `,
    );
  });
});

describe("G40 that is missing", () => {
  const good = controlProgram();
  const leadOuts = good.flatMap((l, k) => (/^G40 G01/.test(l) ? [k] : []));

  test("the program is good with them", () => {
    expect(told(good)).toEqual([]);
    expect(leadOuts).toHaveLength(6);
  });

  test.each(leadOuts.map((k) => [k + 1, k]))(
    "in line %d alone is one error that names that line",
    (line, k) => {
      const found = told(good.with(k, (good[k] as string).replace("G40 ", "")));
      expect(found.map((f) => f.code)).toEqual(["program/compensation-kept"]);
      expect(found[0]?.message).toMatch(
        new RegExp(`^line ${line}, column 1: G40 is missing`),
      );
    },
  );

  test("in the whole program is one error, by the first such line", () => {
    const found = told(good.map((l) => l.replace("G40 G01", "G01")));
    expect(found.map((f) => f.code)).toEqual(["program/compensation-kept"]);
    expect(found[0]?.message).toContain("the same in 5 more places");
  });

  test("hides no other fault", () => {
    const k = good.findIndex((l) => l.includes("X5.0000 Y5.0000"));
    const found = told(
      good
        .with(k, (good[k] as string).replace("X5.0000", "X5.1000"))
        .map((l) => l.replace("G40 G01", "G01")),
    );
    expect(found.map((f) => f.code)).toContain("program/compensation-kept");
    expect(found.map((f) => f.code)).toContain("proof/gouge");
  });
});

test("an opening cut too deep in six threads is told by its worst place and the lines", () => {
  // The square and the square again, all of it 0.2 mm too far out.
  const [lines, end] = [squareProgram().slice(0, -2), squareProgram().slice(2)];
  const deep = [...lines, ...end].map((l) =>
    l.replace(
      /([XY]-?)(4\.\d+)/g,
      (_, sign, d) => sign + (Number(d) + 0.2).toFixed(4),
    ),
  );
  const found = told(deep).filter((f) => f.code === "proof/gouge");
  expect(found).toHaveLength(1);
  expect(found[0]?.message).toMatch(
    /the worst of \d+ moves in 6 places \(lines \d+, /,
  );
});

test("a skim that calls the rough's D is a pass that is missing, and no block that stands twice", () => {
  const codes = told(
    controlProgram().map((l) =>
      /^G42.*D2/.test(l) ? l.replace("D2", "D1") : l,
    ),
  ).map((f) => f.code);
  expect(codes).toContain("proof/pass-missing");
  expect(codes).not.toContain("proof/cut-again");
});

test("an outline typed as it is drawn, without G41 or an offset, is asked after its offset", () => {
  const bare = controlProgram().map((l) =>
    l.replace(/^G4[012] /, "").replace(/ D\d/, ""),
  );
  const [first] = told(bare);
  expect(first?.code).toBe("proof/follows-nothing");
  expect(first?.message).toContain("is G41 or G42 missing");
});
