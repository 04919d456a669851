/** The block cut pass by pass: what comes loose, when, with whom there, and whether it is out of the way. */
import { describe, expect, test } from "vitest";
import { vec } from "../../src/geometry/vec.js";
import {
  CUT_WIRE,
  feature,
  HEAD,
  jobOf,
  layoutOf,
  PUNCH,
  proveText,
  punchProgram,
  ROUND,
  roundProgram,
  SQUARE,
  squareContour,
  squareProgram,
  TAIL,
  threadAt,
} from "../helpers/programs.js";
import {
  openCut,
  remove,
  S,
  secure,
  skimCut,
  tabCut,
  thread,
  together,
} from "../helpers/square-parts.js";

const errors = (lines: readonly string[], layout = SQUARE): string[] =>
  proveText(lines, layout)
    .findings.filter((f) => f.severity === "error")
    .map((f) => f.code);

test("every piece that comes loose is found, with its mass and the block that freed it", () => {
  const lines = punchProgram();
  const proof = proveText(lines, PUNCH);
  expect(proof.loosePieces).toHaveLength(1);
  const [piece] = proof.loosePieces;
  // 10 × 10 × 25 mm of 7.85 g/cm³.
  expect(piece?.mass).toBeCloseTo(0.019625, 9);
  // The long move below the punch, the third from the end of the tab's thread.
  expect(lines[(piece?.line ?? 0) - 1]).toBe("G01 X-1.2000 Y-5.1350");
});

test("two pieces of one cut are two", () => {
  // The slug cut through the middle before it comes loose: a left and a right half.
  const lines = together(
    [...threadAt(0, 0), "G01 X0. Y4.79", "G01 X0. Y-4.79", ...CUT_WIRE],
    openCut,
    secure,
    tabCut,
    remove,
    skimCut,
  );
  const pieces = proveText(lines).loosePieces;
  expect(pieces).toHaveLength(2);
  // Each half of 9.27 - 0.31 by 9.27, 25 mm high, less what the lead's slot takes of one.
  const half = ((9.27 - 0.31) / 2) * 9.27 * 25 * 7.85e-6;
  expect(Math.max(...pieces.map((p) => p.mass))).toBeCloseTo(half, 4);
});

describe("a stop that names the piece", () => {
  test("comes first: all is well", () => {
    const proof = proveText(squareProgram());
    expect(proof.loosePieces.map((p) => p.attended)).toEqual([true]);
    expect(proof.ok).toBe(true);
  });

  test("comes not at all", () => {
    expect(errors(together(openCut, tabCut, remove, skimCut))).toEqual([
      "proof/loose-unattended",
    ]);
  });

  test("names another piece", () => {
    const other = "M00 (opening-2: secure the slug)";
    expect(errors(together(openCut, other, tabCut, remove, skimCut))).toEqual([
      "proof/loose-unattended",
    ]);
  });

  test("serves one loosening: a stop to take a slug out is none for the next piece of the outline", () => {
    // The left half of the slug comes loose in its own thread, then, after one stop only, the right half.
    const halves = (between: string[]): string[] =>
      together(
        [...threadAt(0, 0), "G01 X0. Y4.79", "G01 X0. Y-4.79", ...CUT_WIRE],
        secure,
        [
          ...threadAt(0, 0),
          "G01 X0. Y-4.79",
          "G01 X-4.79 Y-4.79",
          "G01 X-4.79 Y4.79",
          "G01 X0. Y4.79",
          ...CUT_WIRE,
        ],
        between,
        [
          ...threadAt(0, 0),
          "G01 X0. Y-4.79",
          "G01 X4.79 Y-4.79",
          "G01 X4.79 Y4.79",
          "G01 X0. Y4.79",
          ...CUT_WIRE,
        ],
        remove,
      );
    const attended = (between: string[]): boolean[] =>
      proveText(halves(between)).loosePieces.map((p) => p.attended);
    expect(attended([remove])).toEqual([true, false]);
    expect(attended([remove, secure])).toEqual([true, true]);
  });

  test("stands a whole cut before the loosening", () => {
    expect(errors(together(secure, openCut, tabCut, remove, skimCut))).toEqual([
      "proof/stop-early",
    ]);
  });
});

