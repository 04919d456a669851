/** One slip that goes through a whole program is told once, and nothing that only follows from it. */
import { describe, expect, test } from "vitest";
import type { Layout } from "../../src/plan/feature.js";
import type { Job } from "../../src/plan/job/job.js";
import {
  controlProgram,
  JOB,
  jobOf,
  PUNCH,
  proveText,
  proveTyped,
  punchProgram,
  ROUND,
  roundProgram,
  SQUARE,
  squareProgram,
} from "../helpers/programs.js";

const told = (lines: readonly string[], layout: Layout, job: Job = JOB) =>
  proveTyped(lines, layout, job).findings.filter((f) => f.severity !== "note");
const codes = (lines: readonly string[], layout: Layout): string[] =>
  told(lines, layout).map((f) => f.code);

const FIGURE = /([XYIJ])(-?[\d.]+)/g;
const withFigures = (
  lines: readonly string[],
  as: (value: number) => string,
): string[] =>
  lines.map((l) =>
    l.replace(FIGURE, (_, letter, figure) => letter + as(Number(figure))),
  );
/** One inch is 25.4 mm exactly (international yard and pound agreement of 1959). */
const inches = (value: number): string => (value / 25.4).toFixed(6);

const PROGRAMS: [string, string[], Layout][] = [
  ["square opening", squareProgram(), SQUARE],
  ["round opening", roundProgram(), ROUND],
  ["punch", punchProgram(), PUNCH],
  ["opening with G41", controlProgram(), SQUARE],
];

describe.each(PROGRAMS)("a %s", (_, good, layout) => {
  test("as it should be has no alarm", () => {
    expect(told(good, layout)).toEqual([]);
  });

  test.each([
    ["mm under G70", good.map((l) => l.replace("G71", "G70")), "taken as mm"],
    ["inches under G71", withFigures(good, inches), "taken as inches"],
    [
      "inches without G70",
      withFigures(good, inches).map((l) => l.replace("G71 ", "")),
      "taken as inches",
    ],
  ])("typed in %s: the unit is the one error", (_, lines, words) => {
    const found = told(lines, layout);
    expect(found.map((f) => f.code)).toEqual(["proof/unit"]);
    expect(found[0]?.severity).toBe("error");
    expect(found[0]?.message).toContain(words);
    expect(proveTyped(lines, layout).ok).toBe(false);
  });

  test("typed in steps of 0.0001 mm, without points: the steps are the one error", () => {
    const found = told(
      withFigures(good, (value) => String(Math.round(value * 10_000))),
      layout,
    );
    expect(found.map((f) => f.code)).toEqual(["proof/unit"]);
    expect(found[0]?.message).toContain("steps of 0.0001 mm");
  });

  test("with a space in its numbers: the spaces are the one line", () => {
    const found = told(
      good.map((l) => l.replace(/(\d)(\.\d)/g, "$1 $2")),
      layout,
    );
    expect(found.map((f) => f.code)).toEqual(["program/unreadable"]);
    expect(found[0]?.message).toContain("a space stands in the middle");
    expect(found[0]?.message).toMatch(/the same in \d+ more places/);
  });
});

// Square and punch lie on whole microns: nothing is rounded.
test.each(PROGRAMS.filter(([name]) => name !== "round opening"))(
  "a %s typed in microns without points: the steps are the one error",
  (_, good, layout) => {
    const found = told(
      withFigures(good, (value) => String(Math.round(value * 1000))),
      layout,
    );
    expect(found.map((f) => f.code)).toEqual(["proof/unit"]);
    expect(found[0]?.message).toContain("steps of 0.001 mm");
  },
);

test("a round opening in microns: what rounding does is told besides", () => {
  const found = told(
    withFigures(roundProgram(), (value) => String(Math.round(value * 1000))),
    ROUND,
    jobOf({ program: { resolution: 0.001 } }),
  ).map((f) => f.code);
  expect(found[0]).toBe("proof/unit");
  expect(found.slice(1)).toEqual([
    "program/arc-radii",
    "proof/gouge",
    "proof/coarse-grid",
  ]);
});

const exchanged = (lines: readonly string[]): string[] =>
  lines.map((l) => l.replace(/G4([12])/, (_, side) => `G4${3 - Number(side)}`));

test("G41 and G42 exchanged throughout are one error that says so", () => {
  const found = told(exchanged(controlProgram()), SQUARE);
  expect(found.map((f) => f.code)).toEqual(["proof/sides-exchanged"]);
  expect(found[0]?.severity).toBe("error");
});

test("one G42 for G41 is told by its line, not as all of them", () => {
  const good = controlProgram();
  const k = good.findIndex((l) => l.startsWith("G41"));
  const found = told(
    good.with(k, (good[k] as string).replace("G41", "G42")),
    SQUARE,
  );
  expect(found.map((f) => f.code)).not.toContain("proof/sides-exchanged");
  expect(found.map((f) => f.message).join("\n")).toContain("program line ");
});

describe("a slip hides no other fault", () => {
  const spoilt = controlProgram().map((l) =>
    l.replace("M00 (opening-1: secure the slug)", ""),
  );

  test.each([
    ["unit", spoilt.map((l) => l.replace("G71", "G70")), "proof/unit"],
    ["side", exchanged(spoilt), "proof/sides-exchanged"],
  ])("%s", (_, lines, code) => {
    const found = codes(lines, SQUARE);
    expect(found[0]).toBe(code);
    expect(found).toContain("proof/loose-unattended");
  });
});

test("where no other reading fits, the program is judged as it stands", () => {
  const found = codes(
    squareProgram().map((l) => l.replace("G71", "G70")),
    PUNCH,
  );
  expect(found).not.toContain("proof/unit");
  expect(found.length).toBeGreaterThan(0);
});

/** The round opening with every arc as so many chords, as a drawing of splines gives it. */
function inChords(lines: readonly string[], count: number): string[] {
  const at = { x: 0, y: 0 };
  return lines.flatMap((l) => {
    const value = (letter: string): number =>
      Number(new RegExp(`${letter}(-?[\\d.]+)`).exec(l)?.[1]);
    const [x, y] = [value("X"), value("Y")];
    if (Number.isNaN(x)) return [l];
    const from = { ...at };
    [at.x, at.y] = [x, y];
    if (!/^G0[23]/.test(l)) return [l];
    // All arcs are about the origin, and none is over half a turn.
    const [a, b] = [Math.atan2(from.y, from.x), Math.atan2(y, x)];
    const turn = Math.atan2(Math.sin(b - a), Math.cos(b - a));
    const r = Math.hypot(x, y);
    return Array.from({ length: count }, (_, k) => {
      const angle = a + (turn * (k + 1)) / count;
      return `G01 X${(r * Math.cos(angle)).toFixed(4)} Y${(r * Math.sin(angle)).toFixed(4)}`;
    });
  });
}

test("inches under G71 that lie in a knot are told as a wrong unit, not as the wrong file", () => {
  const good = inChords(roundProgram(), 500);
  expect(codes(good, ROUND)).not.toContain("proof/unit");
  expect(codes(withFigures(good, inches), ROUND)[0]).toBe("proof/unit");
  expect(() => proveText(withFigures(good, inches), ROUND)).toThrow(
    "moves lie within a wire",
  );
});
