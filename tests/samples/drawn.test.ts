import { readFileSync } from "node:fs";
import * as dxf from "dxf-parser";
import { describe, expect, it } from "vitest";
import { SAMPLES, sampleFiles } from "../../samples/all.js";

interface Entity {
  readonly type: string;
  readonly layer: string;
  readonly vertices?: readonly Point[];
  readonly center?: Point;
  readonly radius?: number;
  readonly startAngle?: number;
  readonly endAngle?: number;
  readonly controlPoints?: readonly Point[];
  readonly knotValues?: readonly number[];
}

interface Point {
  readonly x: number;
  readonly y: number;
}

const fileOf = (name: string, file: string): string =>
  readFileSync(
    new URL(`../../samples/${name}/${file}`, import.meta.url),
    "utf8",
  );

/** Read by a general DXF reader: what stands in the file, not what was meant. */
function read(name: string) {
  const Parser = dxf.default as unknown as typeof dxf.DxfParser;
  const drawing = new Parser().parseSync(fileOf(name, `${name}.dxf`));
  if (!drawing) throw new Error("not a DXF");
  const entities = drawing.entities as unknown as readonly Entity[];
  return {
    units: drawing.header.$INSUNITS,
    layers: Object.keys(drawing.tables.layer.layers),
    on: (layer: string, type?: string) =>
      entities.filter(
        (e) => e.layer === layer && (type === undefined || e.type === type),
      ),
    entities,
  };
}

const lengthOf = (e: Entity): number => {
  const [a, b] = e.vertices ?? [];
  return a && b ? Math.hypot(b.x - a.x, b.y - a.y) : 0;
};

describe("every sample", () => {
  it.each(Object.keys(SAMPLES))(
    "%s is the file that its script draws",
    (name) => {
      const sample = SAMPLES[name]?.();
      if (!sample) throw new Error(name);
      for (const [file, text] of Object.entries(sampleFiles(name, sample)))
        expect(fileOf(name, file), file).toBe(text);
    },
  );

  it.each(Object.keys(SAMPLES).filter((name) => name !== "hour-hand"))(
    "%s names its unit and puts everything on a named layer",
    (name) => {
      const { units, layers, entities } = read(name);
      expect(units).toBe(name === "inch-plate" ? 1 : 4);
      expect(entities.length).toBeGreaterThan(0);
      for (const e of entities) expect(layers).toContain(e.layer);
      expect(layers).not.toContain("0");
    },
  );
});

describe("the hub", () => {
  // DIN 6885-1 for a 25 mm bore: key 8 × 7, t2 3.3. Worked by hand: √(12.5² - 4²) = 11.84272, 25 + 3.3 = 28.3.
  const { on } = read("hub-keyway");
  const ys = on("BORE", "LINE").flatMap((e) =>
    (e.vertices ?? []).map((p) => p.y),
  );

  it("has its keyway's floor 28.3 mm from the opposite wall", () => {
    expect(Math.max(...ys) + 12.5).toBeCloseTo(28.3, 8);
  });

  it("has straight flanks from y 11.84272, 3.95728 mm high with the corner's radius", () => {
    expect(Math.min(...ys)).toBeCloseTo(11.84272, 5);
    const flanks = on("BORE", "LINE").filter((e) => {
      const [a, b] = e.vertices ?? [];
      return a && b && Math.abs(a.x - b.x) < 1e-9;
    });
    expect(flanks).toHaveLength(2);
    for (const f of flanks) {
      expect(lengthOf(f) + 0.25).toBeCloseTo(3.95728, 5);
      expect(Math.abs(f.vertices?.[0]?.x ?? 0)).toBeCloseTo(4, 9);
    }
  });

  it("has a 25 mm bore whose arc ends where the flanks begin", () => {
    const bore = on("BORE", "ARC").find((e) => (e.radius ?? 0) > 1);
    expect(bore?.radius).toBe(12.5);
    expect(12.5 * Math.sin(bore?.endAngle ?? 0)).toBeCloseTo(11.84272, 5);
  });
});

