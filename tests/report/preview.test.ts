import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { Finding } from "../../src/base/finding.js";
import { vec } from "../../src/geometry/vec.js";
import { drawPreview } from "../../src/report/preview.js";
import { BLOCK, handPlan, WINDOW } from "../helpers/hand-plan.js";
import { type Tag, tagsOf, textOf } from "../helpers/markup.js";

const TIGHT: Finding = {
  code: "corner/tight",
  severity: "warning",
  message: "this corner is tighter than the wire",
  where: [10, 5],
};

const byClass = (tags: readonly Tag[], name: string): readonly Tag[] =>
  tags.filter((t) => (t.attributes.class ?? "").split(" ").includes(name));

/** Points that path data names: ends of lines, arcs and moves. */
function pointsOf(d: string): [number, number][] {
  return [
    ...d.matchAll(
      /[ML](-?[\d.]+) (-?[\d.]+)|A[^MLAZ]*? (-?[\d.]+) (-?[\d.]+)(?=[MLAZ]|$)/g,
    ),
  ].map((m) => [Number(m[1] ?? m[3]), Number(m[2] ?? m[4])]);
}

function extent(tags: readonly Tag[]): { w: number; h: number } {
  const points = tags.flatMap((t) => pointsOf(t.attributes.d ?? ""));
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return {
    w: Math.max(...xs) - Math.min(...xs),
    h: Math.max(...ys) - Math.min(...ys),
  };
}

