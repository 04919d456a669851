import { describe, expect, it } from "vitest";
import { inspectWithPicture, outputFiles, planDrawing } from "../../src/run.js";
import { circleTags, dxfText, lineTags } from "../helpers/dxf.js";
import { tagsOf, textOf } from "../helpers/markup.js";

/** A rectangle in two halves that miss each other by 0.2 mm at (0, 0) and by 0.5 mm at (40, 29.5), and a sound hole. */
const order = {
  name: "halves",
  drawing: dxfText([
    lineTags(0, 0, 40, 0),
    lineTags(40, 0, 40, 29.5),
    lineTags(40, 30, 0, 30),
    lineTags(0, 30, 0, 0.2),
    circleTags(20, 15, 5),
  ]),
  job: '{ "roles": { "outer": "opening" } }',
};

const preview = (): string =>
  outputFiles(planDrawing(order)).find((f) => f.name.endsWith(".svg"))?.text ??
  "";

/** Tips of the numbered marks; a mark's path begins at its tip. */
function tips(svg: string): [number, number][] {
  return tagsOf(svg)
    .filter((t) => t.attributes.class === "kw-finding")
    .map((t) => {
      const tip = /^M([-\d.]+) ([-\d.]+)/.exec(t.attributes.d ?? "");
      return [Number(tip?.[1]), Number(tip?.[2])];
    });
}

describe.each([
  ["the preview", preview],
  ["the picture of the inspection", () => inspectWithPicture(order).picture],
])("in %s", (_, draw) => {
  const svg = draw();

  it("both places where an outline does not close are marked, each where it is", () => {
    const [[x1, y1], [x2, y2]] = tips(svg) as [
      [number, number],
      [number, number],
    ];
    // Drawn to scale in mm, with y downwards.
    expect([x2 - x1, y1 - y2]).toEqual([
      expect.closeTo(40, 3),
      expect.closeTo(29.5, 3),
    ]);
  });

  it("they are told by size and place, the smaller first", () => {
    expect(textOf(svg)).toMatch(
      /\(0, 0\)[^()]*0\.2 mm[\s\S]*\(40, 29\.5\)[^()]*0\.5 mm/,
    );
  });
});
