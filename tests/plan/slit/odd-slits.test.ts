/** Slits as they are drawn now and then: several from one place, into a slug, along an edge, back on themselves. */
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../../src/plan/job/file.js";
import { readProgram } from "../../../src/program/trace.js";
import { NEUTRAL } from "../../../src/program/words.js";
import { writeProgram } from "../../../src/program/write.js";
import { prove } from "../../../src/proof/prove.js";
import { type Outcome, planDrawing } from "../../../src/run.js";
import { dxfText, type Tags } from "../../helpers/dxf.js";

type Point = readonly [x: number, y: number];

const circle = (layer: string, [x, y]: Point, r: number): Tags => [
  ...[0, "CIRCLE", 8, layer],
  ...[10, x, 20, y, 40, r],
];
const lines = (layer: string, ...points: Point[]): Tags[] =>
  points
    .slice(1)
    .map(([x, y], i) => [
      ...[0, "LINE", 8, layer],
      ...[10, points[i]?.[0] ?? 0, 20, points[i]?.[1] ?? 0, 11, x, 21, y],
    ]);
/** A ring of 40 mm round a bore of 16 mm, in a round blank. */
const RING = [
  circle("BLANK", [0, 0], 30),
  circle("RING", [0, 0], 20),
  circle("BORE", [0, 0], 8),
];
const PLATE = lines("BLANK", [0, 0], [60, 0], [60, 40], [0, 40], [0, 0]);

function cut(entities: readonly Tags[], job: JobFile = {}): Outcome {
  return planDrawing({
    name: "odd",
    drawing: dxfText(entities),
    job: JSON.stringify({
      units: "mm",
      stock: { material: "tool-steel", thickness: 10 },
      wire: { diameter: 0.25 },
      // Half the slit's width is 0.155 mm.
      passes: [
        { kind: "rough", gap: 0.03, leave: 0.05 },
        { kind: "skim", gap: 0.01, leave: 0 },
      ],
      roles: {
        layers: {
          ...{ BLANK: "stock", RING: "part" },
          ...{ BORE: "opening", SLIT: "slit" },
        },
      },
      ...job,
    }),
  });
}

const codes = (findings: Outcome["findings"], severity: string): string[] =>
  findings.filter((f) => f.severity === severity).map((f) => f.code);
/** What the proof of the program has against it, though the plan would not have it written. */
const against = (o: Outcome): string[] =>
  codes(
    prove(
      readProgram(writeProgram(o.plan, NEUTRAL), NEUTRAL),
      o.laidOut,
      o.plan.job,
    ).findings,
    "error",
  );
const steps = (o: Outcome): string[] =>
  o.plan.steps.map((s) => (s.kind === "cut" ? s.feature : s.action));

describe("several slits from one place", () => {
  const star = [0, 120, 240].flatMap((a): Tags[] => {
    const at = (r: number): Point => [
      30 + r * Math.cos((a * Math.PI) / 180),
      20 + r * Math.sin((a * Math.PI) / 180),
    ];
    return lines("SLIT", at(0.8), at(9));
  });

  it("free nothing: three in a drawn hole are cut from that hole, of which nothing is said", () => {
    const o = cut([...PLATE, ...star, circle("HOLES", [30, 20], 1)], {
      startHoles: { layer: "HOLES" },
    });
    expect(codes(o.findings, "error")).toEqual([]);
    expect(o.ok).toBe(true);
    expect(o.plan.slits.map((s) => s.startHole.drawn)).toEqual([
      true,
      true,
      true,
    ]);
    expect(o.findings.map((f) => f.code)).not.toContain("start-hole/unused");
  });

  it("may cross each other", () => {
    const o = cut([
      ...PLATE,
      ...lines("SLIT", [20, 20], [40, 20]),
      ...lines("SLIT", [30, 12], [30, 28]),
    ]);
    expect(codes(o.findings, "error")).toEqual([]);
    expect(o.ok).toBe(true);
  });

  it("keep a hole of their own clear of each other by the clearance", () => {
    // 1.2 mm apart, less half a kerf: with 0.5 mm of clearance and what a drill wanders there is no room for 1 mm.
    const o = cut([
      ...PLATE,
      ...lines("SLIT", [20, 20], [40, 20]),
      ...lines("SLIT", [30, 21.2], [30, 30]),
    ]);
    const hole = o.plan.slits.find((s) => s.id === "slit-2")?.startHole;
    if (!hole) throw new Error("slit-2 is not planned");
    expect(hole.at.y - hole.diameter / 2 - 20 - 0.155).toBeGreaterThan(0.5);
  });
});

describe("a slit and a slug", () => {
  it("that it would cut into: the slug is taken out before", () => {
    const o = cut([...RING, ...lines("SLIT", [13, 0], [-3, 0])], {
      features: { "slit-1": { startHole: [13, 0] } },
    });
    expect(codes(o.findings, "error")).toEqual([]);
    expect(o.ok).toBe(true);
    const order = steps(o);
    expect(order.indexOf("slit-1")).toBeGreaterThan(order.indexOf("remove"));
  });

  it("that it only opens the kerf of: it needs nobody to take it out first", () => {
    const o = cut([...RING, ...lines("SLIT", [13, 0], [8, 0])], {
      features: { "slit-1": { startHole: [13, 0] } },
    });
    expect(o.ok).toBe(true);
    const order = steps(o);
    expect(order.indexOf("slit-1")).toBeLessThan(order.indexOf("secure"));
  });
});

