import { describe, expect, test } from "vitest";
import type { Finding } from "../../src/base/finding.js";
import { segmentLength } from "../../src/geometry/segment.js";
import { vec } from "../../src/geometry/vec.js";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";
import { replayWire } from "../../src/proof/wire.js";
import { jobOf } from "../helpers/programs.js";

/** Wire 0.25 and gap 0.02: offset 0.145. */
const job = jobOf({ passes: [{ kind: "rough", gap: 0.02, leave: 0 }] });
const D = 0.145;

function run(lines: string[]): {
  path: ReturnType<typeof replayWire>["threads"];
  findings: readonly Finding[];
} {
  const text = [
    "%",
    "G71 G90",
    "G00 X0. Y0.",
    "T1 M06",
    "M08",
    ...lines,
    "T0 M06",
    "M30",
    "%",
  ].join("\n");
  const program = readProgram(text, NEUTRAL);
  expect(program.findings).toEqual([]);
  const { threads, findings } = replayWire(program, job);
  return { path: threads, findings };
}

const lengthOf = (lines: string[]): number =>
  run(lines)
    .path[0]?.moves.slice(1, -1)
    .reduce((sum, m) => sum + segmentLength(m.segment), 0) as number;

/** Once round a square of 10 mm from the middle of its lower side, with the ramps on and off below or above it. */
const around = (side: "G41" | "G42", from: number): string[] => [
  `G01 X5. Y${from}.`,
  `${side} D1 G01 X5. Y0.`,
  "X10. Y0.",
  "X10. Y10.",
  "X0. Y10.",
  "X0. Y0.",
  "X5. Y0.",
  `G40 X5. Y${from}.`,
];

describe("the path a control makes of G41 and G42", () => {
  test("inside a square: its corners stay sharp, 38.84 mm round", () => {
    // Offset of a 10 mm square inward by 0.145, sharp: 4 · (10 - 0.29) = 38.84. The first move is the lead.
    const { path, findings } = run(around("G41", 2));
    expect(findings).toEqual([]);
    const moves = path[0]?.moves.slice(2, -1) ?? [];
    expect(
      moves.reduce((sum, m) => sum + segmentLength(m.segment), 0),
    ).toBeCloseTo(38.84, 9);
    expect(moves[0]?.segment.start).toEqual(vec(5, D));
    expect(moves[0]?.segment.end.x).toBeCloseTo(10 - D, 12);
  });

  test("outside a square: its corners are rolled, 40.91106187 mm round", () => {
    // 4 · 10 + 2π · 0.145 = 40.91106187.
    const { path, findings } = run(around("G42", -2));
    expect(findings).toEqual([]);
    const moves = path[0]?.moves.slice(2, -1) ?? [];
    expect(
      moves.reduce((sum, m) => sum + segmentLength(m.segment), 0),
    ).toBeCloseTo(40.91106187, 8);
    expect(moves.filter((m) => m.segment.kind === "arc")).toHaveLength(4);
  });

  test("a hole of 20 mm: the path's diameter is 19.71; a punch: 20.29", () => {
    // Full circles in four quarters about the origin.
    const circle = (side: string, from: string): string[] => [
      `G01 X${from} Y0.`,
      `${side} D1 X10. Y0.`,
      "G03 X0. Y10. I-10.",
      "X-10. Y0. J-10.",
      "X0. Y-10. I10.",
      "X10. Y0. J10.",
      `G40 G01 X${from}`,
    ];
    for (const [side, from, diameter] of [
      ["G41", "9.", 19.71],
      ["G42", "11.", 20.29],
    ] as const) {
      const { path, findings } = run(circle(side, from));
      expect(findings).toEqual([]);
      const arcs = (path[0]?.moves ?? []).flatMap((m) =>
        m.segment.kind === "arc" ? [m.segment] : [],
      );
      expect(arcs).toHaveLength(4);
      for (const a of arcs) expect(2 * a.radius).toBeCloseTo(diameter, 12);
    }
  });

  test("a tangent line and arc go on without a corner", () => {
    expect(
      lengthOf([
        "G41 D1 G01 X0. Y1.",
        "X10. Y1.",
        "G02 X11. Y0. J-1.",
        "G40 G01 X11. Y-1.",
      ]),
    ).toBeCloseTo(10 + (Math.PI / 2) * (1 + D), 9);
  });
});

