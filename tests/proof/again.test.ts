/** A program that cuts again what it has cut: blocks pasted in twice. What good programs run over twice is no such trip. */
import { describe, expect, test } from "vitest";
import type { Finding } from "../../src/index.js";
import {
  CUT_WIRE,
  HEAD,
  JOB,
  jobOf,
  PUNCH,
  proveText,
  punchProgram,
  ROUND,
  roundProgram,
  SQUARE,
  squareProgram,
  squareStrokes,
  TAIL,
} from "../helpers/programs.js";

const again = (lines: readonly string[], layout = SQUARE, job = JOB) =>
  proveText(lines, layout, job).findings.filter(
    (f) => f.code === "proof/cut-again",
  );

/** Everything between the head and the end, twice. */
const twice = (lines: readonly string[]): string[] => [
  ...HEAD,
  ...lines.slice(HEAD.length, -TAIL.length),
  ...lines.slice(HEAD.length),
];

const SLUG = "M00 (opening-1: secure the slug, it comes loose next)";
const OUT = "M00 (opening-1: take the slug out)";

describe("blocks that stand twice", () => {
  test.each([
    ["a square opening", squareProgram(), SQUARE],
    ["a round opening", roundProgram(), ROUND],
    ["a punch", punchProgram(), PUNCH],
  ])(
    "the whole of %s is named once, by the first block of it",
    (_, lines, layout) => {
      const found = again(twice(lines), layout);
      expect(found.map((f) => f.severity)).toEqual(["warning"]);
      const [{ message }] = found as [Finding];
      const line = Number(/program line (\d+)/.exec(message)?.[1]);
      // In the second half, and not its lead-in but the block that follows the outline.
      expect(line).toBeGreaterThan(lines.length - TAIL.length);
      expect(line).toBeLessThanOrEqual(lines.length - TAIL.length + 8);
      expect(message).toContain("do blocks stand twice");
    },
  );

  test("one stroke pasted in again is named, with how much of it there is", () => {
    const { lead, open, tab, skims, hole } = squareStrokes();
    const [rough, ...others] = open as [string[], ...string[][]];
    const lines = [
      ...HEAD,
      ...hole,
      lead,
      ...rough,
      lead,
      ...rough,
      ...others.flat(),
      ...CUT_WIRE,
      SLUG,
      ...hole,
      lead,
      ...tab,
      ...CUT_WIRE,
      OUT,
      ...hole,
      lead,
      ...skims.flat(),
      ...CUT_WIRE,
      ...TAIL,
    ];
    const found = again(lines);
    expect(found).toHaveLength(1);
    // Round a square of side 10 - 2 × 0.21, but for 1.4 between its ends: 4 × 9.58 - 1.4 = 36.92.
    expect(found[0]?.message).toContain("36.9 mm in all");
  });

  test("a skim that goes round and round is named where it begins anew", () => {
    const o = JOB.passes[2]?.offset as number;
    const s = (5 - o).toFixed(4);
    const lap = [
      `X${s} Y-${s}`,
      `X${s} Y${s}`,
      `X-${s} Y${s}`,
      `X-${s} Y-${s}`,
    ];
    const lines = squareProgram();
    const k = lines.lastIndexOf(CUT_WIRE[0] as string);
    const round = lines.toSpliced(
      k,
      0,
      `G01 X0.7 Y-${s}`,
      ...lap,
      ...lap,
      `X0.7 Y-${s}`,
      "Y-4.69",
    );
    expect(again(round)).toHaveLength(1);
  });
});

describe("what good programs run over twice", () => {
  test("joints, tabs and lead-ins raise no alarm, nor does an overlap of 3 mm", () => {
    expect(again(squareProgram())).toEqual([]);
    expect(again(punchProgram(), PUNCH)).toEqual([]);
    expect(again(roundProgram(), ROUND)).toEqual([]);
    const long = squareProgram().map((l) => l.replace("X1.2000", "X3.7000"));
    expect(again(long)).toEqual([]);
  });

  test("the way to the tab through the kerf, with the wire threaded where the rough began", () => {
    const { open, skims, hole } = squareStrokes();
    const lines = [
      ...HEAD,
      ...hole,
      ...open.flat(),
      ...CUT_WIRE,
      SLUG,
      ...hole,
      // All the way round in the kerf, and through the tab at its end.
      ...(open[0] as string[]).slice(0, -1),
      "G01 X0.7 Y-4.79",
      "G01 X0.7 Y-4.69",
      ...CUT_WIRE,
      OUT,
      ...hole,
      ...skims.flat(),
      ...CUT_WIRE,
      ...TAIL,
    ];
    expect(again(lines)).toEqual([]);
  });

  test("a last trip that takes a micron, as a pass of the job", () => {
    const job = jobOf({
      passes: [
        { kind: "rough", gap: 0.03, leave: 0.055 },
        { kind: "skim", gap: 0.01, leave: 0.001 },
        { kind: "skim", gap: 0.01, leave: 0 },
      ],
    });
    expect(again(squareProgram(job), SQUARE, job)).toEqual([]);
  });
});
