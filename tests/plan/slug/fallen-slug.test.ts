/** Plan and proof weigh what comes loose each in its own way: both must come to what geometry gives. */
import { describe, expect, it } from "vitest";
import { distance, length } from "../../../src/geometry/vec.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import type { Cut } from "../../../src/plan/plan.js";
import { type Outcome, planDrawing } from "../../../src/run.js";
import {
  circleTags,
  dxfText,
  rectangleTags,
  type Tags,
} from "../../helpers/dxf.js";

const GAP = 0.03;
const LEAVE = 0.05;
/** Half the rough's kerf, and how far its far side lies off the outline, mm. */
const H = 0.125 + GAP;
const DEPTH = LEAVE + 2 * H;
const THICK = 20;
/** kg/mm² of a steel plate 20 mm thick, 7.85 g/cm³. */
const PER_MM2 = THICK * 7.85e-6;

function cut(entities: readonly Tags[], job: JobFile = {}): Outcome {
  const o = planDrawing({
    name: "slug",
    drawing: dxfText(entities),
    job: JSON.stringify({
      units: "mm",
      stock: { material: "tool-steel", thickness: THICK },
      wire: { diameter: 0.25 },
      passes: [
        { kind: "rough", gap: GAP, leave: LEAVE },
        { kind: "skim", gap: 0.01, leave: 0 },
      ],
      roles: { outer: "opening" },
      startHoles: { layer: "HOLES" },
      ...job,
    }),
  });
  expect(o.ok).toBe(true);
  return o;
}

const roughOf = (o: Outcome): Cut =>
  o.plan.steps.find((s): s is Cut => s.kind === "cut") as Cut;
const planned = (o: Outcome, id: string): number =>
  (o.plan.features.find((f) => f.id === id)?.slug.mass ?? 0) / PER_MM2;
const proved = (o: Outcome, id: string): number =>
  (o.proof?.loosePieces.find((p) => p.feature === id)?.mass ?? 0) / PER_MM2;

/** Of a disc of the kerf's width, what lies beyond a line at a distance from its middle. */
const cap = (d: number): number =>
  H * H * Math.acos(d / H) - d * Math.sqrt(H * H - d * d);

/** ∫ √(r² - y²) dy over the kerf's width: a strip from a circle's diameter to its edge. */
const strip = (r: number): number =>
  H * Math.sqrt(r * r - H * H) + r * r * Math.asin(H / r);

/** The proof's kerf is made of chords within 2 µm of its arcs. */
const CHORD = 0.002;

describe("a slug as it falls", () => {
  it.each([
    ["a hole that is drawn", [circleTags(15, 10, 1.5, "HOLES")], 1.5],
    ["a hole still to be drilled, which is not taken off", [], H],
  ] as const)("out of a rectangle of 30 × 20 mm, with %s", (_, holes, r) => {
    const o = cut([...rectangleTags(0, 0, 30, 20, "DIE"), ...holes]);
    const rough = roughOf(o);
    const [stroke] = rough.strokes;
    const [first, last] = [stroke?.path[0]?.start, stroke?.path.at(-1)?.end];
    if (!stroke || !first || !last) throw new Error("no rough");
    // The lead is a strip from the hole's rim to the slug's edge, half a kerf short of the path.
    const lead = 2 * H * (distance(rough.thread, first) - H) - strip(r);
    // Where the wire stands off, its kerf reaches over the slug's edge, half a kerf from the path.
    const notch = cap(H - distance(stroke.to, last));
    // Once before the tab, twice about it when it is skimmed.
    const exact =
      (30 - 2 * DEPTH) * (20 - 2 * DEPTH) - Math.PI * r * r - lead - 3 * notch;
    expect(planned(o, "opening-1")).toBeCloseTo(exact, 6);
    expect(Math.abs(proved(o, "opening-1") - exact)).toBeLessThan(
      0.01 + CHORD * 2 * Math.PI * r,
    );
  });

  it("out of a circle of 24 mm about the hole it is threaded in", () => {
    const o = cut([circleTags(0, 0, 12, "DIE"), circleTags(0, 0, 1, "HOLES")]);
    const [stroke] = roughOf(o).strokes;
    const rim = 12 - DEPTH;
    const lead = strip(rim) - strip(1);
    const off = length(stroke?.to ?? { x: 0, y: 0 });
    // What two circles have in common, rim and kerf (a lens of two caps).
    const [a, b] = [
      (off * off + rim * rim - H * H) / (2 * off * rim),
      (off * off + H * H - rim * rim) / (2 * off * H),
    ];
    const notch =
      rim * rim * (Math.acos(a) - a * Math.sqrt(1 - a * a)) +
      H * H * (Math.acos(b) - b * Math.sqrt(1 - b * b));
    const exact = Math.PI * rim * rim - Math.PI - lead - 3 * notch;
    expect(planned(o, "opening-1")).toBeCloseTo(exact, 6);
    expect(Math.abs(proved(o, "opening-1") - exact)).toBeLessThan(
      CHORD * 2 * Math.PI * rim,
    );
  });

  it("without the part that was cut out of it, its kerf, and the way in to it", () => {
    const o = cut([
      ...rectangleTags(0, 0, 60, 40, "DIE"),
      ...rectangleTags(20, 15, 20, 10, "DIE"),
    ]);
    // The part's kerf goes round its corners; on the hole's side of it lies the lead.
    const inner = 20 * 10 + 2 * 30 * DEPTH + Math.PI * DEPTH * DEPTH;
    const about = (60 - 2 * DEPTH) * (40 - 2 * DEPTH) - inner;
    expect(about - planned(o, "opening-1")).toBeGreaterThan(0.3);
    expect(about - planned(o, "opening-1")).toBeLessThan(5);
    expect(
      Math.abs(proved(o, "opening-1") - planned(o, "opening-1")),
    ).toBeLessThan(0.15);
  });
});

it("a ring weighs what is left of it though a slit joins its bore to its outside", () => {
  const o = cut(
    [
      circleTags(0, 0, 30, "BLANK"),
      circleTags(0, 0, 20, "RING"),
      circleTags(0, 0, 8, "BORE"),
      [0, "LINE", 8, "SLIT", 10, 8, 20, 0, 11, 20, 21, 0],
    ],
    {
      roles: {
        layers: { BLANK: "stock", RING: "part", BORE: "opening", SLIT: "slit" },
      },
    },
  );
  const exact = Math.PI * (20 ** 2 - 8 ** 2);
  expect(planned(o, "part-1")).toBeCloseTo(exact, 6);
  expect(proved(o, "part-1")).toBeCloseTo(exact, 6);
});