describe("the preview", () => {
  const plan = handPlan([WINDOW], { stock: BLOCK, findings: [TIGHT] });
  const svg = drawPreview(plan);
  const tags = tagsOf(svg);
  const root = tags[0] as Tag;

  it("is well-formed and says what it is", () => {
    expect(root.name).toBe("svg");
    expect(root.attributes.xmlns).toBe("http://www.w3.org/2000/svg");
    expect(textOf(svg)).toContain("hand-made: wire paths");
  });

  it("is to scale: the viewBox in mm of the drawing, the size in mm of paper", () => {
    const [, , w, h] = (root.attributes.viewBox ?? "").split(" ").map(Number);
    const scale = Number.parseFloat(root.attributes.width ?? "") / (w ?? 0);
    // 60 mm of block on 180 mm of paper would be 3:1; with air around it the next round scale is 2.5:1.
    expect(scale).toBeCloseTo(2.5, 3);
    expect(
      Number.parseFloat(root.attributes.height ?? "") / (h ?? 0),
    ).toBeCloseTo(scale, 3);
    expect(root.attributes.width).toMatch(/^190mm$/);
    expect(textOf(svg)).toContain("scale 2.5:1");
    const { w: wide, h: high } = extent(byClass(tags, "kw-edge"));
    expect([wide, high]).toEqual([60, 40]);
  });

  it("draws each pass at its offset, 0.21, 0.145 and 0.135 inside the window", () => {
    // Extent of the loop: 20 - 2·offset by 10 - 2·offset; the way on and off lies within it.
    for (const pass of plan.job.passes) {
      const { w, h } = extent(
        byClass(tags, `kw-pass-${pass.number}`).slice(0, 1),
      );
      expect(w).toBeCloseTo(20 - 2 * pass.offset, 3);
      expect(h).toBeCloseTo(10 - 2 * pass.offset, 3);
    }
  });

  it("draws the kerf as wide as wire and gaps: 0.25 + 2 · 0.03", () => {
    const kerf = byClass(tags, "kw-kerf").find((t) => t.attributes.d);
    expect(kerf?.attributes["stroke-width"]).toBe("0.31");
  });

  it("turns y round: what lies higher in the drawing stands nearer the top", () => {
    const two = tagsOf(
      drawPreview(
        handPlan([WINDOW, { ...WINDOW, id: "opening-2", center: vec(0, 30) }]),
      ),
    );
    const [low, high] = byClass(two, "kw-outline").map((t) =>
      Math.min(...pointsOf(t.attributes.d ?? "").map((p) => p[1])),
    );
    expect((low ?? 0) - (high ?? 0)).toBeCloseTo(30, 3);
  });

  it("bends arcs the way they run: a corner's middle lies outside its chord", () => {
    // All of WINDOW's arcs turn left in the drawing, so on the sheet, with y down, they have SVG's sweep flag 0.
    const outline = byClass(tags, "kw-outline").find((t) =>
      t.attributes.d?.includes("A"),
    );
    const flags = [
      ...(outline?.attributes.d ?? "").matchAll(/A1 1 0 (\d) (\d)/g),
    ];
    expect(flags.map((m) => [m[1], m[2]])).toEqual(
      Array.from({ length: 4 }, () => ["0", "0"]),
    );
  });

  it("marks start hole, lead, tab, order, slug mass, origin and scale", () => {
    for (const kind of [
      "kw-hole",
      "kw-lead",
      "kw-tab",
      "kw-badge",
      "kw-origin",
    ])
      expect(byClass(tags, kind).length, kind).toBeGreaterThan(0);
    const text = textOf(svg);
    // Slug: (196 + π) mm² · 25 mm · 7.85 g/cm³ = 39.08 g.
    for (const words of [
      "39.1 g",
      "tab 2 mm, steps 2-5",
      "20 mm",
      "X -30 mm, Y -20 mm",
    ])
      expect(text).toContain(words);
  });

  it("explains every line in a legend and each offset in the enlarged edge", () => {
    const text = textOf(svg);
    for (const words of [
      "metal that is kept",
      "kerf of the rough, 0.31 mm wide",
      "pass 1 rough: wire centre at 0.21 mm",
      "pass 3 skim: wire centre at 0.135 mm",
      "start hole to make",
      "travel with the wire out",
      "offset 0.1450",
      "gap 0.0150",
      "leave 0.0550",
      "trained operator",
    ])
      expect(text).toContain(words);
    expect(text).not.toContain("start hole in the drawing");
  });

  it("marks the place of each finding and lists it under the same number", () => {
    expect(byClass(tags, "kw-finding")).toHaveLength(2);
    expect(textOf(svg)).toContain(
      "1  warning at (10, 5): this corner is tighter than the wire",
    );
    expect(textOf(drawPreview(handPlan([WINDOW])))).not.toContain("Findings");
  });

  it("lists ten findings and counts the rest", () => {
    const many = drawPreview(
      handPlan([WINDOW], { findings: Array.from({ length: 14 }, () => TIGHT) }),
    );
    expect(textOf(many)).toContain("and 4 findings more");
  });

  it("stays well-formed whatever the drawing's names are", () => {
    const nasty = `</text><script>alert("1")</script>&'\u0001]]>`;
    const out = drawPreview(
      handPlan([{ ...WINDOW, id: nasty, layer: nasty }], {
        name: nasty,
        findings: [{ ...TIGHT, message: nasty }],
      }),
    );
    expect(tagsOf(out).map((t) => t.name)).not.toContain("script");
  });

  it("writes inches for an inch job", () => {
    const text = textOf(
      drawPreview(handPlan([WINDOW], { job: { units: "in" } })),
    );
    expect(text).toContain("wire 0.00984 in");
    expect(text).toContain("0.2 in");
  });

  it("draws the program's own travel when it is given one", () => {
    const program = {
      units: "mm",
      blocks: 77,
      words: {},
      findings: [],
      actions: [{ kind: "rapid", line: 3, from: vec(-25, 0), to: vec(1, 0) }],
    } as const;
    const drawn = drawPreview(plan, program);
    const travel = byClass(tagsOf(drawn), "kw-travel").find((t) =>
      t.attributes.d?.startsWith("M"),
    );
    expect(extent(travel ? [travel] : []).w).toBeCloseTo(26, 3);
    expect(textOf(drawn)).toContain("77 blocks");
  });

  it("gives the same text for the same plan", () => {
    expect(drawPreview(plan)).toBe(svg);
  });

  it("holds with nothing to draw", () => {
    expect(tagsOf(drawPreview(handPlan([])))[0]?.name).toBe("svg");
  });

  it("writes of no tab across a way with the wire out, where there is room beside it", () => {
    const all = tagsOf(
      readFileSync(
        new URL("../../samples/die-plate/preview.svg", import.meta.url),
        "utf8",
      ),
    );
    const ways = [
      ...(byClass(all, "kw-travel")[0]?.attributes.d ?? "").matchAll(
        /M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)/g,
      ),
    ].map((m) => m.slice(1).map(Number) as [number, number, number, number]);
    expect(ways.length).toBeGreaterThan(5);
    const texts = byClass(all, "kw-tab-text");
    expect(texts).toHaveLength(5);
    for (const { attributes: a } of texts) {
      const size = Number(a["font-size"]);
      // Twenty letters, each at least 0.4 of its height wide.
      const half = (20 * 0.4 * size) / 2;
      const y = Number(a.y) - 0.35 * size;
      for (const [x1, y1, x2, y2] of ways) {
        if ((y1 - y) * (y2 - y) > 0) continue;
        const x = x1 + ((x2 - x1) * (y - y1)) / (y2 - y1 || 1);
        expect(Math.abs(x - Number(a.x))).toBeGreaterThan(half);
      }
    }
  });

  it.each([
    ["a 2 mm opening", 2, 0.3],
    ["a 400 mm opening", 400, 5],
  ])("keeps its text the same size on paper for %s", (_, size, radius) => {
    const out = drawPreview(
      handPlan([
        { ...WINDOW, width: size, height: size, radius, tab: size / 8 },
      ]),
    );
    const all = tagsOf(out);
    const [, , w] = (all[0]?.attributes.viewBox ?? "").split(" ").map(Number);
    const perMm = 190 / (w ?? 0);
    const title = all.find((t) => t.attributes["font-weight"] === "bold");
    expect(Number(title?.attributes["font-size"]) * perMm).toBeCloseTo(5, 2);
    for (const t of all.filter((t) => t.name === "text"))
      expect(Number(t.attributes["font-size"]) * perMm).toBeGreaterThan(1.9);
  });

  it("does not let 100 openings run together: labels shrink and stay inside", () => {
    const boxes = Array.from({ length: 100 }, (_, i) => ({
      ...WINDOW,
      id: `opening-${i + 1}`,
      width: 7,
      height: 5,
      radius: 0.5,
      tab: 0.8,
      center: vec((i % 10) * 14, Math.floor(i / 10) * 10),
    }));
    const out = drawPreview(handPlan(boxes));
    const all = tagsOf(out);
    expect(byClass(all, "kw-outline").length).toBeGreaterThanOrEqual(100);
    const [, , w] = (all[0]?.attributes.viewBox ?? "").split(" ").map(Number);
    const width = /\.kw-pass-1\{[^}]*stroke-width:([\d.]+)/.exec(out)?.[1];
    // Half a millimetre on paper where there is room; here it must stay below the 0.31 mm kerf.
    expect(Number(width)).toBeLessThan(0.31);
    expect(w).toBeGreaterThan(126);
  });
});
