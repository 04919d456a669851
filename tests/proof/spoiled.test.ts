/**
 * A good program spoiled in every way that happens in a shop: a block lost, a digit, a sign, a stop. Each must be
 * caught, and called by its right name.
 */
import { describe, expect, test } from "vitest";
import { vec } from "../../src/geometry/vec.js";
import type { Layout } from "../../src/plan/feature.js";
import {
  CUT_WIRE,
  controlProgram,
  feature,
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
  squareStrokes,
} from "../helpers/programs.js";
import {
  openCut,
  remove,
  rough,
  S,
  second,
  secure,
  skimCut,
  tabCut,
  third,
  thread,
  together,
} from "../helpers/square-parts.js";

type Lines = readonly string[];

/** The line number (from 0) of the `nth` line that holds `part`. */
function at(lines: Lines, part: string | RegExp, nth = 1): number {
  let seen = 0;
  const found = lines.findIndex(
    (l) =>
      (typeof part === "string" ? l.includes(part) : part.test(l)) &&
      ++seen === nth,
  );
  if (found < 0) throw new Error(`no line ${nth} with ${part}`);
  return found;
}

const without = (lines: Lines, k: number): string[] => lines.toSpliced(k, 1);
const change = (
  lines: Lines,
  k: number,
  from: string | RegExp,
  to: string,
): string[] => {
  const before = lines[k] as string;
  const after = before.replace(from, to);
  if (after === before) throw new Error(`nothing changed in ${before}`);
  return lines.with(k, after);
};

const square = squareProgram();
const round = roundProgram();
const punch = punchProgram();
const control = controlProgram();

test.each([
  ["square opening", square, SQUARE],
  ["round opening", round, ROUND],
  ["punch", punch, PUNCH],
  ["square opening with G41 and G42", control, SQUARE],
] as [string, Lines, Layout][])(
  "unspoiled, the %s is proved",
  (_, lines, layout) => {
    const proof = proveText(lines, layout);
    expect(proof.findings.filter((f) => f.severity !== "note")).toEqual([]);
    expect(proof.ok).toBe(true);
  },
);

interface Spoil {
  readonly what: string;
  readonly lines: Lines;
  readonly layout?: Layout;
  readonly code: string;
}

/** Line numbers of the corners of the last pass of the square, whose parallel lies 4.865 from its middle. */
const corner = at(square, "X4.8650 Y-4.8650");

