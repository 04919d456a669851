/** Template of an hour hand for a long-case clock, as an illustrator drew it: an SVG with arcs and Bézier curves. */
import type { Sample } from "../sheet.js";

/** Millimetres. Change a dimension and run `npx tsx samples/draw.ts` again. */
export const DIMENSIONS = {
  page: { width: 76, height: 20 },
  boss: { x: 10, y: 10, radius: 6, bore: 2.5 },
  /** Half widths of the blade at its neck, its belly and its tip. */
  blade: { neck: 1.4, belly: 3.5, tip: 0.8, length: 55 },
  thickness: 6,
};

export function draw(d = DIMENSIONS): Sample {
  return { svg: svgText(d), job: job(d) };
}

function svgText({ page, boss, blade }: typeof DIMENSIONS): string {
  const { x, y, radius } = boss;
  // The blade leaves the boss 30° off its axis, along the boss's own tangent, and turns into the neck.
  const at = { x: x + radius * Math.cos(Math.PI / 6), half: radius / 2 };
  const set = { x: 0.75, y: 0.75 * Math.sqrt(3) };
  const tip = x + blade.length - blade.tip;
  const n = (value: number): string => String(Number(value.toFixed(6)));
  const p = (px: number, py: number): string => `${n(px)},${n(py)}`;
  const outline = [
    `M${p(at.x, y - at.half)}`,
    `C${p(at.x + set.x, y - at.half + set.y)} ${p(x + 9, y - blade.neck)} ${p(x + 12, y - blade.neck)}`,
    `S${p(x + 26, y - blade.belly)} ${p(x + 32, y - blade.belly)}`,
    `S${p(tip - 6, y - blade.tip)} ${p(tip, y - blade.tip)}`,
    `A${n(blade.tip)} ${n(blade.tip)} 0 0 1 ${p(tip, y + blade.tip)}`,
    `C${p(tip - 6, y + blade.tip)} ${p(x + 38, y + blade.belly)} ${p(x + 32, y + blade.belly)}`,
    `S${p(x + 15, y + blade.neck)} ${p(x + 12, y + blade.neck)}`,
    `S${p(at.x + set.x, y + at.half - set.y)} ${p(at.x, y + at.half)}`,
    `A${n(radius)} ${n(radius)} 0 1 1 ${p(at.x, y - at.half)}Z`,
  ];
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${page.width}mm" height="${page.height}mm" viewBox="0 0 ${page.width} ${page.height}">
  <title>Hour hand, Quarterpast &amp; Nought</title>
  <g id="HAND">
    <path d="${outline.join(" ")}"/>
  </g>
  <g id="BORE">
    <circle cx="${n(x)}" cy="${n(y)}" r="${n(boss.bore)}"/>
  </g>
</svg>
`;
}

function job({ thickness }: typeof DIMENSIONS): Sample["job"] {
  return {
    stock: { material: "tool-steel", thickness },
    wire: { diameter: 0.25, material: "brass" },
    passes: 3,
    roles: { outer: "part", layers: { HAND: "part", BORE: "opening" } },
  };
}
