import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { planDrawing, pointAt } from "../../src/index.js";
import { gripsOf } from "../../web/hand/place.js";
import { measureText, snapped } from "../../web/picture/measure.js";
import { probe } from "../../web/picture/probe.js";
import { sceneOf } from "../../web/picture/scene.js";

const { plan } = planDrawing({
  name: "die-plate",
  drawing: readFileSync("samples/die-plate/die-plate.dxf", "utf8"),
  job: readFileSync("samples/die-plate/job.json", "utf8"),
});
const [first] = plan.features;
if (!first) throw new Error("the die plate has no openings");

const tabStroke = plan.steps
  .flatMap((s) => (s.kind === "cut" && s.feature === first.id ? s.strokes : []))
  .find((s) => s.stretch === "tab")?.path[0];
if (!tabStroke) throw new Error("opening-1 has no tab");
const tabMiddle = pointAt(tabStroke, 0.5);

describe("what lies under the pointer", () => {
  it("is the start hole, the tab, the edge or the slug, whichever is nearest", () => {
    expect(probe(plan, first.startHole.at, 0.1).text).toMatch(
      /^start hole of opening-1/,
    );
    expect(probe(plan, tabMiddle, 0.01).text).toMatch(/^tab of opening-1/);
    expect(probe(plan, first.slug.cg, 1e-6).text).toMatch(
      /slug of opening-1|start hole of opening-1/,
    );
  });

  it("is metal that stays between the openings, and nothing outside the block", () => {
    expect(probe(plan, { x: 50, y: 5 }, 0.1).text).toBe("metal that stays");
    expect(probe(plan, { x: 500, y: 500 }, 0.1).text).toBe("outside the block");
  });
});

describe("a ring and its slits in the picture", () => {
  const ring = planDrawing({
    name: "clamp-ring",
    drawing: readFileSync("samples/clamp-ring/clamp-ring.dxf", "utf8"),
    job: readFileSync("samples/clamp-ring/job.json", "utf8"),
  }).plan;

  it("lie in a block that is waste but for the ring, as on the preview", () => {
    expect(sceneOf(ring).shapes[0]?.kind).toBe("waste");
    // The ring ends at 20 mm, the blank at 30 mm.
    expect(probe(ring, { x: 0, y: 25 }, 0.1).text).toMatch(/^waste/);
    expect(probe(ring, { x: 0, y: 14 }, 0.1).text).toMatch(/^the part part-1/);
  });

  it("are drawn as lines before anything is cut, and told of under the pointer", () => {
    const lines = sceneOf(ring)
      .shapes.filter((s) => s.kind === "outline")
      .map((s) => s.d)
      .join("");
    const { origin } = sceneOf(ring);
    for (const { id, contour, width } of ring.slits) {
      const [line] = contour.segments;
      if (!line) throw new Error(`${id} has no line`);
      const { x, y } = line.start;
      expect(lines).toContain(`M${x - origin.x} ${y - origin.y}L`);
      const seen = probe(ring, pointAt(line, 0.5), 0.1);
      expect(seen.feature).toBe(id);
      // Wire of 0.25 mm and the rough's gap of 0.03 mm on either side.
      expect(width).toBeCloseTo(0.31, 12);
      expect(seen.text).toContain("0.31 mm wide");
    }
  });
});

describe("an opening that is cut away whole", () => {
  const { plan: away } = planDrawing({
    name: "die-plate",
    drawing: readFileSync("samples/die-plate/die-plate.dxf", "utf8"),
    job: JSON.stringify({
      ...JSON.parse(readFileSync("samples/die-plate/job.json", "utf8")),
      tabs: { minSlugArea: 1000 },
    }),
  });
  const whole = away.features.filter((f) => f.tab === null);

  it("has no tab to take hold of, and no slug under the pointer", () => {
    expect(whole.length).toBeGreaterThan(0);
    for (const f of whole) {
      expect(gripsOf(f, away.job).map((g) => g.kind)).toEqual([
        "startHole",
        "lead",
      ]);
      const text = probe(away, f.slug.cg, 1e-6).text;
      expect(text).not.toMatch(/falls out/);
      expect(text).toMatch(/cut away|start hole|cutting the inside/);
    }
  });
});

describe("measuring", () => {
  it("snaps to corners and says length and components", () => {
    const corner = first.contour.segments[0]?.start ?? { x: 0, y: 0 };
    const near = { x: corner.x + 0.01, y: corner.y };
    expect(snapped(plan, near, 0.1)).toEqual(corner);
    // 3, 4, 5 (Pythagoras); 25.4 mm to the inch (exact).
    expect(measureText({ x: 0, y: 0 }, { x: 3, y: 4 }, "mm")).toBe(
      "5 mm (ΔX 3 mm, ΔY 4 mm)",
    );
    expect(measureText({ x: 0, y: 0 }, { x: 25.4, y: 0 }, "in")).toBe(
      "1 in (ΔX 1 in, ΔY 0 in)",
    );
  });
});

describe("the scene", () => {
  it("counts its places from inside the drawing, so that far coordinates stay sharp on screens", () => {
    const { origin, shapes } = sceneOf(plan);
    const far = shapes.flatMap((s) =>
      (s.d.match(/-?\d+(\.\d+)?/g) ?? []).map(Number),
    );
    expect(origin).toEqual({ x: 60, y: 40 });
    expect(Math.max(...far.map(Math.abs))).toBeLessThan(100);
  });
});
