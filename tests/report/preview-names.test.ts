import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { draftPlan, type Plan, pointAt } from "../../src/index.js";
import { drawPreview } from "../../src/report/preview.js";
import { tagsOf } from "../helpers/markup.js";

function planOf(name: string, drawing = `${name}.dxf`): Plan {
  const file = (f: string): string =>
    readFileSync(
      new URL(`../../samples/${name}/${f}`, import.meta.url),
      "utf8",
    );
  return draftPlan({ name, drawing: file(drawing), job: file("job.json") })
    .plan;
}

interface Written {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Names, masses and tabs, which stand by their middle above `end`; letters of a sans serif are half as wide as high. */
function written(svg: string, end: number): Written[] {
  const texts = [...svg.matchAll(/<text ([^>]*)>([^<]*)<\/text>/g)];
  return texts.flatMap(([, attributes = "", text = ""]) => {
    const value = (name: string): number =>
      Number(new RegExp(`\\b${name}="([^"]*)"`).exec(attributes)?.[1]);
    const [x, y, size] = [value("x"), value("y"), value("font-size")];
    const isName = attributes.includes("middle") && /[a-z]/.test(text);
    if (!isName || y > end) return [];
    const half = (0.5 * size * text.length) / 2;
    return [
      {
        text,
        left: x - half,
        right: x + half,
        top: y - 0.75 * size,
        bottom: y,
      },
    ];
  });
}

describe.each([
  ["die-plate", "die-plate.dxf"],
  ["gear-gauge", "gear-gauge.dxf"],
  ["hour-hand", "hour-hand.svg"],
  ["hub-keyway", "hub-keyway.dxf"],
  ["inch-plate", "inch-plate.dxf"],
  ["punch", "punch.dxf"],
  ["faulty", "faulty.dxf"],
])("the names in the preview of %s", (name, drawing) => {
  const plan = planOf(name, drawing);
  const svg = drawPreview(plan);
  const tags = tagsOf(svg);
  // The first outline that is drawn tells where the drawing lies on the sheet.
  const first = [...plan.features].sort((a, b) => a.depth - b.depth)[0];
  const drawn = /^M([\d.]+) ([\d.]+)/.exec(
    tags.find((t) => t.attributes.class === "kw-outline")?.attributes.d ?? "",
  );
  const start = first?.contour.segments[0]?.start ?? { x: 0, y: 0 };
  const onSheet = ({ x, y }: { x: number; y: number }) => ({
    x: Number(drawn?.[1]) + x - start.x,
    y: Number(drawn?.[2]) - y + start.y,
  });
  const scaleBar = tags.find(
    (t) => t.attributes.class === "kw-rule" && t.name === "rect",
  );
  const names = written(svg, Number(scaleBar?.attributes.y));

  it("are there for every outline, on it or on a leader", () => {
    for (const { id } of plan.features)
      expect(names.map((n) => n.text)).toContain(id);
  });

  it("stand on no outline, no edge of the block and nothing left unplanned", () => {
    const chains = [
      ...plan.features.map((f) => f.contour),
      ...plan.unplanned,
      ...(plan.stock ? [plan.stock] : []),
    ];
    for (const { segments } of chains)
      for (const s of segments)
        for (let t = 0; t <= 1; t += 0.01) {
          const { x, y } = onSheet(pointAt(s, t));
          const under = names.filter(
            (n) => x > n.left && x < n.right && y > n.top && y < n.bottom,
          );
          expect(under).toEqual([]);
        }
  });

  it("stand on no other name, no start hole and no mark", () => {
    const number = (value: string | undefined): number => Number(value);
    const holes = tags
      .filter((t) => /^kw-(drawn-)?hole$/.test(t.attributes.class ?? ""))
      .map(({ attributes: { cx, cy, r } }) => ({
        left: number(cx) - number(r),
        right: number(cx) + number(r),
        top: number(cy) - number(r),
        bottom: number(cy) + number(r),
      }));
    const places = plan.findings.flatMap(({ where }) =>
      where ? [onSheet({ x: where[0], y: where[1] })] : [],
    );
    for (const [i, n] of names.entries()) {
      const others = [...names.slice(0, i), ...holes].filter(
        (o) =>
          n.left < o.right &&
          o.left < n.right &&
          n.top < o.bottom &&
          o.top < n.bottom,
      );
      expect(others, n.text).toEqual([]);
      // A mark stands on its place, a little more than the height of small letters.
      for (const { x, y } of places)
        expect(
          x > n.left && x < n.right && y > n.top && y - 2 < n.bottom,
          `${n.text} under the mark at ${x} ${y}`,
        ).toBe(false);
    }
  });
});

describe("marks of findings", () => {
  it("share one where they would cover each other, and keep the numbers of the list", () => {
    const plan = planOf("gear-gauge");
    // Lead and tab of the gear are told 0.65 mm apart: 1.3 mm on paper.
    expect(plan.findings.filter((f) => f.where)).toHaveLength(2);
    const svg = drawPreview(plan);
    expect(svg).toMatch(/kw-badge-text">1-2</);
  });
});
