/** Slits as a user draws them: open lines on a layer of their own, through the whole way. */
import { describe, expect, it } from "vitest";
import { distanceToSegment } from "../../../src/geometry/distance.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import type { Plan } from "../../../src/plan/plan.js";
import { readProgram } from "../../../src/program/trace.js";
import { NEUTRAL } from "../../../src/program/words.js";
import { writeProgram } from "../../../src/program/write.js";
import { prove } from "../../../src/proof/prove.js";
import { drawPreview } from "../../../src/report/preview.js";
import { type Outcome, planDrawing } from "../../../src/run.js";
import { dxfText, type Tags } from "../../helpers/dxf.js";

type Point = readonly [x: number, y: number];

const circle = (layer: string, [x, y]: Point, r: number): Tags => [
  0,
  "CIRCLE",
  8,
  layer,
  10,
  x,
  20,
  y,
  40,
  r,
];
const line = (layer: string, a: Point, b: Point): Tags => [
  0,
  "LINE",
  8,
  layer,
  10,
  a[0],
  20,
  a[1],
  11,
  b[0],
  21,
  b[1],
];
const box = (layer: string, x: number, y: number, w: number, h: number) => [
  line(layer, [x, y], [x + w, y]),
  line(layer, [x + w, y], [x + w, y + h]),
  line(layer, [x + w, y + h], [x, y + h]),
  line(layer, [x, y + h], [x, y]),
];

/** A ring of 40 mm round a bore of 16 mm, in a round blank. */
const RING = [
  circle("BLANK", [0, 0], 30),
  circle("RING", [0, 0], 20),
  circle("BORE", [0, 0], 8),
];
const ROLES = {
  BLANK: "stock",
  RING: "part",
  BORE: "opening",
  SLIT: "slit",
} as const;

function cut(entities: readonly Tags[], job: JobFile = {}): Outcome {
  return planDrawing({
    name: "slits",
    drawing: dxfText(entities),
    job: JSON.stringify({
      units: "mm",
      stock: { material: "tool-steel", thickness: 10 },
      wire: { diameter: 0.25 },
      passes: [
        { kind: "rough", gap: 0.03, leave: 0.05 },
        { kind: "skim", gap: 0.01, leave: 0 },
      ],
      roles: { layers: ROLES },
      ...job,
    }),
  });
}

const errors = (o: Outcome): string[] =>
  o.findings.filter((f) => f.severity === "error").map((f) => f.code);
const order = (plan: Plan): string[] =>
  plan.steps.map((s) =>
    s.kind === "cut"
      ? `${s.feature}${s.attended ? " attended" : ""}`
      : s.action,
  );
/** Every place of the program that the wire is threaded at or fed to, in the lines of one slit. */
const movesOf = (o: Outcome, slit: string): [number, number][] => {
  const lines = (o.program ?? "").split("\n");
  const from = lines.findIndex((l) => l.startsWith(`(${slit} pass`));
  const to = lines.findIndex((l, i) => i > from && l.includes("M09"));
  return lines.slice(from, to).flatMap((l) => {
    const m = /X(-?[\d.]+) Y(-?[\d.]+)/.exec(l);
    return m ? [[Number(m[1]), Number(m[2])] as [number, number]] : [];
  });
};

