import { describe, expect, test } from "vitest";
import { circleContour, polygonContour } from "../../src/geometry/contour.js";
import { vec } from "../../src/geometry/vec.js";
import type { Layout } from "../../src/plan/feature.js";
import type { JobFile } from "../../src/plan/job/file.js";
import type { Plan } from "../../src/plan/plan.js";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";
import { writeProgram } from "../../src/program/write.js";
import type { Proof } from "../../src/proof/proof.js";
import { prove } from "../../src/proof/prove.js";
import {
  planOf,
  type Shape,
  SQUARE as SQUARE_SHAPE,
} from "../helpers/plans.js";
import {
  CUT_WIRE,
  feature,
  HEAD,
  JOB,
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
} from "../helpers/programs.js";
import { proved } from "../helpers/proved.js";

test("a proof tells how far it is, from nothing to all of it, and never less than before", () => {
  const program = readProgram(squareProgram(JOB).join("\n"), NEUTRAL);
  const told: [number, number][] = [];
  const proof = prove(program, SQUARE, JOB, (...step) => told.push(step));
  // Who listens gets the same proof.
  expect(proof).toEqual(prove(program, SQUARE, JOB));
  const done = told.map(([n]) => n);
  expect(done.length).toBeGreaterThan(2);
  expect(done).toEqual([...done].sort((a, b) => a - b));
  expect(new Set(told.map(([, total]) => total)).size).toBe(1);
  const [last, total] = told.at(-1) ?? [0, 1];
  expect(last).toBe(total);
});

describe("figures worked out by hand", () => {
  test("a sharp inside corner keeps 0.06006097 mm when the offset is 0.145", () => {
    // r(√2 - 1) with r = 0.145; one pass of gap 0.02 and wire 0.25.
    const job = jobOf({ passes: [{ kind: "rough", gap: 0.02, leave: 0 }] });
    const proof = proveText(squareProgram(job), SQUARE, job);
    expect(proof.ok).toBe(true);
    const note = proof.findings.find((f) => f.code === "proof/corner-stays");
    expect(note?.severity).toBe("note");
    expect(note?.message).toContain("at 4 places");
    expect(note?.message).toContain("0.0601 mm");
  });

  test("a pass that stays 0.01 mm too far off leaves 0.01 mm everywhere", () => {
    const thin = jobOf({ passes: [{ kind: "rough", gap: 0.01, leave: 0 }] });
    const thick = jobOf({ passes: [{ kind: "rough", gap: 0.02, leave: 0 }] });
    const proof = proveText(squareProgram(thick), SQUARE, thin);
    // Most of all where the thinner path would turn in its corner: √(0.145² + 0.01²) - 0.135.
    expect(proof.maxExcess).toBeCloseTo(Math.hypot(0.145, 0.01) - 0.135, 6);
    expect(proof.maxGouge).toBe(0);
    expect(proof.coverage).toBeLessThan(1e-4);
    expect(proof.ok).toBe(false);
  });

  test("a pass that comes 0.01 mm too near gouges by 0.01 mm", () => {
    const thin = jobOf({ passes: [{ kind: "rough", gap: 0.01, leave: 0 }] });
    const thick = jobOf({ passes: [{ kind: "rough", gap: 0.02, leave: 0 }] });
    const proof = proveText(squareProgram(thin), SQUARE, thick);
    expect(proof.maxGouge).toBeCloseTo(0.01, 9);
    // Too deep is not too little: no stock of 0 mm is said to stay.
    const codes = proof.findings.map((f) => f.code);
    expect(codes).toContain("proof/gouge");
    expect(codes).not.toContain("proof/excess");
    expect(proof.ok).toBe(false);
  });

  test("the slug of a square of 10 mm weighs what its kerf leaves", () => {
    // Rough at 0.21, half kerf 0.155: side 10 - 2 · 0.365 = 9.27, less the lead's slot of 0.31 from the hole at y = 0
    // to the slug's edge at -4.635, its round head on top (half a disc of 0.155), the edge's own half kerf included.
    const area = 9.27 ** 2 - 4.635 * 0.31 - (Math.PI * 0.155 ** 2) / 2;
    const [slug] = proveText(squareProgram()).loosePieces;
    // 25 mm of tool steel, 7.85 g/cm³ (handbooks: 7.70 to 7.85). The ways between stand-offs take another 0.2 mm².
    const mass = (mm2: number): number => mm2 * 25 * 7.85e-6;
    expect(slug?.mass).toBeLessThan(mass(area));
    expect(slug?.mass).toBeGreaterThan(mass(area - 0.2));
  });

  test("a punch of 10 × 10 × 25 weighs 19.625 g", () => {
    const proof = proveText(punchProgram(), PUNCH);
    expect(proof.loosePieces).toMatchObject([
      {
        feature: "part-1",
        attended: true,
        line: expect.any(Number),
        mass: 10 * 10 * 25 * 7.85e-6,
      },
    ]);
  });

  test("the punch's tab is cut on the last pass only: 1.4 of 41.3195 mm are missing from the rough", () => {
    // Path 0.21 outside: 4 · 10 + 2π · 0.21 = 41.31947. The round ends of the kerf reach on within 0.3 µm;
    // those of other passes brush it for a few µm.
    const end = Math.sqrt(0.2103 ** 2 - 0.21 ** 2);
    const proof = proveText(punchProgram(), PUNCH);
    expect(proof.ok).toBe(true);
    expect(proof.passes.map((p) => p.pass)).toEqual([1, 2, 3]);
    expect(proof.passes[0]?.reached).toBeCloseTo(
      1 - (1.4 - 2 * end) / 41.31947,
      3,
    );
    expect(proof.passes[2]?.reached).toBe(1);
  });
});