const spoils: Spoil[] = [
  // Blocks
  {
    what: "a corner of the rough is dropped",
    lines: without(square, at(square, "X4.7900 Y4.7900")),
    code: "proof/pass-missing",
  },
  {
    what: "a corner of the last pass is dropped",
    lines: without(square, at(square, "X4.8650 Y4.8650")),
    code: "proof/excess",
  },
  {
    what: "a quarter of the last circle is dropped",
    lines: without(round, at(round, /^G03.*Y-?9\.8650|^G03 X9\.8650/)),
    layout: ROUND,
    code: "program/arc-radii",
  },
  {
    what: "an arc block is doubled",
    lines: round.toSpliced(
      at(round, "G03"),
      0,
      round[at(round, "G03")] as string,
    ),
    layout: ROUND,
    code: "proof/in-kept-metal",
  },
  {
    what: "the end is dropped",
    lines: square.filter((l) => l !== "M30"),
    code: "program/no-end",
  },
  {
    what: "the thread is dropped",
    lines: without(square, at(square, "T1 M06")),
    code: "proof/feed-unthreaded",
  },
  {
    what: "the thread is doubled",
    lines: square.toSpliced(at(square, "T1 M06"), 0, "T1 M06"),
    code: "proof/thread-twice",
  },
  {
    what: "the cutting of the wire is dropped",
    lines: without(square, at(square, "T0 M06")),
    code: "proof/rapid-threaded",
  },
  {
    what: "the last cutting of the wire is dropped",
    lines: without(square, at(square, "T0 M06", 3)),
    code: "proof/end-threaded",
  },
  {
    what: "thread and cut are swapped",
    lines: square.map((l) =>
      l === "T1 M06" ? "T0 M06" : l === "T0 M06" ? "T1 M06" : l,
    ),
    code: "proof/feed-unthreaded",
  },
  // Words
  {
    what: "G02 for G03",
    lines: change(round, at(round, "G03"), "G03", "G02"),
    layout: ROUND,
    code: "proof/loose-unattended",
  },
  {
    what: "G03 for G02",
    lines: change(round, at(round, "G02"), "G02", "G03"),
    layout: ROUND,
    code: "proof/loose-unattended",
  },
  {
    what: "G02 for G03 at a punch's corner",
    lines: change(punch, at(punch, "G03"), "G03", "G02"),
    layout: PUNCH,
    code: "proof/in-kept-metal",
  },
  {
    what: "G00 for G01 in the metal",
    lines: change(square, at(square, "X4.7900 Y4.7900"), "G01", "G00"),
    code: "proof/rapid-threaded",
  },
  {
    what: "G70 for G71",
    lines: change(square, 1, "G71", "G70"),
    code: "proof/in-kept-metal",
  },
  {
    what: "G91 for G90",
    lines: change(square, 1, "G90", "G91"),
    code: "proof/in-kept-metal",
  },
  {
    what: "I and J swapped",
    lines: change(round, at(round, "G03"), /I(\S+) J(\S+)/, "I$2 J$1"),
    layout: ROUND,
    code: "proof/in-kept-metal",
  },
  {
    what: "a word nobody knows",
    lines: change(square, at(square, "X4.7900 Y4.7900"), "G01", "G01 G12"),
    code: "program/unknown-word",
  },
  // Digits
  {
    what: "a sign lost",
    lines: change(square, corner, "Y-", "Y"),
    code: "proof/excess",
  },
  {
    what: "a decimal point lost",
    lines: change(square, corner, "4.8650", "48650"),
    code: "program/out-of-range",
  },
  {
    what: "a coordinate 5 µm too far out",
    lines: change(square, corner, "X4.8650", "X4.8700"),
    code: "proof/gouge",
  },
  {
    what: "a coordinate 5 µm too far in",
    lines: change(square, corner, "X4.8650", "X4.8600"),
    code: "proof/excess",
  },
  {
    what: "a coordinate 0.6 µm too far out",
    lines: change(square, corner, "X4.8650", "X4.8656"),
    code: "proof/gouge",
  },
  {
    what: "a coordinate 0.6 µm too far in",
    lines: change(square, corner, "X4.8650", "X4.8644"),
    code: "proof/excess",
  },
  {
    what: "a coordinate of the rough off by 0.6 µm",
    lines: change(square, at(square, "X4.7900 Y4.7900"), "X4.7900", "X4.7906"),
    code: "proof/pass-missing",
  },
  {
    what: "a centre off by 2 µm, radii still alike",
    lines: change(round, at(round, "X9.8650"), /J9\.8650/, "J9.8670"),
    layout: ROUND,
    code: "proof/gouge",
  },
  {
    what: "a coordinate lost from an arc",
    lines: change(round, at(round, "G03"), /Y\S+ /, ""),
    layout: ROUND,
    code: "program/arc-radii",
  },
  {
    what: "two digits swapped",
    lines: change(square, corner, "X4.8650", "X4.6850"),
    code: "proof/excess",
  },
  // Compensation
  {
    what: "G42 for G41",
    lines: change(control, at(control, "G41"), "G41", "G42"),
    code: "proof/wrong-side",
  },
  {
    what: "G41 for G42",
    lines: change(control, at(control, "G42"), "G42", "G41"),
    code: "proof/wrong-side",
  },
  {
    what: "D1 for D3",
    lines: change(control, at(control, "D3"), "D3", "D1"),
    code: "proof/excess",
  },
  {
    what: "D3 for D1",
    lines: change(control, at(control, "D1"), "D1", "D3"),
    code: "proof/pass-missing",
  },
  {
    what: "a D that is no pass",
    lines: change(control, at(control, "D2"), "D2", "D7"),
    code: "proof/compensation",
  },
  {
    what: "the D lost",
    lines: change(control, at(control, "D1"), " D1", ""),
    code: "program/no-register",
  },
  {
    what: "G40 lost",
    lines: change(control, at(control, /^G40 G01/), "G40 ", ""),
    code: "program/compensation-kept",
  },
  {
    what: "G41 lost",
    lines: change(control, at(control, "G41"), "G41 ", ""),
    code: "proof/gouge",
  },
  // People
  {
    what: "the stop that secures the slug removed",
    lines: without(square, at(square, "M00")),
    code: "proof/loose-unattended",
  },
  {
    what: "the stop that takes the slug out removed",
    lines: without(square, at(square, "M00", 2)),
    code: "proof/piece-in-the-way",
  },
  {
    what: "the stop before a part comes loose removed",
    lines: without(punch, at(punch, "M00")),
    layout: PUNCH,
    code: "proof/loose-unattended",
  },
  {
    what: "M01 for M00",
    lines: change(square, at(square, "M00"), "M00", "M01"),
    code: "proof/loose-unattended",
  },
  {
    what: "a stop that may be left out",
    lines: change(square, at(square, "M00"), "M00", "/M00"),
    code: "proof/loose-unattended",
  },
  {
    what: "a stop that names another feature",
    lines: change(square, at(square, "M00"), "opening-1", "opening-11"),
    code: "proof/loose-unattended",
  },
  {
    what: "a stop that names nothing",
    lines: change(square, at(square, "M00"), /\(.*\)/, ""),
    code: "proof/loose-unattended",
  },
];

