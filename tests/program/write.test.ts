import { describe, expect, test } from "vitest";
import { InputError } from "../../src/base/finding.js";
import { pointAt } from "../../src/geometry/segment.js";
import { distance, vec } from "../../src/geometry/vec.js";
import type { JobFile } from "../../src/plan/job/file.js";
import type { Plan } from "../../src/plan/plan.js";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";
import { writeProgram } from "../../src/program/write.js";
import { planOf, type Shape, SQUARE } from "../helpers/plans.js";

const CIRCLE: Shape = {
  ...SQUARE,
  id: "opening-2",
  kind: "circle",
  center: vec(30, 5),
};
const PUNCH: Shape = {
  ...SQUARE,
  id: "part-1",
  role: "part",
  center: vec(0, 40),
};
const ALL = [SQUARE, CIRCLE, PUNCH];

const linesOf = (plan: Plan): string[] =>
  writeProgram(plan, NEUTRAL).split("\n");
const numbersOf = (text: string): string[] =>
  Array.from(text.matchAll(/\b[XYIJ](\S+)/g), (m) => m[1] as string);

describe("the shape of a program", () => {
  const lines = linesOf(planOf(ALL));
  const blocks = lines.filter((l) => l.startsWith("N"));

  test("% first and last, blocks numbered by tens, nothing over 80 columns, ASCII only", () => {
    expect(lines[0]).toBe("%");
    expect(lines.slice(-2)).toEqual(["%", ""]);
    blocks.forEach((b, i) => {
      expect(b).toMatch(
        new RegExp(`^N${String((i + 1) * 10).padStart(4, "0")} `),
      );
    });
    for (const l of lines) {
      expect(l.length).toBeLessThanOrEqual(80);
      expect(l).toMatch(/^[\x20-\x7e]*$/);
    }
  });

  test("the header names job, material, wire, every pass with its offset, and the test cut", () => {
    const head = lines
      .slice(
        0,
        lines.findIndex((l) => l.startsWith("N")),
      )
      .join("\n");
    for (const part of [
      "(job by formula)",
      "(material tool-steel, thickness 25 mm)",
      "(wire brass 0.25 mm)",
      "pass 1 rough: offset 0.2100 mm",
      "pass 2 skim: offset 0.1450 mm",
      "pass 3 skim: offset 0.1350 mm",
      "(verify on your machine with a test cut, by a trained operator)",
    ])
      expect(head).toContain(part);
    expect(blocks[0]).toBe("N0010 G71 G90 G17 G40");
  });

  test("G00 moves only while the wire is out", () => {
    let threaded = false;
    for (const b of blocks) {
      if (b.includes("T1 M06")) threaded = true;
      if (b.includes("T0 M06")) threaded = false;
      if (b.includes("G00")) expect(threaded, b).toBe(false);
      if (/G0[123]/.test(b)) expect(threaded, b).toBe(true);
    }
    expect(threaded).toBe(false);
  });

  test("each stop stands in the block with the feature's name and the reason", () => {
    expect(
      blocks.filter((b) => b.includes("M00")).map((b) => b.slice(6)),
    ).toEqual([
      "M00 (opening-1: secure the slug, it comes loose next)",
      "M00 (opening-1: take the slug out)",
      "M00 (opening-2: secure the slug, it comes loose next)",
      "M00 (opening-2: take the slug out)",
      "M00 (part-1: hold the part, it comes loose next)",
    ]);
  });

  test("no R, no exponent, no minus zero, a decimal point in every number, four decimals", () => {
    for (const b of blocks) expect(b).not.toMatch(/\bR/);
    const numbers = numbersOf(blocks.join("\n"));
    expect(numbers.length).toBeGreaterThan(100);
    for (const n of numbers) {
      expect(n).toMatch(/^-?\d+\.\d{4}$/);
      expect(n).not.toBe("-0.0000");
    }
  });

  test("flushing is on before the first feed of each thread and off before the wire is cut", () => {
    const order = blocks
      .map((b) => /T1 M06|T0 M06|M08|M09|G0[123]/.exec(b)?.[0])
      .map((w) => (w?.startsWith("G") ? "feed" : w))
      .filter((w, i, all) => w && w !== all[i - 1]);
    const cut = ["T1 M06", "M08", "feed", "M09", "T0 M06"];
    // Each thread ends before the next begins; rapids and stops lie between.
    expect(order.filter((w) => w !== undefined).join(" ")).toMatch(
      new RegExp(`^(feed )?(${cut.join(" ")} ?(feed )?)+$`),
    );
  });

  test("the same plan gives the same text", () => {
    expect(writeProgram(planOf(ALL), NEUTRAL)).toBe(
      writeProgram(planOf(ALL), NEUTRAL),
    );
  });
});