describe("a part cut out of its block", () => {
  const around = (margin: number) => squareContour(10 + 2 * margin);
  const loose = (layout: Layout): Proof => proveText(punchProgram(), layout);

  test("with a block all round it, drawn or not, the part is what comes loose", () => {
    for (const stock of [null, around(10), around(4.5)]) {
      const proof = loose({ ...PUNCH, stock });
      expect(proof.ok).toBe(true);
      expect(proof.loosePieces.map((p) => p.feature)).toEqual(["part-1"]);
    }
  });

  test("in a block whose edge the kerf eats away the part still is, not the rim", () => {
    // Start hole 4 mm below the part: in the air, outside a block that leaves 3 mm all round.
    const proof = loose({ ...PUNCH, stock: around(3) });
    expect(proof.loosePieces.map((p) => [p.feature, p.attended])).toEqual([
      ["part-1", true],
    ]);
    expect(proof.loosePieces[0]?.mass).toBeCloseTo(0.019625, 6);
    expect(proof.ok).toBe(true);
  });

  test("a strip that a straight cut takes off a block is told of", () => {
    // From air to air, 6 mm to the right of the punch's middle: the right-hand strip of the block falls.
    const strip = [
      "G00 X6.5 Y-12.",
      "T1 M06",
      "M08",
      "G01 X6.5 Y12.",
      ...CUT_WIRE,
    ];
    const lines = punchProgram();
    const proof = proveText(
      [...lines.slice(0, 2), ...strip, ...lines.slice(2)],
      { ...PUNCH, stock: around(5) },
    );
    expect(proof.findings.map((f) => f.code)).toContain(
      "proof/loose-unattended",
    );
    expect(proof.loosePieces).toHaveLength(2);
    // 20 mm high, from 6.5 + 0.155 (half of a kerf of 0.31) to the edge at 10.
    expect(proof.loosePieces[0]?.mass).toBeCloseTo(
      20 * (10 - 6.655) * 25 * 7.85e-6,
      5,
    );
  });

  test("with a deep slot, on whose floor the rough left stock, its tab is known for one", () => {
    // On the level of the slot's floor, 1.5, the widest stretch of what comes loose lies in the 0.055 the rough left.
    const u = polygonContour([
      vec(0, 0),
      vec(9, 0),
      vec(9, 12),
      vec(6, 12),
      vec(6, 1.5),
      vec(3, 1.5),
      vec(3, 12),
      vec(0, 12),
    ]);
    const layout = layoutOf([feature("part-1", "part", u)]);
    const { proof } = proved(layout, { passes: 3 });
    const [piece] = proof.loosePieces;
    expect(piece?.feature).toBe("part-1");
    expect(piece?.at[1]).toBeGreaterThan(1.5);
  });

  test("a hole bored beforehand takes its share of the web between two cuts", () => {
    // Two openings' rough ends lie 1.4 mm apart; a bore of 1.2 mm in the tab leaves nothing to hold.
    const proof = proveText(squareProgram(), {
      ...SQUARE,
      holes: [{ at: vec(0, -4.6), diameter: 1.2 }],
    });
    expect(proof.findings.map((f) => f.code)).toContain(
      "proof/loose-unattended",
    );
  });
});

