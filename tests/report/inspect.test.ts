import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/plan/job/file.js";
import { inspectionText } from "../../src/report/inspection-text.js";
import { inspect, inspectWithPicture } from "../../src/run.js";
import {
  circleTags,
  dxfText,
  lineTags,
  lwpolylineTags,
  rectangleTags,
  type Tags,
} from "../helpers/dxf.js";
import { tagsOf, textOf } from "../helpers/markup.js";

const order = (entities: readonly Tags[], job: JobFile = {}) => ({
  name: "drawn",
  drawing: dxfText(entities),
  job: JSON.stringify({ units: "mm", roles: { outer: "opening" }, ...job }),
});

describe("what each wire would leave uncut", () => {
  it("is r·(√2 - 1) in a right-angled corner, r being the wire's offset", () => {
    const { wires } = inspect(order(rectangleTags(0, 0, 20, 10)));
    expect(wires.length).toBeGreaterThan(5);
    for (const { uncut, offset, diameter, slots } of wires) {
      expect(offset).toBeGreaterThan(diameter / 2);
      expect(slots).toEqual([]);
      expect(uncut).toHaveLength(4);
      for (const { left } of uncut)
        expect(left).toBeCloseTo(offset * (Math.SQRT2 - 1), 9);
    }
    const corners = wires[0]?.uncut.map((u) => u.at.join()).sort();
    expect(corners).toEqual(["0,0", "0,10", "20,0", "20,10"]);
  });

  it("is nothing in a round hole, unless the wire does not go in at all", () => {
    // 0.3 mm across: a 0.36 wire does not fit, a 0.1 wire with its gaps does.
    const { wires, largestWire } = inspect(order([circleTags(5, 7, 0.15)]));
    const of = (d: number) => wires.find((w) => w.diameter === d);
    expect(of(0.36)?.slots).toEqual([{ feature: "opening-1", at: [5, 7] }]);
    expect(of(0.1)).toMatchObject({ uncut: [], slots: [] });
    for (const w of wires) expect(w.slots.length).toBe(w.offset < 0.15 ? 0 : 1);
    const fitting = wires.filter((w) => w.uncut.length + w.slots.length === 0);
    expect(largestWire).toBe(Math.max(...fitting.map((w) => w.diameter)));
  });

  it("is a slot where the walls stand closer than twice the offset", () => {
    // Two rooms of 10 mm, 0.24 mm of slot between them.
    const neck = lwpolylineTags(
      // biome-ignore format: a point each
      [[0, 0], [10, 0], [10, 4.88], [20, 4.88], [20, 0], [30, 0], [30, 10], [20, 10], [20, 5.12], [10, 5.12], [10, 10], [0, 10]],
      true,
    );
    const { wires, narrowestSlot } = inspect(order([neck]));
    expect(narrowestSlot?.width).toBeCloseTo(0.24, 9);
    for (const { offset, slots } of wires)
      expect(slots.length > 0).toBe(2 * offset >= 0.24);
  });

  it("is told of the other outlines where one crosses itself, on an arc or straight", () => {
    // The half circle over the top side dips through the bottom one at (7, 0) and (13, 0); a bow tie above it.
    const dipped = lwpolylineTags(
      // biome-ignore format: a point each
      [[0, 0], [20, 0], [20, 4], [15, 4, -1], [5, 4], [0, 4]],
      true,
    );
    const bow = lwpolylineTags(
      // biome-ignore format: a point each
      [[0, 10], [20, 20], [20, 10], [0, 20]],
      true,
    );
    const { ok, findings, wires, largestWire } = inspect(
      order([dipped, bow, circleTags(40, 5, 4)]),
    );
    expect(ok).toBe(false);
    expect(findings.map((f) => f.code)).toEqual([
      "outline/crosses-itself",
      "outline/crosses-itself",
    ]);
    for (const { uncut, slots } of wires)
      expect([uncut, slots]).toEqual([[], []]);
    expect(largestWire).toBe(wires[0]?.diameter);
  });

  it("goes from thick to thin, and what a wire reaches a thinner one reaches too", () => {
    const { wires } = inspect(
      order([circleTags(0, 0, 0.12), circleTags(9, 0, 5)]),
    );
    const sizes = wires.map((w) => w.diameter);
    expect(sizes).toEqual([...sizes].sort((a, b) => b - a));
    const counts = wires.map((w) => w.uncut.length + w.slots.length);
    expect(counts).toEqual([...counts].sort((a, b) => b - a));
  });

  it("takes another wire's material where the job's is not made so thin", () => {
    const { wires } = inspect(order([circleTags(0, 0, 5)]));
    const of = (d: number) => wires.find((w) => w.diameter === d)?.material;
    expect([of(0.25), of(0.1)]).toEqual(["brass", "brass"]);
    expect(["molybdenum", "tungsten"]).toContain(of(0.03));
  });
});

