import { describe, expect, it } from "vitest";
import { circleContour } from "../../../src/geometry/contour.js";
import { vec } from "../../../src/geometry/vec.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { type Job, settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import { leanAngle, needsOf, slugOf } from "../../../src/plan/slug/slug.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";

const job = (file: JobFile): Job => settleJob(file);
const codes = (file: JobFile, ...shapes: ReturnType<typeof feature>[]) =>
  makePlan(layoutOf(...shapes), job(file), "x").findings.map((f) => f.code);

describe("the piece that comes loose", () => {
  it("of a steel part 20 mm round and 40 mm high weighs 98.646 g, about its middle", () => {
    const part = feature("part-1", "part", circleContour(vec(7, 3), 10));
    const slug = slugOf(part, [], job({ stock: { thickness: 40 } }));
    // π · 10² · 40 mm³ · 7.85 g/cm³
    expect(slug.mass * 1000).toBeCloseTo(98.646009, 5);
    expect([slug.cg.x, slug.cg.y]).toEqual([
      expect.closeTo(7, 9),
      expect.closeTo(3, 9),
    ]);
    expect(slug.size).toEqual([expect.closeTo(20, 9), expect.closeTo(20, 9)]);
  });

  it("of an opening is what the rough's kerf leaves: 0.365 mm less all round", () => {
    const opening = feature("opening-1", "opening", rectangle(0, 0, 20, 10));
    const { size, area } = slugOf(opening, [], job({ passes: 3 }));
    // Offset 0.21 + half a kerf 0.155.
    expect(size).toEqual([expect.closeTo(19.27, 9), expect.closeTo(9.27, 9)]);
    expect(area).toBeCloseTo(19.27 * 9.27, 6);
  });

  it("of a part with openings is the part less them, its centre of mass away from a hole", () => {
    const part = feature("part-1", "part", rectangle(0, 0, 40, 20));
    const hole = feature("opening-1", "opening", rectangle(25, 5, 10, 10));
    const slug = slugOf(part, [hole], job({}));
    // 800 mm² about x = 20 less 100 mm² about x = 30.
    expect(slug.area).toBeCloseTo(700, 9);
    expect(slug.cg.x).toBeCloseTo((800 * 20 - 100 * 30) / 700, 9);
  });

  it("leans until its corners meet both walls: 30 × 40 mm in a kerf of 1 mm each side", () => {
    // 30 cos a + 40 sin a = 32 has the roots a and its mirror; checked by putting it back.
    const a = leanAngle(30, 40, 1) as number;
    expect(30 * Math.cos(a) + 40 * Math.sin(a)).toBeCloseTo(32, 12);
    expect(a).toBeGreaterThan(0);
    // For small angles it is 2 · kerf / height.
    expect(leanAngle(10, 100, 0.01)).toBeCloseTo(0.02 / 100, 6);
  });

  it("turns right over where its diagonal is no wider than the opening", () => {
    // √(60² + 11²) = 61 = 60 + 2 · 0.5
    expect(leanAngle(60, 11, 0.5)).toBeNull();
    expect(leanAngle(60, 11.1, 0.5)).not.toBeNull();
  });

  it("hangs on a tab as long as practice and strength ask", () => {
    const opening = feature("opening-1", "opening", rectangle(0, 0, 50, 50));
    const at = (thickness: number) => {
      const j = job({ stock: { thickness } });
      return needsOf(slugOf(opening, [], j), j);
    };
    expect(at(40)).toMatchObject({ length: 2.5, governedBy: "practice" });
    expect(at(3).governedBy).toBe("flushing");
    expect(at(3).length).toBeGreaterThan(2);
  });
});

describe("what pieces do to the machine", () => {
  it("is told when they fit into a nozzle of 6 mm", () => {
    const small = feature("opening-1", "opening", rectangle(0, 0, 4, 4));
    const large = feature("opening-2", "opening", rectangle(20, 0, 8, 8));
    const plan = makePlan(layoutOf(small, large), job({}), "x");
    const found = plan.findings.filter((f) => f.code === "slug/into-nozzle");
    expect(found).toHaveLength(1);
    expect(found[0]?.feature).toBe("opening-1");
  });

  it("is told when a heavy one hangs by a tab far from its middle, for it twists as that is cut; not abreast of it", () => {
    // 80 × 20 × 45 mm of steel, 0.54 kg: its middle is at x = 40, and a quarter of its length is 20 mm.
    const bar = feature("opening-1", "opening", rectangle(0, 0, 80, 20));
    const at = (x: number) =>
      codes(
        {
          stock: { thickness: 45 },
          features: { "opening-1": { tab: { at: [x, 0] } } },
        },
        bar,
      );
    expect(at(70)).toContain("slug/twists");
    expect(at(55)).not.toContain("slug/twists");
    expect(at(40)).not.toContain("slug/twists");
  });

  it("is told when a heavy flat one wedges, not for a light one", () => {
    const plate = { stock: { thickness: 20 } };
    const at = (side: number) =>
      codes(
        plate,
        feature("opening-1", "opening", rectangle(0, 0, side, side)),
      );
    expect(at(80)).toContain("slug/jams");
    expect(at(30)).not.toContain("slug/jams");
  });

  it("is told when the slug is a fin that bends into the wire", () => {
    // 1.1 mm wide less a kerf of 0.365 mm on both sides: 0.37 mm.
    const slot = feature("opening-1", "opening", rectangle(0, 0, 20, 1.1));
    const file: JobFile = { startHoles: { diameter: 0.5, clearance: 0.05 } };
    expect(codes(file, slot)).toContain("slug/thin");
    const wide = feature("opening-1", "opening", rectangle(0, 0, 20, 3));
    expect(codes(file, wide)).not.toContain("slug/thin");
  });

  it("is told when a thin plate's tab would bend under the jet, with the pressure it bears", () => {
    const opening = feature("opening-1", "opening", rectangle(0, 0, 50, 50));
    const plan = makePlan(
      layoutOf(opening),
      job({ stock: { thickness: 1 } }),
      "x",
    );
    const found = plan.findings.find((f) => f.code === "tab/flushing");
    expect(found?.message).toMatch(/Lower the flushing to 0\.2\d MPa/);
  });

  it("is told once when the material breaks instead of bending", () => {
    const shapes = [0, 20, 40].map((x, i) =>
      feature(`opening-${i + 1}`, "opening", rectangle(x, 0, 10, 10)),
    );
    const found = makePlan(
      layoutOf(...shapes),
      job({ stock: { material: "carbide" } }),
      "x",
    ).findings.filter((f) => f.code === "tab/brittle");
    expect(found).toHaveLength(1);
    expect(found[0]?.message).toContain("opening-1, opening-2, opening-3");
  });
});

it.each([1, 3])(
  "a part with a bore weighs in the proof what it does on the sheet, outline less bore, with %d passes",
  (passes) => {
    const part = feature("part-1", "part", rectangle(0, 0, 30, 20));
    const bore = circleContour({ x: 12, y: 10 }, 6);
    const layout = layoutOf(part, feature("opening-1", "opening", bore, part));
    const { plan, proof } = proved(layout, {
      stock: { thickness: 10 },
      passes,
    });
    // 30 · 20 − π · 6² mm², 10 mm high, tool steel of 7.85 g/cm³.
    const mass = (600 - Math.PI * 36) * 10 * 7.85e-6;
    const found = proof.loosePieces.find((p) => p.feature === "part-1");
    expect(found?.mass).toBeCloseTo(mass, 9);
    expect(plan.features[0]?.slug.mass).toBeCloseTo(mass, 9);
  },
);