describe("features within features", () => {
  const ring = layoutOf([
    feature("part-1", "part", squareContour(30)),
    feature("opening-1", "opening", squareContour(10), 1, "part-1"),
  ]);
  const plan = (shapes: Shape[]): string =>
    writeProgram(planOf(shapes), NEUTRAL);
  const inner: Shape = SQUARE_SHAPE;
  const outer: Shape = {
    ...SQUARE_SHAPE,
    id: "part-1",
    role: "part",
    size: 30,
  };

  test("a window in a punch: the window's slug, then the punch, without the window's weight", () => {
    const proof = prove(readProgram(plan([inner, outer]), NEUTRAL), ring, JOB);
    expect(proof.ok).toBe(true);
    expect(proof.loosePieces.map((p) => p.feature)).toEqual([
      "opening-1",
      "part-1",
    ]);
    // 30² less the window.
    expect(proof.loosePieces[1]?.mass).toBeCloseTo(
      (900 - 100) * 25 * 7.85e-6,
      9,
    );
  });

  test("a wire that stays in the window's waste but ends beyond it cuts kept metal", () => {
    const text = plan([inner, outer]).replace(
      /(T1 M06\n.*M08\n)/,
      "$1G01 X8. Y0.\nG01 X0. Y0.\n",
    );
    const proof = prove(readProgram(text, NEUTRAL), ring, JOB);
    const fault = proof.findings.find((f) => f.code === "proof/in-kept-metal");
    // To x = 8 from an edge at x = 5: 3 mm and half a kerf, at the rough's gap.
    expect(proof.maxGouge).toBeCloseTo(3.155, 2);
    expect(fault?.where?.[0]).toBeCloseTo(8, 1);
  });
});

describe("what the writer writes is proved", () => {
  const shapes: Shape[] = [
    SQUARE_SHAPE,
    {
      ...SQUARE_SHAPE,
      id: "opening-2",
      kind: "circle",
      center: vec(30, 3.3333),
    },
    {
      ...SQUARE_SHAPE,
      id: "opening-3",
      kind: "circle",
      center: vec(60.7, 0.1),
      size: 7.77,
    },
  ];
  const punches: Shape[] = [
    { ...SQUARE_SHAPE, id: "part-1", role: "part" },
    {
      ...SQUARE_SHAPE,
      id: "part-2",
      role: "part",
      kind: "circle",
      center: vec(30, 3.3333),
    },
  ];
  const proven = (plan: Plan): Proof =>
    prove(
      readProgram(writeProgram(plan, NEUTRAL), NEUTRAL),
      {
        features: plan.features,
        stock: plan.stock,
        holes: [],
        tabMarks: [],
        slits: [],
        keepOff: [],
      },
      plan.job,
    );

  test.each([
    ["as a path, mm", {}],
    ["by the control, mm", { program: { compensation: "control" } }],
    ["as a path, inches", { units: "in" }],
    [
      "by the control, inches",
      { units: "in", program: { compensation: "control" } },
    ],
    ["in one pass", { passes: 1 }],
    ["in five passes", { passes: 5 }],
    ["with a thin wire", { wire: { diameter: 0.1 }, passes: 2 }],
    ["on a coarse grid", { program: { resolution: 0.0002 } }],
  ] as [string, JobFile][])("%s", (_, job) => {
    for (const list of [shapes, punches]) {
      const proof = proven(planOf(list, job));
      expect(proof.findings.filter((f) => f.severity === "error")).toEqual([]);
      expect(proof.ok).toBe(true);
      expect(proof.coverage).toBe(1);
      expect([...new Set(proof.loosePieces.map((p) => p.feature))]).toEqual(
        list.map((s) => s.id),
      );
      expect(proof.maxGouge).toBeLessThan(0.0003);
    }
  });
});