describe("a clamp slit from the bore of a ring to its outside", () => {
  const o = cut([...RING, line("SLIT", [8, 0], [20, 0])]);

  it("is planned, written and proved, with nothing loose but the slug and the ring", () => {
    expect(errors(o)).toEqual([]);
    expect(o.ok).toBe(true);
    expect(o.proof?.coverage).toBe(1);
    expect(o.proof?.loosePieces.map((p) => p.feature).sort()).toEqual([
      "opening-1",
      "part-1",
    ]);
  });

  it("is cut once the slug is out and before the ring comes free, and needs nobody", () => {
    const steps = order(o.plan);
    expect(steps).toContain("slit-1");
    const at = steps.indexOf("slit-1");
    expect(at).toBeGreaterThan(steps.indexOf("opening-1 attended"));
    expect(at).toBeGreaterThan(steps.indexOf("part-1"));
    expect(at).toBeLessThan(steps.indexOf("part-1 attended"));
  });

  it("keeps the wire's centre on the drawn line from edge to edge", () => {
    const moves = movesOf(o, "slit-1");
    for (const [, y] of moves) expect(y).toBe(0);
    const xs = moves.map(([x]) => x);
    expect(Math.min(...xs)).toBeLessThanOrEqual(8);
    // The outside is round: half the slit's width, 0.155 mm, off its line the edge lies 0.6 µm farther in.
    expect(Math.max(...xs)).toBeGreaterThanOrEqual(20 - 0.001);
    expect(Math.max(...xs)).toBeLessThan(20.5);
  });

  it("is threaded in the empty bore, clear of its edge by the wire, its gap and more", () => {
    const hole = o.plan.slits[0]?.startHole;
    expect(hole?.diameter).toBe(0);
    expect(8 - Math.hypot(hole?.at.x ?? 8, hole?.at.y ?? 0)).toBeGreaterThan(
      0.155,
    );
    expect(
      o.proof?.threadPlaces.find((t) => t.feature === "slit-1")?.room,
    ).toBe("cut");
  });

  it("is as wide as the wire and a gap on either side", () => {
    expect(o.plan.slits[0]?.width).toBeCloseTo(0.25 + 2 * 0.03, 12);
    expect(o.plan.slits[0]?.length).toBeCloseTo(12, 9);
  });

  it.each([
    ["drawn the other way round", [line("SLIT", [20, 0], [8, 0])], {}],
    ["drawn on past both edges", [line("SLIT", [7, 0], [21, 0])], {}],
    ["one by one", [line("SLIT", [8, 0], [20, 0])], { order: "one-by-one" }],
    [
      "with stress relief",
      [line("SLIT", [8, 0], [20, 0])],
      { stressRelief: true },
    ],
    [
      "where the control offsets the other passes",
      [line("SLIT", [8, 0], [20, 0])],
      { program: { compensation: "control" } },
    ],
    [
      "leaving the edge at a slant",
      [line("SLIT", [8 * Math.cos(0.5), 8 * Math.sin(0.5)], [20, 0])],
      {},
    ],
    [
      "with a bend",
      [line("SLIT", [8, 0], [14, 0]), line("SLIT", [14, 0], [14, 15])],
      {},
    ],
  ] as const)("is proved as well %s", (_, slit, job) => {
    const other = cut([...RING, ...slit], job as JobFile);
    expect(errors(other)).toEqual([]);
    expect(other.ok).toBe(true);
    expect(other.plan.slits).toHaveLength(1);
  });
});

describe("where a slit begins", () => {
  const inside = line("SLIT", [11, 0], [16, 0]);

  it("in a hole that is drawn at its end, with no warning", () => {
    const o = cut([...RING, inside, circle("HOLES", [11, 0], 0.6)], {
      startHoles: { layer: "HOLES" },
    });
    expect(o.ok).toBe(true);
    expect(o.plan.slits[0]?.startHole).toEqual({
      at: { x: 11, y: 0 },
      diameter: 1.2,
      drawn: true,
    });
    expect(o.findings.map((f) => f.code)).not.toContain("slit/own-hole");
  });

  it("else in a hole of its own, of which a warning says that it stays", () => {
    const o = cut([...RING, inside]);
    expect(o.ok).toBe(true);
    const warning = o.findings.find((f) => f.code === "slit/own-hole");
    expect(warning?.severity).toBe("warning");
    expect(o.plan.slits[0]?.startHole.diameter).toBeGreaterThan(0.31);
  });

  it("at the end that the job names", () => {
    const o = cut([...RING, inside], {
      features: { "slit-1": { startHole: [16, 0] } },
    });
    expect(o.ok).toBe(true);
    expect(o.plan.slits[0]?.startHole.at).toEqual({ x: 16, y: 0 });
    expect(o.findings.map((f) => f.code)).not.toContain("slit/own-hole");
  });

  it.each([
    ["on the bore, where it is threaded in the open", [8, 0], 0],
    ["on the ring's outside, from a hole in the waste", [20, 0], 20],
  ] as const)(
    "at either end of a slit from edge to edge: %s",
    (_, end, least) => {
      const o = cut([...RING, line("SLIT", [8, 0], [20, 0])], {
        features: { "slit-1": { startHole: [...end] } },
      });
      expect(errors(o)).toEqual([]);
      expect(o.ok).toBe(true);
      const { at, diameter } = o.plan.slits[0]?.startHole ?? {};
      expect(diameter === 0).toBe(least === 0);
      expect(at?.x).toBeGreaterThan(least);
      // Away from the end on its own side of the ring.
      expect(Math.abs((at?.x ?? 0) - end[0])).toBeLessThan(3);
    },
  );

  it("and nowhere else", () => {
    const o = cut([...RING, inside], {
      features: { "slit-1": { startHole: [13, 0] } },
    });
    expect(errors(o)).toEqual(["start-hole/refused"]);
    expect(o.program).toBeNull();
  });

  it("from the open beside the block, where nothing else is cut", () => {
    const o = cut([
      ...box("BLANK", 0, 0, 40, 20),
      line("SLIT", [40, 10], [25, 10]),
    ]);
    expect(errors(o)).toEqual([]);
    expect(o.ok).toBe(true);
    expect(o.plan.slits[0]?.startHole.at.x).toBeGreaterThan(41);
    expect(order(o.plan)).toEqual(["slit-1"]);
  });

  it("without a place for the wire it is refused", () => {
    // 0.7 mm of metal on either side: no drill with 0.5 mm of clearance fits.
    const o = cut(
      [
        ...box("BORE", 0, 0, 20, 10),
        ...box("BORE", 0, 11.4, 20, 10),
        line("SLIT", [5, 10.7], [15, 10.7]),
      ],
      {
        roles: { layers: ROLES, outer: "opening" },
        startHoles: { diameter: 0.5 },
      },
    );
    expect(errors(o)).toContain("slit/no-start");
  });
});