const messy = order(
  [
    ...rectangleTags(0, 0, 40, 30, "DIE"),
    circleTags(60, 15, 8, "DIE"),
    circleTags(60, 15, 3, "NOTES"),
    lineTags(0, 40, 30, 40, "DIE"),
    lineTags(30.4, 40, 30.4, 60, "DIE"),
  ],
  { roles: { outer: "opening", layers: { NOTES: "ignore" } } },
);

describe("the inspection as text", () => {
  it("fits 100 columns and names every outline with its place", () => {
    const text = inspectionText("drawn.dxf", inspect(messy));
    for (const line of text.split("\n"))
      expect(line.length).toBeLessThanOrEqual(100);
    for (const said of [
      "68 × 60 mm",
      "c1",
      "sharp at (",
      "ignore",
      "open by 0.4 mm from (30, 40) to (30.4, 40)",
      "What each wire leaves",
      "0.25 mm brass",
    ])
      expect(text).toContain(said);
  });

  it("lists forty of a kind and counts the rest", () => {
    const many = Array.from({ length: 60 }, (_, i) =>
      circleTags(30 * i, 0, 10),
    );
    const text = inspectionText("many.dxf", inspect(order(many)));
    expect(text).toContain("and 20 more");
  });
});

describe("the inspection as a picture", () => {
  const { picture, inspection } = inspectWithPicture(messy);

  it("is to scale and says what it shows", () => {
    const [root] = tagsOf(picture);
    const [, , w] = (root?.attributes.viewBox ?? "").split(" ").map(Number);
    const scale = Number.parseFloat(root?.attributes.width ?? "") / (w ?? 0);
    expect(textOf(picture)).toContain(
      `scale ${Math.round(scale * 100) / 100}:1`,
    );
  });

  it("marks every place it tells of: the gap first, then slot, web and corner", () => {
    const marks = tagsOf(picture).filter(
      (t) => t.attributes.class === "kw-finding",
    );
    expect(marks.length).toBeGreaterThan(4);
    const said = textOf(picture);
    expect(said).toContain("open by 0.4 mm, layer DIE");
    expect(said).toContain("sharp inside corner of opening-1");
    expect(said).toContain("corners not cut");
    for (const w of inspection.wires)
      expect(said).toContain(`${w.diameter} mm`);
  });

  it("shows a drawing with nothing in it too", () => {
    const { picture } = inspectWithPicture(order([]));
    expect(textOf(picture)).toContain("what is in the drawing");
  });
});

describe("the inspection of a drawing in inches", () => {
  /** A hole of 1 in beside an open line of 2 in; `$INSUNITS` 1 is inch. */
  const drawing = dxfText([circleTags(1.5, 2, 0.5), lineTags(3, 1, 3, 3)], {
    insunits: 1,
  });
  const inches = {
    name: "inches",
    drawing,
    job: '{ "roles": { "outer": "opening" } }',
  };

  it("is told in inches, and figures as data stay mm", () => {
    const { inspection, picture } = inspectWithPicture(inches);
    const text = inspectionText("inches.dxf", inspection);
    for (const said of [
      "inches.dxf: 2 × 2 in, drawn in in",
      "area in²",
      // π/4 in², π in.
      "0.7854",
      "3.1416",
      "0.5 at (",
      "2 in long, open by 2 in from (3, 1) to (3, 3)",
    ])
      expect(text).toContain(said);
    expect(text).not.toMatch(/\dmm|\d mm/);
    expect(inspection.size[0]).toBeCloseTo(50.8, 9);
    expect(textOf(picture)).toContain("Places to look at (X, Y in in)");
    expect(textOf(picture)).toContain("2 in × 2 in");
  });

  it("is told in the job's unit where the job says one", () => {
    const inMm = inspect({ ...inches, job: '{ "units": "mm" }' });
    expect(inspectionText("x", inMm)).toContain("50.8 × 50.8 mm");
    const millimetres = {
      name: "mm",
      drawing: dxfText([circleTags(0, 0, 12.7)]),
    };
    const inInches = inspect({ ...millimetres, job: '{ "units": "in" }' });
    expect(inspectionText("x", inInches)).toContain("1 × 1 in, drawn in mm");
  });
});