describe("a slit in a part that lies in an opening", () => {
  const inOpening = (end: Point) =>
    cut(
      [
        ...PLATE,
        ...lines("BORE", [10, 5], [50, 5], [50, 35], [10, 35], [10, 5]),
        circle("RING", [30, 20], 8),
        ...lines("SLIT", [30, 20], end),
      ],
      { features: { "slit-1": { startHole: [30, 20] } } },
    );

  it("may run on a little into the slug that holds the part until then", () => {
    const o = inOpening([40, 20]);
    expect(codes(o.findings, "error")).toEqual([]);
    expect(o.ok).toBe(true);
  });

  it("but not through to the opening's edge", () => {
    expect(codes(inOpening([55, 20]).findings, "error")).toContain(
      "slit/in-slug",
    );
  });
});

describe("what a slit frees or takes away is told before the proof finds it:", () => {
  it.each([
    [
      "a loop round metal, closed but for a tenth of a millimetre",
      [
        ...PLATE,
        ...lines("SLIT", [20, 20], [30, 20], [30, 30], [22, 30], [22, 20.25]),
      ],
      "slit/frees-piece",
      "proof/slit-frees",
    ],
    [
      "a corner of the blank between the ring's lead-in and its kerf",
      // The lead-in is put at (-20, 0) by hand, straight from its hole.
      [...RING, ...lines("SLIT", [-18, 5], [-23, -3])],
      "slit/frees-piece",
      "proof/slit-frees",
    ],
    [
      // Straight on from the slit's end at the edge lies the ring's hole at (-22, 0): the wire comes in from beyond it.
      "a corner of the blank between the slit's own way in and the ring's",
      [...RING, ...lines("SLIT", [-15.91, 3.3], [-19.97, 1.1])],
      "slit/frees-piece",
      "proof/slit-frees",
      -22,
    ],
    [
      // At 10° the edge lies within half the slit's width for 0.155 / sin 10° = 0.89 mm on either side.
      "an edge that it meets at 10°",
      [
        ...PLATE,
        ...lines("BORE", [20, 10], [40, 10], [40, 30], [20, 30], [20, 10]),
        ...lines(
          "SLIT",
          [24, 30 + 6 * Math.tan(Math.PI / 18)],
          [32, 30 - 2 * Math.tan(Math.PI / 18)],
        ),
      ],
      "slit/too-close",
      "proof/slit-gouge",
    ],
  ] as const)("%s", (_, drawing, told, found, hole: number = -25) => {
    const o = cut(drawing as readonly Tags[], {
      features: { "part-1": { startHole: [hole, 0], lead: { at: [-20, 0] } } },
    });
    expect(codes(o.findings, "error")).toContain(told);
    expect(against(o)).toContain(found);
  });

  it("the end of a bar that is hardly thicker than the slit is wide", () => {
    // It stops 0.1 mm short of the bar's other wall, and half its width is 0.155 mm.
    const o = cut([
      ...PLATE,
      ...lines("RING", [5, 18], [30, 18], [30, 18.4], [10, 18.4], [10, 30]),
      ...lines("RING", [10, 30], [5, 30], [5, 18]),
      ...lines("SLIT", [20, 15], [20, 18.3]),
    ]);
    expect(codes(o.findings, "error")).toContain("slit/too-close");
    expect(against(o)).not.toEqual([]);
  });

  it("but no sharp bend, whose two legs run near each other to the bend", () => {
    const o = cut([...PLATE, ...lines("SLIT", [20, 20], [40, 20], [20, 22])]);
    expect(codes(o.findings, "error")).toEqual([]);
    expect(o.ok).toBe(true);
  });
});

describe("a slit out of a small bore that is cut away whole", () => {
  // What stood between two loops of the clearing is gone, though no single kerf has room for the wire there.
  it.each([
    [0.05, -0.3],
    [0.05, 0.3],
    [0.1, 0],
    [0.25, 0],
  ])(
    "with a wire of %d mm, %d mm off its middle, is threaded where all metal is gone",
    (diameter, y) => {
      const o = cut(
        [
          ...PLATE,
          circle("BORE", [20, 20], 1),
          ...lines(
            "SLIT",
            [20 + 0.9 * Math.sqrt(1 - y * y), 20 + y],
            [25, 20 + y],
          ),
        ],
        {
          wire: { diameter },
          passes: 2,
          startHoles: { diameter: 1 },
          tabs: { minSlugArea: 20 },
        },
      );
      expect(codes(o.findings, "note")).toContain("slug/cut-away");
      expect(o.ok).toBe(true);
    },
  );
});

describe("a slit out of a ring that turns back in the waste about it", () => {
  // The ring's rough clears the waste to 0.36 mm off its edge, at 20 mm; the slit is 0.155 mm wide to either side.
  const back = (radius: number) =>
    cut([
      ...RING,
      ...lines(
        "SLIT",
        [5, 0],
        [24, 0],
        [24, 8],
        [
          radius * Math.cos(Math.atan2(8, 24)),
          radius * Math.sin(Math.atan2(8, 24)),
        ],
      ),
    ]);

  it("is refused where it ends in the ring's own kerf, without coming to its edge: what it goes round would fall", () => {
    const o = back(20.3);
    expect(codes(o.findings, "error")).toEqual(["slit/frees-piece"]);
    expect(against(o)).toContain("proof/slit-frees");
  });

  it("is cut where it ends clear of that kerf: what it goes round stays on the block", () => {
    const o = back(21);
    expect(codes(o.findings, "error")).toEqual([]);
    expect(o.ok).toBe(true);
  });
});