test("a grid of 0.001 mm is named as the likely cause where the edge is cut into, and nowhere else", () => {
  const coarse = jobOf({ program: { resolution: 0.001 } });
  const codesOf = (program: string[], job = coarse) =>
    proveText(program, SQUARE, job).findings.map((f) => f.code);
  const into = squareProgram().map((l) => l.replaceAll("X4.8650", "X4.8660"));
  expect(into).not.toEqual(squareProgram());
  expect(codesOf(into)).toEqual(
    expect.arrayContaining(["proof/gouge", "proof/coarse-grid"]),
  );
  expect(codesOf(into, JOB)).not.toContain("proof/coarse-grid");
  expect(codesOf(squareProgram())).not.toContain("proof/coarse-grid");
});

describe("programs typed by hand", () => {
  test("lower case, no N, no spaces, no repeated words, no %", () => {
    const typed = squareProgram()
      .filter((l) => l !== "%")
      .map((l) =>
        l.startsWith("M00") ? l : l.toLowerCase().replace(/ /g, ""),
      );
    const proof = proveText(typed);
    expect(proof.findings.filter((f) => f.severity !== "note")).toEqual([]);
    expect(proof.ok).toBe(true);
  });

  test("increments instead of places", () => {
    let x = 0;
    let y = 0;
    const relative = squareProgram().map((l) => {
      const to = /X(\S+) Y(\S+)/.exec(l);
      if (!to || l.startsWith("G00")) {
        if (to) [x, y] = [Number(to[1]), Number(to[2])];
        return to ? `G90 ${l}` : l;
      }
      const [nx, ny] = [Number(to[1]), Number(to[2])];
      const text = `G91 ${l.replace(to[0], `X${(nx - x).toFixed(4)} Y${(ny - y).toFixed(4)}`)}`;
      [x, y] = [nx, ny];
      return text;
    });
    expect(proveText(relative).ok).toBe(true);
  });

  test("without flushing words: only a warning", () => {
    const dry = squareProgram().filter((l) => l !== "M08" && l !== "M09");
    const proof = proveText(dry);
    expect(proof.ok).toBe(true);
    expect(proof.findings.map((f) => f.code)).toContain("proof/flushing-off");
  });

  test("stops anywhere else do no harm", () => {
    const lines = squareProgram().toSpliced(
      4,
      0,
      "M00 (look at the wire)",
      "M01",
    );
    expect(proveText(lines).ok).toBe(true);
  });

  test("a slug under the job's minSlugArea may not fall by itself either", () => {
    const job = jobOf({ tabs: { minSlugArea: 200 } });
    const unattended = squareProgram(job).filter((l) => !l.startsWith("M00"));
    const proof = proveText(unattended, SQUARE, job);
    expect(proof.ok).toBe(false);
    expect(proof.findings.map((f) => f.code)).toContain(
      "proof/loose-unattended",
    );
  });
});

describe("a chip cut out of the slug on the way", () => {
  // A little square round the waste's middle, cut before anything else: what is left in it is its side less the kerf.
  const chip = (side: number): string[] => [
    "G00 X-2. Y-2.",
    "T1 M06",
    "M08",
    `G91 G01 X${side} Y0.`,
    `G01 X0. Y${side}`,
    `G01 X-${side} Y0.`,
    `G01 X0. Y-${side}`,
    "G90",
    ...CUT_WIRE,
  ];
  const withChip = (side: number): Proof =>
    proveText(squareProgram().toSpliced(2, 0, ...chip(side)));

  test("0.09 mm a side is a crumb: told, not failed", () => {
    // 0.4 - 0.31.
    const proof = withChip(0.4);
    expect(proof.ok).toBe(true);
    expect(proof.findings.map((f) => f.code)).toContain("proof/crumb");
    expect(proof.loosePieces).toHaveLength(1);
  });

  test("0.69 mm a side is a piece, and falls with nobody there", () => {
    // 1 - 0.31; its weight 0.69² · 25 · 7.85e-6 kg.
    const proof = withChip(1);
    expect(proof.ok).toBe(false);
    expect(proof.findings.map((f) => f.code)).toContain(
      "proof/loose-unattended",
    );
    expect(proof.loosePieces[0]?.mass).toBeCloseTo(0.69 ** 2 * 25 * 7.85e-6, 7);
    // Freed by the last side: the third still leaves it hanging.
    expect(proof.loosePieces[0]?.line).toBe(9);
  });

  test("less than the kerf is consumed whole", () => {
    const proof = withChip(0.3);
    expect(proof.ok).toBe(true);
    expect(proof.findings.map((f) => f.code)).not.toContain("proof/crumb");
  });
});