describe("what a control refuses", () => {
  const fault = (lines: string[]): string =>
    run(lines).findings.find((f) => f.code === "proof/compensation")?.message ??
    "";

  test.each([
    [
      "an inside arc tighter than the wire",
      [
        "G41 D1 G01 X0. Y1.",
        "X10. Y1.",
        "G03 X10.1 Y1.1 J0.1",
        "G01 X10.1 Y5.",
        "G40 X9. Y5.",
      ],
      "tighter",
    ],
    [
      "a ramp shorter than the offset",
      ["G01 X0. Y0.9", "G41 D1 G01 X0. Y1.", "X10. Y1.", "G40 X10. Y0."],
      "shorter",
    ],
    [
      "a ramp on an arc",
      ["G41 D1 G03 X0. Y2. J1.", "G01 X-5. Y2.", "G40 X-5. Y1."],
      "straight",
    ],
    [
      "a register of no pass",
      ["G41 D2 G01 X0. Y1.", "X10. Y1.", "G40 X10. Y0."],
      "D2",
    ],
    [
      "sides changed in between",
      ["G41 D1 G01 X0. Y1.", "X10. Y1.", "G42 X10. Y5.", "G40 X9. Y5."],
      "changes",
    ],
    [
      "never switched off",
      ["G41 D1 G01 X0. Y1.", "X10. Y1."],
      "still in force",
    ],
    ["nothing to follow", ["G41 D1 G01 X0. Y1.", "G40 X10. Y1."], "no segment"],
    [
      "a notch too narrow for the wire",
      [
        "G41 D1 G01 X0. Y1.",
        "X5. Y1.",
        "X5. Y1.1",
        "X5.1 Y1.1",
        "X5.1 Y5.",
        "G40 X4. Y5.",
      ],
      "too short",
    ],
  ] as [string, string[], string][])("%s", (_, lines, part) => {
    expect(fault(lines)).toContain(part);
  });
});

describe("a short block that the inside corners at its ends use up", () => {
  /** Inside a corner of 90°, with its chamfer `a` wide and high. */
  const chamfered = (a: string) =>
    run([
      "G01 X5. Y2.",
      "G41 D1 X5. Y0.",
      `X${(10 - Number(a)).toFixed(4)} Y0.`,
      `X10. Y${a}`,
      "X10. Y10.",
      "G40 X9. Y10.",
    ]).findings;

  // Each corner turns by 45° and eats d · tan(22.5°): together 2 · 0.145 · 0.41421356 = 0.12012193 of a · √2.
  test("a chamfer of 0.1202 mm keeps 0.09 µm: no alarm", () => {
    expect(chamfered("0.0850")).toEqual([]);
  });

  test("one of 0.1198 mm is gone, which a strict control refuses: a warning with block, place and how much", () => {
    const [told, ...more] = chamfered("0.0847");
    expect(more).toEqual([]);
    expect(told).toMatchObject({
      code: "proof/compensation",
      severity: "warning",
    });
    expect(told?.message).toContain("program line 9:");
    expect(told?.message).toContain("(9.915, 0)");
    expect(told?.message).toContain("0.1198 mm long");
    expect(told?.message).toContain("eat 0.1201 mm");
  });

  test("in a bend, too: 2 · 0.145 · tan(0.01) = 2.9 µm of a block of 2 µm", () => {
    const bend = (long: number) => {
      const [c, s] = [Math.cos(0.02), Math.sin(0.02)];
      return run([
        "G41 D1 G01 X0. Y1.",
        "X5. Y1.",
        `X${(5 + long * c).toFixed(6)} Y${(1 + long * s).toFixed(6)}`,
        `X${(5 + long * c + 5 * Math.cos(0.04)).toFixed(6)} Y${(1 + long * s + 5 * Math.sin(0.04)).toFixed(6)}`,
        "G40 X9. Y3.",
      ]).findings;
    };
    expect(bend(0.01)).toEqual([]);
    expect(bend(0.002)[0]?.message).toContain("eat 0.0029 mm");
  });

  test("an arc as tight as the wire's offset is used up whole, a µm more is not", () => {
    const bend = (r: number) =>
      run([
        "G41 D1 G01 X0. Y1.",
        "X5. Y1.",
        `G03 X${5 + r} Y${1 + r} J${r}`,
        `G01 X${5 + r} Y5.`,
        "G40 X4. Y5.",
      ]).findings;
    expect(bend(0.146)).toEqual([]);
    expect(bend(0.145)[0]?.message).toContain("tighter than the offset");
  });
});