it("is advised where a line is open on a layer without that role", () => {
  const o = cut([...RING, line("CUTS", [8, 0], [20, 0])]);
  const open = o.findings.find((f) => f.code === "outline/not-closed");
  expect(open?.message).toContain("role slit");
});

describe("what a slit may not do", () => {
  const halves = [
    ...RING,
    line("SLIT", [8, 0], [20, 0]),
    line("SLIT", [-8, 0], [-20, 0]),
  ];
  const joined = [
    ...box("BLANK", 0, 0, 60, 40),
    ...box("BORE", 10, 10, 10, 20),
    ...box("BORE", 40, 10, 10, 20),
    line("SLIT", [20, 15], [40, 15]),
    line("SLIT", [20, 25], [40, 25]),
  ];
  const across = [
    ...box("BLANK", 0, 0, 40, 20),
    line("SLIT", [0, 10], [40, 10]),
  ];

  it.each([
    ["the ring into halves", halves],
    ["the web between two openings out of the plate", joined],
    ["the block in two", across],
    [
      "a piece out of the blank about the ring",
      [
        ...RING,
        line("SLIT", [8, 0], [25, 0]),
        line("SLIT", [25, 0], [25, 5]),
        line("SLIT", [25, 5], [17, 5]),
      ],
    ],
  ])(
    "cut %s: the plan says so, and so does the proof of the program",
    (_, drawing) => {
      const o = cut(drawing);
      expect(errors(o)).toEqual(["slit/frees-piece"]);
      expect(o.program).toBeNull();
      const text = writeProgram(o.plan, NEUTRAL);
      const proof = prove(readProgram(text, NEUTRAL), o.laidOut, o.plan.job);
      expect(proof.ok).toBe(false);
      expect(
        proof.findings.filter((f) => f.severity === "error").map((f) => f.code),
      ).toContain("proof/slit-frees");
    },
  );

  it("cut a slug in two before it is out: through an opening it goes once the slug is gone", () => {
    const o = cut(
      [
        ...box("BLANK", 0, 0, 60, 40),
        ...box("BORE", 20, 10, 10, 20),
        line("SLIT", [15, 20], [40, 20]),
      ],
      { features: { "slit-1": { startHole: [15, 20] } } },
    );
    expect(errors(o)).toEqual([]);
    expect(o.ok).toBe(true);
    expect(order(o.plan).at(-1)).toBe("slit-1");
  });

  it("join two openings once: nothing comes loose", () => {
    const o = cut(joined.slice(0, -1));
    expect(errors(o)).toEqual([]);
    expect(o.ok).toBe(true);
  });

  it("graze an edge: half its width is 0.155 mm, and 0.1 mm is too near", () => {
    const grazing = [...RING, line("SLIT", [-5, 8.1], [5, 8.1])];
    const o = cut(grazing);
    expect(errors(o)).toEqual(["slit/too-close"]);
    const text = writeProgram(o.plan, NEUTRAL);
    const proof = prove(readProgram(text, NEUTRAL), o.laidOut, o.plan.job);
    expect(proof.findings.map((f) => f.code)).toContain("proof/slit-gouge");
  });

  it("be closed, or lie in what falls away", () => {
    expect(errors(cut([...RING, circle("SLIT", [14, 0], 2)]))).toContain(
      "slit/closed",
    );
    expect(errors(cut([...RING, line("SLIT", [-3, 0], [3, 0])]))).toContain(
      "slit/in-waste",
    );
  });

  it("have a tab or be an opening", () => {
    const slit = line("SLIT", [8, 0], [16, 0]);
    expect(
      errors(
        cut([...RING, slit], {
          features: { "slit-1": { tab: { at: [10, 0] } } },
        }),
      ),
    ).toContain("slit/by-hand");
    expect(
      errors(
        cut([...RING, slit], { features: { "slit-1": { role: "opening" } } }),
      ),
    ).toContain("slit/open");
  });

  it("stand where the tab is: the tab of the ring keeps off it", () => {
    const o = cut([...RING, line("SLIT", [0, -8], [0, -20])]);
    expect(o.ok).toBe(true);
    for (const { tab } of o.plan.features)
      expect(
        Math.abs(tab?.at.x ?? 0) + ((tab?.at.y ?? 0) > 0 ? 10 : 0),
      ).toBeGreaterThan(0.5);
  });
});