describe("hard places", () => {
  test("a slot the wire does not fit into is not proved by leaving it uncut", () => {
    const slot = layoutOf([
      feature(
        "opening-1",
        "opening",
        polygonContour([vec(0, 0), vec(10, 0), vec(10, 0.2), vec(0, 0.2)]),
      ),
    ]);
    const proof = proveText([...HEAD, ...TAIL], slot);
    expect(proof.ok).toBe(false);
    expect(proof.findings.map((f) => f.code)).toContain("proof/does-not-fit");
  });

  test("an empty program proves nothing", () => {
    const proof = proveText([...HEAD, ...TAIL], ROUND);
    expect(proof.ok).toBe(false);
    expect(proof.coverage).toBe(0);
    // The circle is 20 mm across.
    expect(proof.maxExcess).toBe(20);
    expect(proveText([...HEAD, ...TAIL], layoutOf([])).ok).toBe(false);
  });

  test("a bulb behind a neck comes loose when the wire comes back through the neck", () => {
    // Two squares of 10 joined by a neck 0.6 wide: the two ways through it, 0.29 apart, are one kerf of 0.6.
    const n = 0.3;
    const outline = polygonContour([
      vec(-15, -5),
      vec(-5, -5),
      vec(-5, -n),
      vec(5, -n),
      vec(5, -5),
      vec(15, -5),
      vec(15, 5),
      vec(5, 5),
      vec(5, n),
      vec(-5, n),
      vec(-5, 5),
      vec(-15, 5),
    ]);
    const job = jobOf({ passes: [{ kind: "rough", gap: 0.03, leave: 0 }] });
    const o = 0.155;
    const q = (x: number, y: number): string =>
      `G01 X${x.toFixed(4)} Y${y.toFixed(4)}`;
    const roll = (x: number, y: number, i: number, j: number): string =>
      `G02 X${x.toFixed(4)} Y${y.toFixed(4)} I${i.toFixed(4)} J${j.toFixed(4)}`;
    const lines = [
      ...HEAD,
      "G00 X-12. Y0.",
      "T1 M06",
      "M08",
      q(-12, -5 + o),
      q(-5 - o, -5 + o),
      q(-5 - o, -n),
      roll(-5, -n + o, o, 0),
      q(5, -n + o),
      roll(5 + o, -n, 0, -o),
      q(5 + o, -5 + o),
      q(15 - o, -5 + o),
      q(15 - o, 5 - o),
      q(5 + o, 5 - o),
      q(5 + o, n),
      roll(5, n - o, -o, 0),
      q(-5, n - o),
      roll(-5 - o, n, 0, o),
      q(-5 - o, 5 - o),
      q(-15 + o, 5 - o),
      q(-15 + o, -5 + o),
      q(-13, -5 + o),
      ...CUT_WIRE,
      ...TAIL,
    ];
    const proof = proveText(
      lines,
      layoutOf([feature("opening-1", "opening", outline)]),
      job,
    );
    const neck = lines.findIndex((l) => l === q(-5, n - o)) + 1;
    const [core] = proof.loosePieces;
    expect(core?.attended).toBe(false);
    expect(core?.line).toBeLessThanOrEqual(neck);
    expect(core?.line).toBeGreaterThanOrEqual(neck - 1);
    // The bulb's core: side 10 - 2 · 0.31.
    expect(core?.mass).toBeCloseTo(9.38 ** 2 * 25 * 7.85e-6, 4);
  });

  test("a circle is proved whichever way it is split", () => {
    const at = roundProgram().findIndex((l) => l.startsWith("G03"));
    // The first quarter in two eighths: 9.79 · √½ = 6.9226.
    const lines = roundProgram().toSpliced(
      at,
      1,
      "G03 X6.9226 Y-6.9226 I0.0000 J9.7900",
      "G03 X9.7900 Y0.0000 I-6.9226 J6.9226",
    );
    expect(proveText(lines, ROUND).ok).toBe(true);
    expect(
      proveText(
        lines,
        layoutOf([
          feature("opening-1", "opening", circleContour(vec(0, 0), 10.001)),
        ]),
      ).ok,
    ).toBe(false);
  });
});