describe("a wire that keeps cutting a piece already loose", () => {
  test("skims all round in the thread that freed the slug", () => {
    const whole = (o: number): string[] => {
      const s = (5 - o).toFixed(4);
      return [
        `G01 X0.7 Y-${s}`,
        `G01 X${s} Y-${s}`,
        `G01 X${s} Y${s}`,
        `G01 X-${s} Y${s}`,
        `G01 X-${s} Y-${s}`,
        `G01 X0.7 Y-${s}`,
      ];
    };
    const lines = together(
      secure,
      [
        ...thread,
        ...whole(0.21),
        ...whole(0.145),
        ...whole(0.135),
        ...CUT_WIRE,
      ],
      remove,
    );
    const proof = proveText(lines);
    const f = proof.findings.find((x) => x.code === "proof/cuts-on");
    expect(f?.severity).toBe("error");
    // Freed with the last side of the rough; the second pass begins two lines later.
    const freed = proof.loosePieces[0]?.line ?? 0;
    expect(f?.message).toContain(`came loose in line ${freed}`);
    expect(proof.loosePieces[0]?.attended).toBe(true);
  });

  test("skims the tab in the thread that cut it", () => {
    const lines = together(
      openCut,
      secure,
      [...thread, ...S.tab, ...S.skims.flat(), ...CUT_WIRE],
      remove,
    );
    expect(errors(lines)).toEqual(["proof/cuts-on"]);
  });

  test("goes on in the very block that cut it loose, all the way round", () => {
    // The tab lies in the last 1.4 mm before the lowest point; clockwise from there it is cut first, then 60.7 mm
    // of 2π · 9.79 - 0.8 = 60.7 are run over again.
    const lines = roundProgram();
    const k = lines.findIndex((l) => l.includes("M00"));
    const tab = lines.findIndex((l, i) => i > k && l.startsWith("G03"));
    const [found, ...more] = proveText(
      lines.with(tab, "G02 X0.8000 Y-9.7572 I1.3663 J9.6942"),
      ROUND,
    ).findings.filter((f) => f.code === "proof/cuts-on");
    expect(more).toEqual([]);
    expect(found?.message).toContain(`program line ${tab + 1}:`);
  });

  test("runs its joint over and leads out: no matter", () => {
    expect(errors(squareProgram())).toEqual([]);
    expect(errors(punchProgram(), PUNCH)).toEqual([]);
  });
});

describe("a loose slug still in the opening when the skim starts", () => {
  test("is told, with the line that comes back and the line that freed it", () => {
    const lines = together(openCut, secure, tabCut, skimCut);
    const proof = proveText(lines);
    const f = proof.findings.find((x) => x.code === "proof/piece-in-the-way");
    expect(f?.severity).toBe("error");
    expect(f?.message).toContain(`freed at line ${proof.loosePieces[0]?.line}`);
  });

  test("is gone when it was taken out at a stop", () => {
    expect(errors(together(openCut, secure, tabCut, remove, skimCut))).toEqual(
      [],
    );
  });

  test("an optional stop takes nothing out", () => {
    const optional = remove.replace("M00", "M01");
    expect(
      errors(together(openCut, secure, tabCut, optional, skimCut)),
    ).toEqual(["proof/piece-in-the-way"]);
  });
});

test("an outline in a piece is cut before the piece comes loose, not after", () => {
  const layout = layoutOf([
    feature("part-1", "part", squareContour(20)),
    feature("opening-2", "opening", squareContour(10), 1, "part-1"),
  ]);
  // One pass, 0.155 mm off; a stop with the wire in before the last millimetre closes each.
  const job = jobOf({ passes: [{ kind: "rough", gap: 0.03, leave: 0 }] });
  const cut = (name: string, hole: number, e: string) => [
    ...threadAt(0, hole),
    `G01 Y-${e}`,
    `X${e}`,
    `Y${e}`,
    `X-${e}`,
    `Y-${e}`,
    "X-1.5",
    `M00 (${name}: hold it)`,
    "X0.6",
    ...CUT_WIRE,
    `M00 (${name}: take it out)`,
  ];
  const window = cut("opening-2", 0, "4.845");
  const outside = cut("part-1", -13, "10.155");
  const told = (lines: string[]) =>
    proveText([...HEAD, ...lines, ...TAIL], layout, job).findings.filter(
      (f) => f.severity !== "note",
    );
  expect(told([...window, ...outside])).toEqual([]);
  const wrong = told([...outside, ...window]);
  expect(wrong.map((f) => f.code)).toEqual(["proof/piece-in-the-way"]);
  expect(wrong[0]?.message).toContain(
    "opening-2 is cut in the piece of part-1 that came loose in line 13",
  );
});

test("a piece consumed whole by the kerf needs nobody", () => {
  const small = layoutOf([feature("opening-1", "opening", squareContour(0.5))]);
  const loop = (s: number): string[] => [
    `G01 X${s} Y-${s}`,
    `G01 X${s} Y${s}`,
    `G01 X-${s} Y${s}`,
    `G01 X-${s} Y-${s}`,
    `G01 X${s} Y-${s}`,
  ];
  const proof = proveText(
    [
      ...HEAD,
      ...threadAt(0, 0),
      ...loop(0.04),
      ...loop(0.105),
      ...loop(0.115),
      ...CUT_WIRE,
      ...TAIL,
    ],
    small,
  );
  expect(proof.loosePieces).toEqual([]);
  expect(proof.findings.filter((f) => f.severity === "error")).toEqual([]);
});

test("a window in a punch: its slug is out of the punch's mass", () => {
  const ring = layoutOf([
    feature("part-1", "part", squareContour(30, vec(0, 0))),
    feature("opening-1", "opening", squareContour(10), 1, "part-1"),
  ]);
  const e = 15.135;
  const around = [
    ...threadAt(0, -20),
    `G01 X0. Y-${e}`,
    `G01 X${e} Y-${e}`,
    `G01 X${e} Y${e}`,
    `G01 X-${e} Y${e}`,
    `G01 X-${e} Y-${e}`,
    `G01 X0. Y-${e}`,
    ...CUT_WIRE,
  ];
  const lines = squareProgram().toSpliced(
    -2,
    0,
    "M00 (part-1: hold the part)",
    ...around,
  );
  const part = proveText(lines, ring).loosePieces.find(
    (p) => p.feature === "part-1",
  );
  expect(part?.attended).toBe(true);
  // 30² less the window.
  expect(part?.mass).toBeCloseTo((900 - 100) * 25 * 7.85e-6, 9);
});