it("a slit that the job ignores is not cut, and is no error", () => {
  const o = cut([...RING, line("SLIT", [8, 0], [20, 0])], {
    features: { "slit-1": { role: "ignore" } },
  });
  expect(o.ok).toBe(true);
  expect(o.plan.slits).toEqual([]);
});

it("an open line on a layer that is no slit's stays an error", () => {
  const o = cut([...RING, line("RING", [8, 0], [20, 0])]);
  expect(errors(o)).toContain("outline/not-closed");
});

describe("the proof of a program with a slit that somebody changed", () => {
  const o = cut([...RING, line("SLIT", [8, 0], [17, 0])]);
  const proofOf = (change: (line: string) => string) => {
    const lines = (o.program ?? "").split("\n");
    const from = lines.findIndex((l) => l.startsWith("(slit-1 pass"));
    const to = lines.findIndex((l, i) => i > from && l.includes("M09"));
    const text = lines
      .map((l, i) => (i > from && i < to ? change(l) : l))
      .join("\n");
    expect(text).not.toBe(o.program);
    return prove(readProgram(text, NEUTRAL), o.laidOut, o.plan.job)
      .findings.filter((f) => f.severity === "error")
      .map((f) => f.code);
  };

  it("finds a slit that ends a tenth of a millimetre short", () => {
    expect(proofOf((l) => l.replace("X17.0", "X16.9"))).toEqual([
      "proof/slit-missing",
    ]);
  });

  it("finds one that runs a hundredth of a millimetre too far", () => {
    expect(proofOf((l) => l.replace("X17.0000", "X17.0100"))).toContain(
      "proof/in-kept-metal",
    );
  });

  it("finds one that runs a hundredth of a millimetre beside its line", () => {
    expect(proofOf((l) => l.replace("Y0.0000", "Y0.0100"))).toContain(
      "proof/in-kept-metal",
    );
  });
});

it("every point of a curved slit's path lies on the arc that was drawn", () => {
  const o = cut([
    ...RING,
    [0, "ARC", 8, "SLIT", 10, 0, 20, 0, 40, 14, 50, 20, 51, 200],
  ]);
  expect(o.ok).toBe(true);
  const [first] = o.plan.slits[0]?.contour.segments ?? [];
  for (const [x, y] of movesOf(o, "slit-1")) {
    expect(Math.abs(Math.hypot(x, y) - 14)).toBeLessThan(0.0002);
    if (first) expect(distanceToSegment(first, x, y)).toBeLessThan(0.001);
  }
});

it("on a coarse grid a slit's line goes to the nearest step, for neither of its walls is the finished one", () => {
  const o = cut([...RING, line("SLIT", [8, 0.0007], [20, 0.0007])], {
    program: { resolution: 0.002 },
  });
  expect(o.ok).toBe(true);
  expect(movesOf(o, "slit-1").length).toBeGreaterThan(1);
  for (const [, y] of movesOf(o, "slit-1")) expect(y).toBe(0);
});

it("the picture names every slit", () => {
  const o = cut([
    ...RING,
    line("SLIT", [8, 0], [20, 0]),
    line("SLIT", [-8, 0], [-17, 0]),
  ]);
  const picture = drawPreview(o.plan);
  for (const { id } of o.plan.slits) expect(picture).toContain(`>${id}<`);
});