describe("spoiled", () => {
  test.each(spoils)("$what: $code", ({ lines, layout, code }) => {
    const proof = proveText(lines, layout);
    expect(proof.ok).toBe(false);
    const errors = proof.findings.filter((f) => f.severity === "error");
    expect(errors.map((f) => f.code)).toContain(code);
  });

  test("a straight block doubled moves nothing and spoils nothing", () => {
    const proof = proveText(
      square.toSpliced(corner, 0, square[corner] as string),
    );
    expect(proof.ok).toBe(true);
  });
});

/** The same stroke run from its other end, whose stand-off point is given. */
const reversed = (stroke: string[], standOff: string): string[] => [
  ...stroke.slice(0, -1).reverse(),
  standOff,
];
const thirdBack = reversed(third, S.lead);
const secondBack = reversed(second, rough.at(-1) as string);

describe("put together wrongly", () => {
  const codesOf = (lines: Lines, layout?: Layout): string[] => {
    const proof = proveText(lines, layout);
    expect(proof.ok).toBe(false);
    return proof.findings
      .filter((f) => f.severity === "error")
      .map((f) => f.code);
  };

  test("in the right order, all is well", () => {
    const proof = proveText(together(openCut, secure, tabCut, remove, skimCut));
    expect(proof.ok).toBe(true);
  });

  test("the tab cut before the stop", () => {
    expect(codesOf(together(openCut, tabCut, secure, remove, skimCut))).toEqual(
      ["proof/loose-unattended"],
    );
  });

  test("the tab cut in the first thread, with nobody there", () => {
    expect(
      codesOf(
        together(
          thread,
          rough,
          second,
          third,
          S.tab,
          CUT_WIRE,
          secure,
          remove,
          skimCut,
        ),
      ),
    ).toEqual(["proof/loose-unattended"]);
  });

  test("a tab no wider than the kerf, so that the slug falls in the night", () => {
    // The rough goes on to x = -0.7 + 1.1 = 0.4: 0.3 mm from its beginning, and the kerf is 0.31 wide.
    const longer = rough.map((l) => l.replace("X-0.7000", "X0.4000"));
    expect(
      codesOf(
        together(
          [...thread, ...longer, ...CUT_WIRE],
          secure,
          tabCut,
          remove,
          skimCut,
        ),
      ),
    ).toContain("proof/loose-unattended");
  });

  /** The rough's end moved so that a tab of so many mm stays: between its ends, less the kerf of 0.31. */
  const withTab = (width: number): Lines =>
    together(
      [
        ...thread,
        ...rough.map((l) =>
          l.replace("X-0.7000", `X${(0.7 - 0.31 - width).toFixed(4)}`),
        ),
        ...second,
        ...third,
        ...CUT_WIRE,
      ],
      secure,
      tabCut,
      remove,
      skimCut,
    );

  test.each([0.02, 0.1])(
    "a tab of %d mm is not loose, and as good as loose with nobody there",
    (width) => {
      const proof = proveText(withTab(width));
      expect(proof.loosePieces.every((p) => p.attended)).toBe(true);
      const weak = proof.findings.find((f) => f.code === "proof/tab-weak");
      expect(weak?.severity).toBe("error");
      expect(weak?.message).toContain(`tab of ${width.toFixed(3)} mm`);
      expect(weak?.where?.[1]).toBeCloseTo(-4.79, 2);
    },
  );

  test("a tab of 0.3 mm, less than half of what is usual, is a warning; one of 0.6 mm none", () => {
    const told = (width: number) =>
      proveText(withTab(width)).findings.filter((f) =>
        f.code.startsWith("proof/tab"),
      );
    expect(told(0.3).map((f) => [f.code, f.severity])).toEqual([
      ["proof/tab-thin", "warning"],
    ]);
    expect(told(0.6)).toEqual([]);
  });

  test("the second pass left out", () => {
    const lines = together(
      [...thread, ...rough, ...thirdBack, ...CUT_WIRE],
      secure,
      tabCut,
      remove,
      skimCut,
    );
    // Beside the tab the second pass comes after the third, over the overlap.
    expect(codesOf(lines)).toEqual(["proof/pass-missing", "proof/pass-order"]);
  });

  test("the last pass left out over the tab", () => {
    const lines = together(openCut, secure, tabCut, remove, [
      ...thread,
      ...(S.skims[0] as string[]),
      ...CUT_WIRE,
    ]);
    expect(codesOf(lines)).toEqual(["proof/excess"]);
    const proof = proveText(lines);
    // The second pass leaves 0.01 mm more than the last: 0.145 - 0.135.
    expect(proof.maxExcess).toBeCloseTo(0.01, 9);
    // 1.4 mm of the last path's 4 · 9.73 mm, less what the round ends of the kerf reach beyond it within 0.3 µm.
    const end = Math.sqrt(0.1353 ** 2 - 0.135 ** 2);
    expect(proof.coverage).toBeCloseTo(1 - (1.4 - 2 * end) / 38.92, 6);
  });

  test("the way back to the beginning straight across the tab", () => {
    const lines = together(
      [...thread, ...rough, ...third, ...CUT_WIRE],
      secure,
      tabCut,
      remove,
      skimCut,
    );
    expect(codesOf(lines)).toContain("proof/loose-unattended");
  });

  test("the second pass after the third", () => {
    const lines = together(
      [...thread, ...rough, ...thirdBack, ...secondBack, ...CUT_WIRE],
      secure,
      tabCut,
      remove,
      skimCut,
    );
    expect(codesOf(lines)).toEqual(["proof/pass-order"]);
  });

  test("no overlap where the tab was", () => {
    const short = S.skims
      .flat()
      .map((l) =>
        l.replace("X1.2000", "X0.7000").replace("X-1.2000", "X-0.7000"),
      );
    const proof = proveText(
      together(openCut, secure, tabCut, remove, [
        ...thread,
        ...short,
        ...CUT_WIRE,
      ]),
    );
    const overlap = proof.findings.filter(
      (f) => f.code === "proof/overlap-short",
    );
    expect(overlap.length).toBeGreaterThan(0);
    expect(overlap[0]?.severity).toBe("warning");
    expect(proof.coverage).toBe(1);
  });

  test("an overlap that is a gap of 0.03 mm leaves a step of 0.83 µm: an error", () => {
    const short = S.skims.flat().map((l) => l.replace("X1.2000", "X0.6700"));
    const lines = together(openCut, secure, tabCut, remove, [
      ...thread,
      ...short,
      ...CUT_WIRE,
    ]);
    expect(codesOf(lines)).toContain("proof/excess");
    // Half-way between the kerfs' round ends: √(0.135² + 0.015²) - 0.135.
    expect(proveText(lines).maxExcess).toBeCloseTo(
      Math.hypot(0.135, 0.015) - 0.135,
      6,
    );
  });

  test("one of 0.01 mm leaves 0.09 µm, no step: the overlap is too short, a warning", () => {
    const short = S.skims.flat().map((l) => l.replace("X1.2000", "X0.6900"));
    const proof = proveText(
      together(openCut, secure, tabCut, remove, [
        ...thread,
        ...short,
        ...CUT_WIRE,
      ]),
    );
    expect(
      proof.findings.filter((f) => f.severity !== "note").map((f) => f.code),
    ).toEqual(["proof/overlap-short"]);
    expect(proof.ok).toBe(true);
  });
});