describe("where the wire goes", () => {
  test("the rough of a 10 mm square runs 4.79 from its middle", () => {
    // 5 - 0.21, worked by hand; offset 0.21 = 0.125 + 0.03 + 0.055.
    const text = writeProgram(planOf([SQUARE]), NEUTRAL);
    expect(text).toContain("G01 X4.7900 Y-4.7900\n");
    expect(text).toContain("G01 X4.7900 Y4.7900\n");
    expect(text).toContain("G01 X-4.7900 Y4.7900\n");
  });

  test("a full circle is written in two arcs or more, and its path has the diameter 9.73", () => {
    // Diameter 10, last offset 0.135: 10 - 2 · 0.135.
    const job: JobFile = {
      passes: [{ kind: "rough", gap: 0.01, leave: 0 }],
    };
    const program = readProgram(
      writeProgram(planOf([CIRCLE], job), NEUTRAL),
      NEUTRAL,
    );
    const arcs = program.actions.flatMap((a) =>
      a.kind === "feed" && a.segment.kind === "arc" ? [a.segment] : [],
    );
    expect(arcs.length).toBeGreaterThanOrEqual(2);
    for (const a of arcs)
      for (const t of [0, 0.3, 0.5, 0.8, 1])
        expect(2 * distance(pointAt(a, t), CIRCLE.center)).toBeCloseTo(9.73, 3);
    expect(program.findings).toEqual([]);
  });

  test("in inches: G70, five decimals, and the same places", () => {
    const text = writeProgram(
      planOf([SQUARE], { units: "in", wire: { diameter: 0.01 } }),
      NEUTRAL,
    );
    expect(text).toContain("G70 G90 G17 G40");
    for (const n of numbersOf(text)) expect(n).toMatch(/^-?\d+\.\d{5}$/);
    const { units, findings } = readProgram(text, NEUTRAL);
    expect(units).toBe("in");
    expect(findings).toEqual([]);
  });

  test("a coarser resolution is kept to", () => {
    const text = writeProgram(
      planOf([CIRCLE], { program: { resolution: 0.0005 } }),
      NEUTRAL,
    );
    for (const n of numbersOf(text)) expect(n).toMatch(/^-?\d+\.\d{3}[05]$/);
  });
});

describe("with compensation by the control", () => {
  const control = { program: { compensation: "control" } } as const;
  const lines = linesOf(planOf(ALL, control));

  test("the header lists the D registers", () => {
    expect(lines).toContain("(D1 = 0.2100 mm)");
    expect(lines).toContain("(D3 = 0.1350 mm)");
  });

  test("each stroke switches on at the stand-off, off at the other, and follows the outline between", () => {
    const stroke = lines.slice(
      lines.findIndex((l) => l.includes("opening-1 pass 1")),
      lines.findIndex((l) => l.includes("opening-1 pass 2")),
    );
    expect(stroke.map((l) => l.replace(/^N\d+ /, ""))).toEqual([
      "(opening-1 pass 1 rough, offset 0.2100, open stretch)",
      "G01 X0.5000 Y-4.6900",
      "G41 G01 X0.5000 Y-5.0000 D1",
      "G01 X5.0000 Y-5.0000",
      "G01 X5.0000 Y5.0000",
      "G01 X-5.0000 Y5.0000",
      "G01 X-5.0000 Y-5.0000",
      "G01 X-0.5000 Y-5.0000",
      "G40 G01 X-0.5000 Y-4.6900",
    ]);
  });

  test("a table without such words is refused, naming what to fill in", () => {
    const words = { ...NEUTRAL, name: "plain", compensationLeft: "" };
    expect(() => writeProgram(planOf([SQUARE], control), words)).toThrow(
      InputError,
    );
    expect(() => writeProgram(planOf([SQUARE], control), words)).toThrow(
      /compensationLeft/,
    );
    expect(() => writeProgram(planOf([SQUARE]), words)).not.toThrow();
  });
});

describe("comments", () => {
  const named = (name: string, reason = "secure it"): string[] => {
    const plan = planOf([SQUARE]);
    return linesOf({
      ...plan,
      name,
      steps: plan.steps.map((s) => (s.kind === "stop" ? { ...s, reason } : s)),
    });
  };

  test("accents, brackets, percent signs and line breaks cannot break the program", () => {
    const lines = named("Käfig (50 %)\nnew — 10 µm Ø ß");
    expect(lines).toContain("(job Kafig [50 pct] new - 10 um O ss)");
    expect(lines.filter((l) => l.startsWith("%"))).toHaveLength(2);
  });

  test("a long name is carried on in a second comment", () => {
    const lines = named(`${"plate ".repeat(30)}end`);
    expect(lines[1]).toMatch(/^\(job plate .*\)$/);
    expect(lines[2]).toMatch(/^\(plate .*\)$/);
    expect(Math.max(...lines.map((l) => l.length))).toBeLessThanOrEqual(80);
  });

  test("a long reason stands above its stop, which still names the feature", () => {
    const lines = named("x", `opening-1: ${"hold it well ".repeat(12)}`);
    const at = lines.findIndex((l) => l.includes("M00"));
    expect(lines[at]).toMatch(/M00 \(opening-1\)$/);
    expect(lines[at - 1]).toContain("hold it well");
  });

  test("a reason that forgets the feature is given it", () => {
    expect(
      named("x").some((l) => l.endsWith("M00 (opening-1: secure it)")),
    ).toBe(true);
  });
});

test("a program of more than 999 blocks gets wider numbers", () => {
  const many = Array.from({ length: 40 }, (_, i) => ({
    ...SQUARE,
    id: `opening-${i + 1}`,
    center: vec(20 * i, 0),
  }));
  const blocks = linesOf(planOf(many)).filter((l) => l.startsWith("N"));
  expect(blocks.length).toBeGreaterThan(1000);
  expect(blocks[0]).toMatch(/^N00010 /);
  expect(blocks.at(-1)).toBe(`N${blocks.length * 10} M30`);
});