describe("the gear gauge", () => {
  // m 2, z 20, 20°: d 40, db 37.58770483, da 44, df 35, inv 0.01490438, span over 3 teeth 15.32087875,
  // tip thickness 1.38975997 (closed formulas of involute gearing).
  const { on } = read("gear-gauge");
  const flanks = on("GEAR", "SPLINE");
  const base = 37.58770483 / 2;

  /** Point of a cubic B-spline by de Boor's scheme. */
  function pointOf(e: Entity, u: number): Point {
    const knots = e.knotValues ?? [];
    const control = e.controlPoints ?? [];
    let k = 3;
    while (k < control.length - 1 && u >= (knots[k + 1] as number)) k++;
    const d = [0, 1, 2, 3].map((j) => ({ ...(control[j + k - 3] as Point) }));
    for (let r = 1; r <= 3; r++)
      for (let j = 3; j >= r; j--) {
        const low = knots[j + k - 3] as number;
        const high = knots[j + 1 + k - r] as number;
        const a = (u - low) / (high - low);
        const [p, q] = [d[j - 1] as Point, d[j] as Point];
        d[j] = { x: (1 - a) * p.x + a * q.x, y: (1 - a) * p.y + a * q.y };
      }
    return d[3] as Point;
  }

  function samples(e: Entity, count: number): Point[] {
    const end = e.knotValues?.at(-1) ?? 0;
    return Array.from({ length: count + 1 }, (_, i) =>
      pointOf(e, (end * i) / count),
    );
  }

  it("has forty flanks, twenty tips of 44 mm and twenty roots of 35 mm", () => {
    expect(flanks).toHaveLength(40);
    const radii = on("GEAR", "ARC").map((e) => e.radius ?? 0);
    expect(radii.filter((r) => Math.abs(r - 22) < 1e-9)).toHaveLength(20);
    expect(radii.filter((r) => Math.abs(r - 17.5) < 1e-9)).toHaveLength(20);
    // Fillets of 0.38 m (ISO 53 profile A, from memory).
    expect(radii.filter((r) => Math.abs(r - 0.76) < 1e-9)).toHaveLength(40);
  });

  it("has flanks within 0.2 µm of the true involute", () => {
    for (const flank of flanks) {
      const [foot, ...others] = samples(flank, 400);
      const from = Math.atan2(foot?.y ?? 0, foot?.x ?? 0);
      for (const p of others) {
        const r = Math.hypot(p.x, p.y);
        const roll = Math.sqrt(Math.max(0, (r / base) ** 2 - 1));
        const turn = Math.atan2(p.y, p.x) - from;
        const wrapped = Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn)));
        expect(Math.abs(wrapped - (roll - Math.atan(roll))) * r).toBeLessThan(
          0.0002,
        );
      }
    }
  });

  it("measures 15.32087875 mm across three teeth between parallel jaws", () => {
    // Jaws square to the middle of the second of three teeth: each touches an outer flank on the base tangent.
    const jaw = (sign: 1 | -1): number => {
      const u = { x: Math.cos(Math.PI / 2), y: Math.sin(Math.PI / 2) };
      // Teeth at -18°, 0 and +18°: the outer flanks lie between 18° and 27° on either side.
      const reach = flanks.flatMap((f) => {
        const points = samples(f, 4000);
        const angle = Math.atan2(points[0]?.y ?? 0, points[0]?.x ?? 0);
        const outer = Math.abs(angle - sign * (Math.PI / 10 + 0.0934)) < 0.01;
        return outer ? points.map((p) => sign * (p.x * u.x + p.y * u.y)) : [];
      });
      return Math.max(...reach);
    };
    expect(jaw(1) + jaw(-1)).toBeCloseTo(15.32087875, 5);
  });

  it("is 1.38975997 mm thick at the tip", () => {
    const tip = on("GEAR", "ARC").find((e) => (e.radius ?? 0) > 21);
    const sweep =
      ((tip?.endAngle ?? 0) - (tip?.startAngle ?? 0) + 2 * Math.PI) %
      (2 * Math.PI);
    expect(22 * sweep).toBeCloseTo(1.38975997, 6);
  });
});

describe("the inch plate", () => {
  it("is drawn in inches: a 4 × 2.5 plate, a hexagon 0.75 across flats", () => {
    const { on } = read("inch-plate");
    const xs = on("PLATE", "LINE").flatMap((e) =>
      (e.vertices ?? []).map((p) => p.x),
    );
    expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo(4, 9);
    const flats = on("WINDOWS", "LINE").filter((e) => {
      const [a, b] = e.vertices ?? [];
      return a && b && Math.abs(a.y - b.y) < 1e-9 && a.x > 2 && b.x > 2;
    });
    const ys = flats.map((e) => e.vertices?.[0]?.y ?? 0);
    expect(Math.max(...ys) - Math.min(...ys)).toBeCloseTo(0.75, 9);
  });
});

describe("the punch", () => {
  it("has every radius it was given", () => {
    const { on } = read("punch");
    const radii = new Set(
      on("PUNCH", "ARC").map((e) => Number((e.radius ?? 0).toFixed(6))),
    );
    expect([...radii].sort((a, b) => a - b)).toEqual([
      0.5, 0.8, 1.5, 2, 2.5, 3, 4,
    ]);
  });
});