describe("in the wrong place", () => {
  const two = layoutOf([
    feature("opening-1", "opening", squareContour(10)),
    feature("opening-2", "opening", squareContour(10, vec(12, 0))),
  ]);
  const T = squareStrokes(vec(12, 0));
  const [rough2, second2, third2] = T.open as [string[], string[], string[]];
  const both = (skimOfTwo: string[]): string[] =>
    together(
      openCut,
      [...T.hole, T.lead, ...rough2, ...skimOfTwo, ...third2, ...CUT_WIRE],
      secure,
      tabCut,
      remove,
      skimCut,
      "M00 (opening-2: secure the slug)",
      [...T.hole, T.lead, ...T.tab, ...CUT_WIRE],
      "M00 (opening-2: take the slug out)",
      [...T.hole, T.lead, ...T.skims.flat(), ...CUT_WIRE],
    );

  test("two openings beside each other are proved", () => {
    const proof = proveText(both(second2), two);
    expect(proof.findings.filter((f) => f.severity === "error")).toEqual([]);
    expect(proof.ok).toBe(true);
    expect(proof.loosePieces.map((p) => p.feature)).toEqual([
      "opening-1",
      "opening-2",
    ]);
  });

  test("a skim that belongs to the neighbour", () => {
    const proof = proveText(
      both([...CUT_WIRE, ...S.hole, ...second, ...CUT_WIRE, ...T.hole]),
      two,
    );
    expect(proof.ok).toBe(false);
    expect(
      proof.findings.find((f) => f.code === "proof/pass-missing")?.feature,
    ).toBe("opening-2");
  });

  test("a cut through the web into the neighbour", () => {
    const through = [...thread, "G01 X11. Y-4.", ...CUT_WIRE];
    const proof = proveText(
      both([...second2]).toSpliced(2, 0, ...through),
      two,
    );
    expect(proof.ok).toBe(false);
    expect(proof.findings.map((f) => f.code)).toContain("proof/in-kept-metal");
    expect(proof.maxGouge).toBeGreaterThan(0.9);
  });

  test("threaded in the plate", () => {
    const proof = proveText(
      together(
        ["G00 X0. Y8.", "T1 M06", "M08", "G01 X1. Y8.", ...CUT_WIRE],
        openCut,
        secure,
        tabCut,
        remove,
        skimCut,
      ),
    );
    const codes = proof.findings.map((f) => f.code);
    expect(codes).toContain("proof/thread-in-kept-metal");
    expect(codes).toContain("proof/in-kept-metal");
  });

  test("threaded where the wire touches the finished edge", () => {
    const proof = proveText(
      together(
        ["G00 X0. Y-4.9", "T1 M06", "M08", ...CUT_WIRE],
        openCut,
        secure,
        tabCut,
        remove,
        skimCut,
      ),
    );
    expect(proof.findings.map((f) => f.code)).toContain(
      "proof/thread-in-kept-metal",
    );
  });

  test("a punch's program on an opening, and the other way round", () => {
    const inside = proveText(squareProgram(), PUNCH);
    expect(inside.findings.map((f) => f.code)).toContain("proof/wrong-side");
    expect(inside.coverage).toBe(0);
    const outside = proveText(punchProgram(), SQUARE);
    expect(outside.findings.map((f) => f.code)).toContain("proof/wrong-side");
    expect(outside.ok).toBe(false);
  });

  test("the whole program moved by 1 µm", () => {
    const moved = squareProgram().map((l) =>
      l.replace(/X(-?[\d.]+)/, (_, x) => `X${(Number(x) + 0.001).toFixed(4)}`),
    );
    const proof = proveText(moved);
    expect(proof.maxGouge).toBeCloseTo(0.001, 6);
    expect(proof.ok).toBe(false);
  });

  test("another wire than the program was made for", () => {
    const job = jobOf({ wire: { diameter: 0.2 } });
    expect(proveText(squareProgram(), SQUARE, job).ok).toBe(false);
    expect(proveText(squareProgram(job), SQUARE, job).ok).toBe(true);
  });
});

describe("a later pass that begins beyond the end of the one before it", () => {
  /** The second pass's end moved on by so many mm, into the tab. */
  const beyond = (mm: number) =>
    proveText(
      together(
        [
          ...thread,
          ...rough,
          ...second.map((l) =>
            l.replace(/X0\.7000/, `X${(0.7 - mm).toFixed(4)}`),
          ),
          ...third,
          ...CUT_WIRE,
        ],
        secure,
        tabCut,
        remove,
        skimCut,
      ),
    ).findings.filter((f) => f.code === "proof/pass-order");

  // The rough's kerf of radius 0.155 falls back by s² / 0.31 at s beyond its end: 0.08 µm at 5 µm, 8 µm at 50 µm.
  test("by 5 µm meets nothing more", () => expect(beyond(0.005)).toEqual([]));

  test("by 50 µm is a warning", () =>
    expect(beyond(0.05).map((f) => f.severity)).toEqual(["warning"]));
});
