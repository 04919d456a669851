import * as dxf from "dxf-parser";
import { describe, expect, it } from "vitest";
import { wirePathDxf } from "../../src/report/wire-dxf.js";
import { handPlan, WINDOW } from "../helpers/hand-plan.js";

interface Entity {
  readonly type: string;
  readonly layer: string;
  readonly vertices?: readonly { readonly x: number; readonly y: number }[];
  readonly center?: { readonly x: number; readonly y: number };
  readonly radius?: number;
  readonly startAngle?: number;
  readonly endAngle?: number;
}

/** Read by a general DXF reader that shares nothing with the writer. */
function read(text: string) {
  const Parser = dxf.default as unknown as typeof dxf.DxfParser;
  const drawing = new Parser().parseSync(text);
  if (!drawing) throw new Error("not a DXF");
  return {
    units: drawing.header.$INSUNITS,
    layers: Object.keys(drawing.tables.layer.layers),
    entities: drawing.entities as unknown as readonly Entity[],
  };
}

/** Length and box of what lies on a layer. */
function measure(entities: readonly Entity[]): {
  length: number;
  minX: number;
  maxX: number;
} {
  let length = 0;
  const xs: number[] = [];
  for (const e of entities) {
    const [a, b] = e.vertices ?? [];
    if (a && b) {
      length += Math.hypot(b.x - a.x, b.y - a.y);
      xs.push(a.x, b.x);
    } else if (e.type === "ARC") {
      const sweep =
        ((e.endAngle ?? 0) - (e.startAngle ?? 0) + 4 * Math.PI) % (2 * Math.PI);
      length += (e.radius ?? 0) * sweep;
    }
  }
  return { length, minX: Math.min(...xs), maxX: Math.max(...xs) };
}

describe("the wire-path DXF", () => {
  const plan = handPlan([WINDOW]);
  const drawing = read(wirePathDxf(plan));
  const on = (layer: string) =>
    drawing.entities.filter((e) => e.layer === layer);

  it("names its unit: $INSUNITS 4 for mm, 1 for inch", () => {
    expect(drawing.units).toBe(4);
    const inch = read(
      wirePathDxf(handPlan([WINDOW], { job: { units: "in" } })),
    );
    expect(inch.units).toBe(1);
    // 20 mm wide.
    const { minX, maxX } = measure(
      inch.entities.filter((e) => e.layer === "OUTLINE"),
    );
    expect(maxX - minX).toBeCloseTo(20 / 25.4, 5);
  });

  it("has a layer for each pass, the outline, the leads and the start holes", () => {
    expect(drawing.layers).toEqual([
      "OUTLINE",
      "START-HOLES",
      "LEADS",
      "PASS-1-ROUGH",
      "PASS-2-SKIM",
      "PASS-3-SKIM",
    ]);
    for (const layer of drawing.layers)
      expect(on(layer).length, layer).toBeGreaterThan(0);
    expect(on("0")).toEqual([]);
  });

  it("keeps arcs arcs, with the radius less the offset", () => {
    const radii = (layer: string) =>
      new Set(on(layer).flatMap((e) => (e.type === "ARC" ? [e.radius] : [])));
    expect(radii("OUTLINE")).toEqual(new Set([1]));
    // 1 - 0.21, 1 - 0.145, 1 - 0.135
    expect(radii("PASS-1-ROUGH")).toEqual(new Set([0.79]));
    expect(radii("PASS-2-SKIM")).toEqual(new Set([0.855]));
    expect(radii("PASS-3-SKIM")).toEqual(new Set([0.865]));
  });

  it("draws clockwise strokes the right way round: lengths agree with the formula", () => {
    // Rounded rectangle at the offset, once round with the tab, and 0.1 on and off the path at each of four ends;
    // skims keep the same stand-off point, so their way on and off is 0.31 less their offset.
    for (const { number, kind, offset } of plan.job.passes) {
      const r = 1 - offset;
      const round =
        2 * (20 - 2 * offset + 10 - 2 * offset) - 8 * r + 2 * Math.PI * r;
      const { length } = measure(on(`PASS-${number}-${kind.toUpperCase()}`));
      expect(length).toBeCloseTo(round + 4 * (0.31 - offset), 4);
    }
  });

  it("puts start holes at their place and size", () => {
    expect(on("START-HOLES")).toMatchObject([
      { type: "CIRCLE", center: { x: 1, y: 0 }, radius: 0.5 },
    ]);
  });

  it("writes no exponents, which some readers do not know", () => {
    const far = wirePathDxf(
      handPlan([{ ...WINDOW, center: { x: 1e-9, y: 123456.7890123 } }]),
    );
    expect(far).not.toMatch(/\d[eE][-+]?\d/);
  });

  it("gives the same text for the same plan", () => {
    expect(wirePathDxf(plan)).toBe(wirePathDxf(plan));
  });
});
